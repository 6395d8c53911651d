// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <string>
#include <vector>

// Lines of a time-current picture and how they are drawn: on logarithmic scales, in one window of times.
namespace latchwright::verdict {

inline constexpr double window_from_s = 0.01;
inline constexpr double window_to_s = 3600;

/// One line of the picture: by rising current (A), with falling times (s) that lie within the window. Between
/// two points it is straight in log time over log current. Where a time is the same for a range of currents,
/// or a current for a range of times, the line is level or upright there. Empty: nothing in the window.
struct Series {
  std::string name;
  std::vector<double> current_A;
  std::vector<double> time_s;
};

struct CurvePoint {
  double current_A;
  double time_s;
};

/// s on the line at a current; infinity to the left of it, 0 to the right of it or where it is empty.
double time_at(const Series& series, double current_A);

/// The smallest current (A) from `low_A` to `high_A` whose time is `time_s` or less; `high_A` if there is
/// none. time_of must not rise. To rounding.
double current_reaching(double time_s, const std::function<double(double)>& time_of, double low_A,
                        double high_A);

/// A law without corners whose time does not rise with the current: points at even steps of log time over the
/// whole window, its ends included, as far as the currents lie above `low_A` and below `high_A`. Where the
/// law drops from never to a time within the window, the line is upright there.
Series draw_law(std::string name, const std::function<double(double)>& time_of, double low_A, double high_A);

/// A line through given corners, straight between them on logarithmic scales, cut off exactly at the window's
/// borders and with points added where two are far apart. Corners by rising current, no times of 0.
Series draw_corners(std::string name, const std::vector<CurvePoint>& corners);

}  // namespace latchwright::verdict

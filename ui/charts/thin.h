// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QList>
#include <QPointF>
#include <vector>

#include "charts/scale.h"

// Long series as what a screen can show of them.
namespace latchwright::charts {

/// Points of a line without a gap.
using Run = QList<QPointF>;

/// Splits a series at values that its axes cannot show: nothing is drawn across a gap.
std::vector<Run> split_at_gaps(const std::vector<double>& x, const std::vector<double>& y, bool log_x,
                               bool log_y);

/// Where x only rises or only falls: of the points in each of `columns` equal parts of the axis the first,
/// the lowest, the highest and the last one, so that no peak is lost. Else: leaves out points less than half
/// a column away from the last one kept. Points that stay keep their exact values.
Run thin_out(const Run& run, const Span& across, const Span& up, int columns);

/// The pieces of a line inside the range of its axes. Points are added where it leaves and enters.
std::vector<Run> cut_to_range(const Run& run, const Span& across, const Span& up);

/// One edge of a band, cut where it leaves the range sideways and held at the top or bottom where it leaves
/// it there.
Run hold_in_range(const Run& run, const Span& across, const Span& up);

}  // namespace latchwright::charts

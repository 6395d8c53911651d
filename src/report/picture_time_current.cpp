// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "base/failure.h"
#include "base/text.h"
#include "report/picture_tools.h"
#include "report/pictures.h"

// What opens or trips after how long, and what the wires bear.
namespace latchwright::report {

namespace {

PictureLine series_line(const verdict::Series& series, std::string name, std::size_t hue, Stroke stroke) {
  PictureLine line = picture_line(std::move(name), hue, stroke);
  line.x = series.current_A;
  line.y = series.time_s;
  return line;
}

std::string degrees(double T_C) { return base::exact_text(T_C) + " °C"; }

/// Usual first, then hot.
Stroke start_stroke(std::size_t n) { return n == 0 ? Stroke::solid : Stroke::dashed; }

bool share_any(const std::vector<std::size_t>& a, const std::vector<std::size_t>& b) {
  return std::any_of(a.begin(), a.end(),
                     [&](std::size_t k) { return std::count(b.begin(), b.end(), k) > 0; });
}

/// Which fuses, wires and thermistors are drawn, and which currents are marked.
struct Shown {
  std::vector<bool> fuses, wires, trips;
  std::vector<verdict::Mark> marks;
};

/// Ratings stand at the bands; what flows or is not protected is marked.
bool is_rating(const verdict::TimeCurrent& curves, const verdict::Protection& pair,
               const verdict::Mark& mark) {
  const double rating_A = curves.fuses[pair.fuse].rating_A;
  return mark.current_A == rating_A || mark.current_A == 2 * rating_A;
}

Shown everything(const verdict::TimeCurrent& curves) {
  Shown shown{std::vector<bool>(curves.fuses.size(), true),
              std::vector<bool>(curves.wires.size(), true),
              std::vector<bool>(curves.trips.size(), true),
              {}};
  // A dozen currents would hide the lines: only those of the feed.
  for (const auto& pair : curves.protections) {
    if (!pair.doors.empty()) continue;
    for (const verdict::Mark& mark : pair.marks) {
      if (!is_rating(curves, pair, mark))
        shown.marks.push_back({pair.place + ": " + mark.name, mark.current_A});
    }
  }
  return shown;
}

Shown below(const verdict::TimeCurrent& curves, std::size_t fuse) {
  Shown shown{std::vector<bool>(curves.fuses.size()),
              std::vector<bool>(curves.wires.size()),
              std::vector<bool>(curves.trips.size()),
              {}};
  shown.fuses.at(fuse) = true;
  const bool several = std::count_if(curves.protections.begin(), curves.protections.end(),
                                     [&](const auto& pair) { return pair.fuse == fuse; }) > 1;
  for (const auto& pair : curves.protections) {
    if (pair.fuse != fuse) continue;
    shown.wires[pair.wire] = true;
    for (std::size_t n = 0; n < curves.trips.size(); ++n) {
      if (share_any(curves.trips[n].doors, pair.doors)) shown.trips[n] = true;
    }
    for (const verdict::Mark& mark : pair.marks) {
      if (is_rating(curves, pair, mark)) continue;
      verdict::Mark named = mark;
      if (several) named.name = pair.place + ": " + mark.name;
      shown.marks.push_back(std::move(named));
    }
  }
  return shown;
}

/// Room between the quickest and the slowest; where the standard gives only one of them, its line.
void draw_fuse(const verdict::FuseBand& fuse, std::size_t hue, Picture& picture) {
  if (!fuse.quickest.time_s.empty() && !fuse.slowest.time_s.empty()) {
    PictureBand band;
    band.name = fuse.name;
    band.lower_x = fuse.quickest.current_A;
    band.lower_y = fuse.quickest.time_s;
    band.upper_x = fuse.slowest.current_A;
    band.upper_y = fuse.slowest.time_s;
    band.hue = hue;
    picture.bands.push_back(std::move(band));
  } else {
    for (const verdict::Series* series : {&fuse.quickest, &fuse.slowest}) {
      if (!series->time_s.empty()) {
        picture.lines.push_back(series_line(*series, series->name, hue, Stroke::solid));
      }
    }
  }
}

}  // namespace

std::size_t fuse_index(const verdict::TimeCurrent& curves, std::optional<std::size_t> door) {
  std::size_t main = 0;
  for (std::size_t n = 0; n < curves.fuses.size(); ++n) {
    const auto& doors = curves.fuses[n].doors;
    if (curves.fuses[n].main) main = n;
    if (door && std::count(doors.begin(), doors.end(), *door) > 0) return n;
  }
  return main;
}

Picture time_current(const verdict::TimeCurrent& curves, std::optional<std::size_t> fuse,
                     bool invented_parts) {
  const Shown shown = fuse ? below(curves, *fuse) : everything(curves);
  Picture picture;
  picture.key = "time_current";
  if (fuse) {
    const auto& band = curves.fuses.at(*fuse);
    picture.title = fmt::format("{} {} A and what lies behind it: time over current",
                                band.main ? "Main fuse" : "Fuse", base::exact_text(band.rating_A));
  } else {
    picture.title = "Fuses, wires and thermistors: time over current";
  }
  picture.condition = picture_condition(curves.usual, false) + "; short circuits with hot wires";
  picture.across.title = "current";
  picture.across.unit = "A";
  picture.across.logarithmic = true;
  picture.up.title = "time";
  picture.up.unit = "s";
  picture.up.logarithmic = true;
  picture.up.low = verdict::window_from_s;
  picture.up.high = verdict::window_to_s;

  // Fuses, wires and thermistors are of several doors: each its own hue, in this order.
  std::size_t hue = 0;
  for (std::size_t n = 0; n < curves.fuses.size(); ++n) {
    if (shown.fuses[n]) draw_fuse(curves.fuses[n], hue++, picture);
  }
  for (std::size_t n = 0; n < curves.wires.size(); ++n) {
    if (!shown.wires[n]) continue;
    const auto& wire = curves.wires[n];
    for (std::size_t k = 0; k < wire.lines.size(); ++k) {
      const std::string name = wire.name + ", from " + degrees(wire.lines[k].start_C);
      picture.lines.push_back(series_line(wire.lines[k].series, name, hue, start_stroke(k)));
    }
    ++hue;
  }
  for (std::size_t n = 0; n < curves.trips.size(); ++n) {
    if (!shown.trips[n]) continue;
    const auto& trip = curves.trips[n];
    for (std::size_t k = 0; k < trip.lines.size(); ++k) {
      const std::string name = trip.name + ", at " + degrees(trip.lines[k].start_C);
      picture.lines.push_back(
          series_line(trip.lines[k].series, name, hue, k == 0 ? Stroke::dash_dot : Stroke::dotted));
    }
    ++hue;
  }
  for (const verdict::Mark& mark : shown.marks) {
    PictureLimit limit;
    limit.name = mark.name;
    limit.value = mark.current_A;
    limit.upright = true;
    limit.hue = hue;
    limit.stroke = Stroke::dotted;
    picture.limits.push_back(std::move(limit));
  }
  std::vector<std::string> remarks{
      "fuses: between the quickest and the slowest the standard allows; wires: up to their short-time limit; "
      "thermistors: as new, current at once"};
  for (const auto& gap : curves.unguarded) {
    const bool here = !fuse || fuse_index(curves, gap.door) == *fuse;
    if (here) {
      remarks.push_back(fmt::format("{}: the {} leaves it unprotected from {} to {} A", gap.wire, gap.fuse,
                                    base::significant(gap.from_A), base::significant(gap.to_A)));
    }
  }
  picture.note = picture_note(remarks, invented_parts);
  return picture;
}

}  // namespace latchwright::report

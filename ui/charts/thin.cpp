// SPDX-License-Identifier: GPL-3.0-or-later
#include "charts/thin.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace latchwright::charts {

namespace {

bool only_rises(const Run& run) {
  return std::is_sorted(run.begin(), run.end(),
                        [](const QPointF& a, const QPointF& b) { return a.x() < b.x(); });
}

bool only_falls(const Run& run) {
  return std::is_sorted(run.begin(), run.end(),
                        [](const QPointF& a, const QPointF& b) { return a.x() > b.x(); });
}

Run thin_by_column(const Run& run, const Span& across, int columns) {
  const auto column_of = [&](qsizetype k) { return std::floor(across.at(run[k].x()) * columns); };
  Run kept;
  for (qsizetype first = 0; first < run.size();) {
    const double column = column_of(first);
    qsizetype last = first, lowest = first, highest = first;
    for (; last + 1 < run.size() && column_of(last + 1) == column; ++last) {
      if (run[last + 1].y() < run[lowest].y()) lowest = last + 1;
      if (run[last + 1].y() > run[highest].y()) highest = last + 1;
    }
    std::array<qsizetype, 4> of_column{first, std::min(lowest, highest), std::max(lowest, highest), last};
    const auto* end = std::unique(of_column.begin(), of_column.end());
    for (const auto* k = of_column.begin(); k != end; ++k) kept.push_back(run[*k]);
    first = last + 1;
  }
  return kept;
}

Run thin_by_distance(const Run& run, const Span& across, const Span& up, double distance) {
  Run kept{run.front()};
  QPointF last(across.at(run.front().x()), up.at(run.front().y()));
  for (qsizetype k = 1; k < run.size(); ++k) {
    const QPointF here(across.at(run[k].x()), up.at(run[k].y()));
    if (k + 1 < run.size() && std::hypot(here.x() - last.x(), here.y() - last.y()) < distance) continue;
    kept.push_back(run[k]);
    last = here;
  }
  return kept;
}

/// A point of the range's edge between two others; `at`: 0..1 of the way as drawn.
QPointF between(const QPointF& a, const QPointF& b, double at, const Span& across, const Span& up) {
  if (at <= 0) return a;
  if (at >= 1) return b;
  const auto mixed = [at](const Span& span, double from, double to) {
    const double u = span.at(from) + at * (span.at(to) - span.at(from));
    // Exactly on the edge where it is meant to be.
    if (std::abs(u) < 1e-12) return span.low;
    if (std::abs(u - 1) < 1e-12) return span.high;
    return span.value(u);
  };
  return {mixed(across, a.x(), b.x()), mixed(up, a.y(), b.y())};
}

/// The part of the way from a to b (0..1) that one axis can show; empty where enter > leave.
struct Way {
  double enter = 0;
  double leave = 1;
};

void narrow(Way& way, const Span& span, double a, double b) {
  const double from = span.at(a), to = span.at(b);
  if (from == to) {
    if (from < 0 || from > 1) way = {1, 0};
    return;
  }
  const double at_low = -from / (to - from), at_high = (1 - from) / (to - from);
  way.enter = std::max(way.enter, std::min(at_low, at_high));
  way.leave = std::min(way.leave, std::max(at_low, at_high));
}

bool inside(const Run& run, const Span& across, const Span& up) {
  return std::all_of(run.begin(), run.end(),
                     [&](const QPointF& point) { return across.holds(point.x()) && up.holds(point.y()); });
}

}  // namespace

std::vector<Run> split_at_gaps(const std::vector<double>& x, const std::vector<double>& y, bool log_x,
                               bool log_y) {
  std::vector<Run> runs;
  bool open = false;
  for (std::size_t k = 0; k < std::min(x.size(), y.size()); ++k) {
    const bool good = drawable(x[k], log_x) && drawable(y[k], log_y);
    if (good && !open) runs.emplace_back();
    if (good) runs.back().push_back(QPointF(x[k], y[k]));
    open = good;
  }
  return runs;
}

Run thin_out(const Run& run, const Span& across, const Span& up, int columns) {
  if (run.size() <= 2) return run;
  if (only_rises(run) || only_falls(run)) return thin_by_column(run, across, columns);
  // A scribble may be longer than anybody can follow: then coarser.
  constexpr qsizetype most = 8000;
  double distance = 0.5 / columns;
  Run kept = thin_by_distance(run, across, up, distance);
  while (kept.size() > most && distance < 1) {
    distance *= 2;
    kept = thin_by_distance(kept, across, up, distance);
  }
  return kept;
}

std::vector<Run> cut_to_range(const Run& run, const Span& across, const Span& up) {
  if (inside(run, across, up)) return {run};
  std::vector<Run> pieces;
  bool open = false;
  for (qsizetype k = 0; k + 1 < run.size(); ++k) {
    Way way;
    narrow(way, across, run[k].x(), run[k + 1].x());
    narrow(way, up, run[k].y(), run[k + 1].y());
    if (way.enter > way.leave) {
      open = false;
      continue;
    }
    if (!open || way.enter > 0) pieces.push_back({between(run[k], run[k + 1], way.enter, across, up)});
    pieces.back().push_back(between(run[k], run[k + 1], way.leave, across, up));
    open = way.leave >= 1;
  }
  return pieces;
}

Run hold_in_range(const Run& run, const Span& across, const Span& up) {
  if (inside(run, across, up)) return run;
  Run held;
  const auto put = [&](const QPointF& point) {
    held.push_back({point.x(), std::clamp(point.y(), up.low, up.high)});
  };
  for (qsizetype k = 0; k + 1 < run.size(); ++k) {
    const QPointF &a = run[k], &b = run[k + 1];
    Way way;
    narrow(way, across, a.x(), b.x());
    if (way.enter > way.leave) continue;
    // Corners where the edge crosses the top or bottom, in order along the way.
    std::array<double, 4> stops{way.enter, way.leave, way.leave, way.leave};
    Way within = way;
    narrow(within, up, a.y(), b.y());
    if (within.enter <= within.leave) stops = {way.enter, within.enter, within.leave, way.leave};
    for (const double stop : stops) put(between(a, b, stop, across, up));
  }
  const auto end = std::unique(held.begin(), held.end());
  held.erase(end, held.end());
  if (held.isEmpty() && run.size() == 1 && across.holds(run.front().x())) put(run.front());
  return held;
}

}  // namespace latchwright::charts

// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "charts/thin.h"

using namespace latchwright;
using charts::Run;
using charts::Span;

namespace {

bool has(const Run& run, const QPointF& point) {
  return std::any_of(run.begin(), run.end(),
                     [&](const QPointF& p) { return p.x() == point.x() && p.y() == point.y(); });
}

Run wave(int count, double from, double to) {
  Run run;
  for (int k = 0; k < count; ++k) {
    const double x = from + (to - from) * k / (count - 1);
    run.push_back({x, std::sin(x * 40)});
  }
  return run;
}

}  // namespace

TEST_CASE("thinning: a peak of one sample in a million stays exactly") {
  Run run = wave(1000000, 0, 100);
  run[123456].setY(7.125);
  run[777777].setY(-3.75);
  const Run kept = charts::thin_out(run, {0, 100, false}, {-4, 8, false}, 1000);
  CHECK(kept.size() <= 4000);
  CHECK(kept.size() >= 2000);
  CHECK(has(kept, run[123456]));
  CHECK(has(kept, run[777777]));
  CHECK(kept.front() == run.front());
  CHECK(kept.back() == run.back());
  CHECK(std::is_sorted(kept.begin(), kept.end(), [](auto& a, auto& b) { return a.x() < b.x(); }));
}

TEST_CASE("thinning: columns of a logarithmic axis hold equal shares of a decade") {
  // 10 columns a decade: the first decade keeps its points as the last one does.
  Run run;
  for (int k = 0; k <= 30000; ++k) run.push_back({std::pow(10, -1 + k / 10000.0), k % 2 == 0 ? 1.0 : 2.0});
  const Run kept = charts::thin_out(run, {0.1, 100, true}, {0, 3, false}, 30);
  const auto below_1 = std::count_if(kept.begin(), kept.end(), [](const QPointF& p) { return p.x() < 1; });
  CHECK(below_1 == Approx(static_cast<double>(kept.size()) / 3).epsilon(0.1));
}

TEST_CASE("thinning: falling and winding lines") {
  Run falling = wave(100000, 10, 0);
  falling[5000].setY(9);
  const Run kept = charts::thin_out(falling, {0, 10, false}, {-1, 10, false}, 500);
  CHECK(kept.size() <= 2000);
  CHECK(has(kept, falling[5000]));

  Run circle;
  for (int k = 0; k <= 100000; ++k) circle.push_back({std::cos(k * 2e-5 * M_PI), std::sin(k * 2e-5 * M_PI)});
  const Run round = charts::thin_out(circle, {-1, 1, false}, {-1, 1, false}, 1000);
  CHECK(round.size() < 20000);
  CHECK(round.size() > 1000);
  // Every point of the circle is within a column of one that is kept.
  for (const QPointF& point : {circle[0], circle[12345], circle[54321], circle[99999]}) {
    const bool near = std::any_of(round.begin(), round.end(), [&](const QPointF& p) {
      return std::hypot(p.x() - point.x(), p.y() - point.y()) < 2.0 / 1000;
    });
    CHECK(near);
  }
}

TEST_CASE("gaps: values that cannot be shown part a line") {
  const double nan = std::nan("");
  const auto runs = charts::split_at_gaps({1, 2, 3, 4, 5, 6}, {1, nan, 3, INFINITY, 5, 6}, false, false);
  REQUIRE(runs.size() == 3);
  CHECK(runs[0] == Run{{1, 1}});
  CHECK(runs[1] == Run{{3, 3}});
  CHECK(runs[2] == Run{{5, 5}, {6, 6}});
  const auto logarithmic = charts::split_at_gaps({0, 1, 2}, {1, 1, -1}, true, true);
  REQUIRE(logarithmic.size() == 1);
  CHECK(logarithmic[0] == Run{{1, 1}});
  CHECK(charts::split_at_gaps({1, 2, 3}, {4}, false, false).size() == 1);
}

TEST_CASE("cutting: lines end where the axes end") {
  const Span across{0, 10, false}, up{0, 10, false};
  // A triangle's tip above the range: two pieces that meet the top at half of the way.
  const auto pieces = charts::cut_to_range({{0, 0}, {5, 20}, {10, 0}}, across, up);
  REQUIRE(pieces.size() == 2);
  CHECK(pieces[0] == Run{{0, 0}, {2.5, 10}});
  CHECK(pieces[1] == Run{{7.5, 10}, {10, 0}});
  CHECK(charts::cut_to_range({{11, 1}, {12, 2}}, across, up).empty());
  // Through the whole range without a point in it.
  CHECK(charts::cut_to_range({{-10, 5}, {20, 5}}, across, up) == std::vector<Run>{Run{{0, 5}, {10, 5}}});
  // On a logarithmic axis half of the way from 1 to 100 is 10.
  const auto logarithmic = charts::cut_to_range({{1, 0}, {100, 2}}, {1, 10, true}, {0, 10, false});
  REQUIRE(logarithmic.size() == 1);
  CHECK(logarithmic[0][1].x() == 10);
  CHECK(logarithmic[0][1].y() == Approx(1));
}

TEST_CASE("cutting: the edge of a band stays at the top") {
  const Run held = charts::hold_in_range({{0, 0}, {5, 20}, {10, 0}}, {0, 10, false}, {0, 10, false});
  CHECK(held == Run{{0, 0}, {2.5, 10}, {5, 10}, {7.5, 10}, {10, 0}});
  const Run sideways = charts::hold_in_range({{-10, 5}, {20, 5}}, {0, 10, false}, {0, 10, false});
  CHECK(sideways == Run{{0, 5}, {10, 5}});
}

// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "charts/scale.h"
#include "sample_pictures.h"

using namespace latchwright;
using charts::Extent;
using charts::make_scale;
using charts::Scale;

TEST_CASE("scale: ticks at multiples of 1 2 or 5") {
  const report::Axis axis = tests::axis("current", "A");
  const Scale upright = make_scale(axis, Extent{0.3, 23.2}, {}, false);
  CHECK(upright.span.low == 0);
  CHECK(upright.span.high == 25);
  CHECK(upright.step == 5);
  CHECK(upright.decimals == 0);
  const Scale small = make_scale(axis, Extent{0, 0.034}, {}, false);
  CHECK(small.step == Approx(0.005));
  CHECK(small.decimals == 3);
  CHECK(small.span.high == Approx(0.035));
  // The lower axis ends with the data, or with a tick that is near.
  const Scale snug = make_scale(axis, Extent{0, 0.7}, {}, true);
  CHECK(snug.span.high == Approx(0.7));
  CHECK(make_scale(axis, Extent{0, 23.2}, {}, true).span.high == 23.2);
}

TEST_CASE("scale: what the axis says wins") {
  report::Axis axis = tests::axis("winding", "°C");
  axis.low = -20;
  axis.high = 130;
  const Scale scale = make_scale(axis, Extent{0, 500}, {}, false);
  CHECK(scale.span.low == -20);
  CHECK(scale.span.high == 130);
}

TEST_CASE("scale: marks and limits keep off the ends") {
  const report::Axis axis = tests::axis("time", "s");
  CHECK(make_scale(axis, Extent{0, 20}, Extent{20, 20}, true).span.high > 20);
  CHECK(make_scale(axis, Extent{0, 20}, Extent{10, 10}, true).span.high == 20);
  CHECK(make_scale(axis, Extent{0, 100}, Extent{120, 120}, false).span.high > 120);
}

TEST_CASE("scale: a temperature does not begin at nothing") {
  CHECK(make_scale(tests::axis("winding", "°F"), Extent{68, 248}, {}, false).span.low == 50);
  CHECK(make_scale(tests::axis("force", "N"), Extent{68, 248}, {}, false).span.low == 0);
}

TEST_CASE("scale: one value or none") {
  const report::Axis axis = tests::axis("x", "");
  const Scale one = make_scale(axis, Extent{5, 5}, {}, false);
  CHECK(one.span.low < 5);
  CHECK(one.span.high > 5);
  CHECK(make_scale(axis, Extent{0, 0}, {}, true).span.low < 0);
  const Scale none = make_scale(axis, {}, {}, false);
  CHECK(none.span.low < none.span.high);
}

TEST_CASE("scale: logarithmic axes hold a decade") {
  const report::Axis axis = tests::axis("margin", "", true);
  const Scale wide = make_scale(axis, Extent{0.013, 2700}, {}, false);
  CHECK(wide.span.low == Approx(0.01).epsilon(0.002));
  CHECK(wide.span.high == Approx(5000).epsilon(0.002));
  // Qt drops the number of a decade at the very end, so the range goes a little beyond.
  CHECK(wide.span.low < 0.01);
  const Scale narrow = make_scale(axis, Extent{2.2, 4.4}, {}, false);
  CHECK(narrow.span.low == 2);
  CHECK(narrow.span.high > 10);
  const Scale none = make_scale(axis, {}, {}, false);
  CHECK(none.span.low > 0);
  CHECK(none.span.low < none.span.high);
}

TEST_CASE("scale: numbers between few decades") {
  CHECK(charts::numbers_between_decades({0.5, 50, true}) == QList<double>{0.5, 2, 5, 20, 50});
  CHECK(charts::numbers_between_decades({1, 1e5, true}).isEmpty());
  CHECK(charts::numbers_between_decades({1, 5, true}) == QList<double>{2, 3, 4, 5});
  CHECK(charts::numbers_between_decades({1, 5, false}).isEmpty());
}

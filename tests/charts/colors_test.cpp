// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "charts/palette.h"

using namespace latchwright;

namespace {

/// WCAG 2.1, definition of relative luminance (from memory), not through the code under test.
double luminance(const QColor& color) {
  const auto linear = [](double c) { return c <= 0.03928 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4); };
  return 0.2126 * linear(color.redF()) + 0.7152 * linear(color.greenF()) + 0.0722 * linear(color.blueF());
}

double contrast(const QColor& a, const QColor& b) {
  const double light = std::max(luminance(a), luminance(b)), dark = std::min(luminance(a), luminance(b));
  return (light + 0.05) / (dark + 0.05);
}

}  // namespace

TEST_CASE("colours: contrast by the definition") {
  CHECK(contrast(Qt::black, Qt::white) == Approx(21));
  CHECK(contrast(QColor(0x777777), Qt::white) == Approx(4.48).margin(0.01));  // the grey of WCAG's examples
}

TEST_CASE("colours: every hue and text stands off the paper") {
  for (const bool dark : {false, true}) {
    const charts::Ground ground = charts::ground(dark);
    std::set<QRgb> different;
    for (std::size_t hue = 0; hue < charts::hue_count(); ++hue) {
      INFO("dark " << dark << ", hue " << hue);
      CHECK(contrast(charts::hue_color(hue, dark), ground.paper) >= 3.0);  // WCAG 2.1, 1.4.11
      different.insert(charts::hue_color(hue, dark).rgb());
      CHECK(charts::hue_color(hue + charts::hue_count(), dark) == charts::hue_color(hue, dark));
    }
    CHECK(different.size() == charts::hue_count());
    CHECK(charts::hue_count() >= 5);
    CHECK(contrast(ground.ink, ground.paper) >= 4.5);  // WCAG 2.1, 1.4.3
    CHECK(contrast(ground.muted, ground.paper) >= 4.5);
  }
}

TEST_CASE("colours: strokes differ without colour") {
  using report::Stroke;
  std::set<QList<qreal>> patterns;
  for (const Stroke stroke : {Stroke::solid, Stroke::dashed, Stroke::dotted, Stroke::dash_dot}) {
    patterns.insert(charts::stroke_pen(stroke, Qt::black, 2).dashPattern());
  }
  CHECK(patterns.size() == 4);
}

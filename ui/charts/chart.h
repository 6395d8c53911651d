// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QtCharts/QChart>
#include <memory>

#include "report/picture.h"
#include "units/shown_unit.h"

namespace latchwright::charts {

/// How pictures look where they go.
struct Style {
  bool dark = false;
  units::UnitSystem units = units::UnitSystem::metric;
};

/// The picture as a chart: axes with units, legend, colours that colour-blind readers can tell apart, strokes
/// and shapes beside them. Long lines are thinned to what a screen can show, peaks kept.
std::unique_ptr<QChart> make_chart(const report::Picture& picture, const Style& style);

}  // namespace latchwright::charts

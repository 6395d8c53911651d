// SPDX-License-Identifier: GPL-3.0-or-later
#include "charts/shown_picture.h"

#include <QCoreApplication>
#include <cmath>

namespace latchwright::charts {

namespace {

void convert(std::vector<double>& values, const units::ShownUnit& unit) {
  for (double& value : values) value = unit.shown(value);
}

units::ShownUnit unit_of(const report::Axis& axis, units::UnitSystem system) {
  return axis.words.empty() ? units::shown_unit(axis.unit, system) : units::ShownUnit{};
}

void convert(report::Axis& axis, const units::ShownUnit& unit) {
  if (!axis.words.empty()) return;
  axis.unit = unit.text.toStdString();
  if (axis.low) axis.low = unit.shown(*axis.low);
  if (axis.high) axis.high = unit.shown(*axis.high);
}

}  // namespace

report::Picture shown_picture(const report::Picture& picture, units::UnitSystem system) {
  report::Picture shown = picture;
  if (system == units::UnitSystem::metric) return shown;
  const units::ShownUnit across = unit_of(picture.across, system);
  const units::ShownUnit up = unit_of(picture.up, system);
  const units::ShownUnit right = picture.right ? unit_of(*picture.right, system) : units::ShownUnit{};
  convert(shown.across, across);
  convert(shown.up, up);
  if (shown.right) convert(*shown.right, right);
  for (auto& line : shown.lines) {
    convert(line.x, across);
    convert(line.y, line.right ? right : up);
  }
  for (auto& marks : shown.marks) {
    convert(marks.x, across);
    convert(marks.y, marks.right ? right : up);
  }
  for (auto& band : shown.bands) {
    convert(band.lower_x, across);
    convert(band.upper_x, across);
    convert(band.lower_y, up);
    convert(band.upper_y, up);
  }
  for (auto& limit : shown.limits) {
    limit.value = (limit.upright ? across : limit.right ? right : up).shown(limit.value);
  }
  return shown;
}

QString axis_title(const report::Axis& axis) {
  QString title = QString::fromStdString(axis.title), unit = QString::fromStdString(axis.unit);
  if (unit.isEmpty() || !axis.words.empty()) return title;
  if (title.isEmpty()) return unit;
  return QCoreApplication::translate("charts", "%1, %2", "an axis: what it shows, its unit").arg(title, unit);
}

QString axis_value_text(const report::Axis& axis, double value) {
  if (axis.words.empty()) return units::value_text(value, axis.unit, units::UnitSystem::metric);
  const double nearest = std::round(value);
  if (!(nearest >= 0 && nearest < static_cast<double>(axis.words.size()))) return {};
  return QString::fromStdString(axis.words[static_cast<std::size_t>(nearest)]);
}

}  // namespace latchwright::charts

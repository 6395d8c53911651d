// SPDX-License-Identifier: GPL-3.0-or-later
#include "units/shown_unit.h"

#include <QCoreApplication>
#include <cmath>

#include "base/text.h"
#include "base/wire_gauge.h"

namespace latchwright::units {

namespace {

// Exact by definition: 1 in = 25.4 mm, 1 lbf = 0.45359237 kg * 9.80665 m/s² (international yard and pound
// agreement of 1959, standard gravity of 1901; from memory).
constexpr double mm_per_in = 25.4;
constexpr double m_per_ft = 0.3048;
constexpr double N_per_lbf = 0.45359237 * 9.80665;
constexpr double mNm_per_ozf_in = N_per_lbf / 16 * mm_per_in;

}  // namespace

ShownUnit shown_unit(const std::string& unit, UnitSystem system) {
  if (system == UnitSystem::us) {
    if (unit == "°C") return {QStringLiteral("°F"), 1.8, 32};
    if (unit == "N") return {QStringLiteral("lbf"), 1 / N_per_lbf, 0};
    if (unit == "mm") return {QStringLiteral("in"), 1 / mm_per_in, 0};
    if (unit == "m") return {QStringLiteral("ft"), 1 / m_per_ft, 0};
    if (unit == "mN·m") return {QStringLiteral("ozf·in"), 1 / mNm_per_ozf_in, 0};
  }
  return {QString::fromStdString(unit), 1, 0};
}

QString value_text(double file_value, const std::string& unit, UnitSystem system, int digits) {
  const ShownUnit shown = shown_unit(unit, system);
  QString number = QString::fromStdString(base::significant(shown.shown(file_value), digits));
  // "never" takes no unit.
  if (shown.text.isEmpty() || !std::isfinite(file_value)) return number;
  return number + QLatin1Char(' ') + shown.text;
}

QString area_text(double area_mm2, UnitSystem system) {
  QString metric = QString::fromStdString(base::area_text(area_mm2));
  if (system == UnitSystem::metric) return metric;
  const auto gauge = base::gauge_for(area_mm2);
  if (!gauge) return metric;
  const QString size = QString::fromStdString(base::gauge_text(gauge->size));
  return gauge->same
             ? QCoreApplication::translate("units", "%1 AWG (%2)", "a wire's size, its area").arg(size, metric)
             : QCoreApplication::translate("units", "%1 (at least %2 AWG)", "a wire's area, the size that has it")
                   .arg(metric, size);
}

}  // namespace latchwright::units

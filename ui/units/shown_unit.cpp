// SPDX-License-Identifier: GPL-3.0-or-later
#include "units/shown_unit.h"

#include <QCoreApplication>
#include <algorithm>
#include <cmath>
#include <iterator>

#include "base/text.h"

namespace latchwright::units {

namespace {

// Exact by definition: 1 in = 25.4 mm, 1 lbf = 0.45359237 kg * 9.80665 m/s² (international yard and pound
// agreement of 1959, standard gravity of 1901; from memory).
constexpr double mm_per_in = 25.4;
constexpr double m_per_ft = 0.3048;
constexpr double N_per_lbf = 0.45359237 * 9.80665;
constexpr double mNm_per_ozf_in = N_per_lbf / 16 * mm_per_in;

/// Area of an AWG size in mm². ASTM B258 (from memory); 1/0 counts as 0, 2/0 as -1.
double awg_area_mm2(int size) {
  const double diameter_mm = 0.127 * std::pow(92.0, (36.0 - size) / 39.0);
  return M_PI / 4 * diameter_mm * diameter_mm;
}

/// Sizes that the trade sells: the odd ones above 1 are hard to come by. 0 is 1/0, -3 is 4/0.
constexpr int awg_sizes[] = {-3, -2, -1, 0, 1, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30};

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
  const QString number = QString::fromStdString(base::significant(shown.shown(file_value), digits));
  // "never" takes no unit.
  if (shown.text.isEmpty() || !std::isfinite(file_value)) return number;
  return number + QLatin1Char(' ') + shown.text;
}

QString area_text(double area_mm2, UnitSystem system) {
  // Six digits: more than any size has, and none of the rounding of m² into mm².
  const QString metric =
      QCoreApplication::translate("units", "%1 mm²").arg(QString::number(area_mm2, 'g', 6));
  if (system == UnitSystem::metric) return metric;
  // Never a size with less copper than was computed with: the thinnest that has as much.
  constexpr double as_good_as = 0.99;  // figures of one and the same size differ by less
  const auto thinnest = std::find_if(std::rbegin(awg_sizes), std::rend(awg_sizes), [&](int size) {
    return awg_area_mm2(size) >= as_good_as * area_mm2;
  });
  if (thinnest == std::rend(awg_sizes)) return metric;
  const double area = awg_area_mm2(*thinnest);
  const QString size =
      *thinnest > 0 ? QString::number(*thinnest) : QStringLiteral("%1/0").arg(1 - *thinnest);
  return area * as_good_as <= area_mm2
             ? QCoreApplication::translate("units", "%1 AWG (%2)", "a wire's size, its area").arg(size, metric)
             : QCoreApplication::translate("units", "%1 (at least %2 AWG)", "a wire's area, the size that has it")
                   .arg(metric, size);
}

}  // namespace latchwright::units

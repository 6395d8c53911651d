// SPDX-License-Identifier: GPL-3.0-or-later
#include "charts/scale.h"

#include <algorithm>
#include <cmath>

namespace latchwright::charts {

namespace {

constexpr double rounding = 1e-9;

double nice_step(double width, int most_ticks) {
  const double rough = width / most_ticks;
  const double decade = std::pow(10, std::floor(std::log10(rough)));
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (factor * decade >= rough * (1 - rounding)) return factor * decade;
  }
  return 10 * decade;
}

/// The 1, 2 or 5 times a power of ten at or below a value.
double below_125(double value) {
  const double decade = std::pow(10, std::floor(std::log10(value) + rounding));
  for (const double factor : {5.0, 2.0}) {
    if (factor * decade <= value * (1 + rounding)) return factor * decade;
  }
  return decade;
}

double above_125(double value) {
  const double below = below_125(value);
  if (below >= value * (1 - rounding)) return below;
  return below_125(below * 2.6);  // 1 -> 2, 2 -> 5, 5 -> 10
}

bool is_decade(double value) {
  const double exponent = std::log10(value);
  return std::abs(exponent - std::round(exponent)) < rounding;
}

Scale scale_of(const Span& span, double step) {
  return {span, step, std::clamp(static_cast<int>(-std::floor(std::log10(step) + rounding)), 0, 12)};
}

Scale linear_scale(const report::Axis& axis, Extent drawn, const Extent& marks, bool snug) {
  const int most_ticks = snug ? 10 : 7;
  if (!marks.empty()) {
    drawn.take(marks.low);
    drawn.take(marks.high);
  }
  if (axis.low && drawable(*axis.low, false)) drawn.low = *axis.low;
  if (axis.high && drawable(*axis.high, false)) drawn.high = *axis.high;
  if (drawn.empty()) drawn = {0, 1};
  if (!(drawn.low < drawn.high)) {
    const double room = drawn.low == 0 ? 1 : std::abs(drawn.low) * 0.1;
    const Span around{drawn.low - room, drawn.low + room, false};
    return scale_of(around, nice_step(2 * room, most_ticks));
  }
  const double width = drawn.high - drawn.low;
  const double step = nice_step(width, most_ticks);
  Span span{drawn.low, drawn.high, false};
  const double low_tick = std::floor(drawn.low / step + rounding) * step;
  const double high_tick = std::ceil(drawn.high / step - rounding) * step;
  if (!axis.low) {
    // A length or current that comes near nothing is read best from nothing on; 0 °C is not nothing.
    const bool temperature = axis.unit.starts_with("°");
    const bool from_zero = !snug && !temperature && drawn.low > 0 && drawn.low < 0.35 * drawn.high;
    if (from_zero) {
      span.low = 0;
    } else if (!snug || drawn.low - low_tick < 0.03 * width) {
      span.low = low_tick;
    }
    if (span.low != 0 && !marks.empty() && marks.low < span.low + 0.015 * width)
      span.low -= snug ? 0.03 * width : step;
  }
  if (!axis.high) {
    if (!snug || high_tick - drawn.high < 0.03 * width) span.high = high_tick;
    if (!marks.empty() && marks.high > span.high - 0.015 * width) span.high += snug ? 0.03 * width : step;
  }
  return scale_of(span, step);
}

Span logarithmic_span(const report::Axis& axis, Extent drawn, const Extent& marks) {
  if (!marks.empty()) {
    drawn.take(marks.low / 1.1);
    drawn.take(marks.high * 1.1);
  }
  const bool low_given = axis.low && drawable(*axis.low, true);
  const bool high_given = axis.high && drawable(*axis.high, true);
  if (low_given) drawn.low = *axis.low;
  if (high_given) drawn.high = *axis.high;
  if (drawn.empty()) return {1, 10, true};
  if (!(drawn.low < drawn.high)) {
    drawn.low /= 2;
    drawn.high *= 2;
  }
  Span span{low_given ? drawn.low : below_125(drawn.low), high_given ? drawn.high : above_125(drawn.high),
            true};
  // Without a decade in it an axis has no number of Qt's to make room for.
  const double decade = std::pow(10, std::ceil(std::log10(span.low) - rounding));
  if (decade > span.high * (1 + rounding)) {
    if (!low_given && (high_given || span.low / (decade / 10) < decade / span.high)) {
      span.low = decade / 10;
    } else if (!high_given) {
      span.high = decade;
    }
  }
  // Qt loses the number of a decade at the very end to rounding.
  if (is_decade(span.low)) span.low *= 0.999;
  if (is_decade(span.high)) span.high *= 1.001;
  return span;
}

}  // namespace

bool drawable(double value, bool logarithmic) {
  // Far beyond any figure of a door lock, and short of where widths of axes overflow.
  constexpr double most = 1e30;
  return std::isfinite(value) && std::abs(value) < most && (!logarithmic || value > 1 / most);
}

double Span::at(double value) const {
  return logarithmic ? std::log(value / low) / std::log(high / low) : (value - low) / (high - low);
}

double Span::value(double at) const {
  return logarithmic ? low * std::pow(high / low, at) : low + at * (high - low);
}

Scale make_scale(const report::Axis& axis, const Extent& drawn, const Extent& marks, bool snug) {
  Scale scale;
  if (!axis.words.empty()) {
    scale.span = {-0.5, static_cast<double>(axis.words.size()) - 0.5, false};
    return scale;
  }
  if (axis.logarithmic) {
    scale.span = logarithmic_span(axis, drawn, marks);
    return scale;
  }
  return linear_scale(axis, drawn, marks, snug);
}

QList<double> numbers_between_decades(const Span& span) {
  QList<double> numbers;
  if (!span.logarithmic) return numbers;
  const double decades = std::log10(span.high / span.low);
  if (decades > 3.2) return numbers;
  const auto first = static_cast<int>(std::floor(std::log10(span.low)));
  const auto last = static_cast<int>(std::floor(std::log10(span.high)));
  for (int exponent = first; exponent <= last; ++exponent) {
    for (int factor = 2; factor <= 9; ++factor) {
      if (decades > 1.2 && factor != 2 && factor != 5) continue;
      const double value = factor * std::pow(10, exponent);
      if (span.holds(value)) numbers.push_back(value);
    }
  }
  return numbers;
}

}  // namespace latchwright::charts

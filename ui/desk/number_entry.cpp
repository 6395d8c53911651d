// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/number_entry.h"

#include <fmt/format.h>

#include <QCoreApplication>
#include <QRegularExpression>
#include <algorithm>
#include <charconv>
#include <cmath>

#include "base/text.h"

namespace latchwright::desk {

namespace {

QString tr(const char* text) { return QCoreApplication::translate("latchwright::desk::Numbers", text); }

std::optional<double> plain_number(const QString& text) {
  const std::string plain = text.toStdString();
  double value = 0;
  const auto [end, error] = std::from_chars(plain.data(), plain.data() + plain.size(), value);
  if (error != std::errc{} || end != plain.data() + plain.size() || !std::isfinite(value))
    return std::nullopt;
  return value;
}

bool converts(const units::ShownUnit& unit) { return unit.factor != 1 || unit.offset != 0; }

/// Four digits, rounded towards the inside of a range.
double inward(double value, bool up) {
  if (value == 0) return 0;
  const double size = std::pow(10.0, std::floor(std::log10(std::fabs(value))) - 3);
  const double steps = value / size;
  // A conversion's rounding noise does not count as a whole step.
  const double near = std::round(steps);
  if (std::fabs(steps - near) < 1e-7) return near * size;
  return (up ? std::ceil(steps) : std::floor(steps)) * size;
}

}  // namespace

TypedNumber read_typed(const QString& text, const QString& unit, const QLocale& locale) {
  QString plain = text.trimmed();
  plain.replace(QChar(0x2212), QLatin1Char('-'));  // the minus sign of typesetting
  const bool had_unit = !unit.isEmpty() && plain.endsWith(unit);
  if (had_unit) plain = plain.chopped(unit.size()).trimmed();
  if (plain.startsWith(QLatin1Char('+'))) plain.remove(0, 1);
  TypedNumber typed;
  const auto points = plain.count(QLatin1Char('.'));
  const auto commas = plain.count(QLatin1Char(','));
  if (points + commas > 1) {
    typed.why =
        tr("\"%1\" has more than one decimal mark: write thousands without separators").arg(text.trimmed());
    return typed;
  }
  if (commas == 1) {
    static const QRegularExpression thousands(QStringLiteral("^-?[1-9][0-9]{0,2},[0-9]{3}$"));
    if (locale.decimalPoint() != QLatin1String(",") && thousands.match(plain).hasMatch()) {
      typed.why = tr("\"%1\" can be read in two ways: write %2 or %3")
                      .arg(text.trimmed(), QString(plain).replace(QLatin1Char(','), QLatin1Char('.')),
                           QString(plain).remove(QLatin1Char(',')));
      return typed;
    }
    plain.replace(QLatin1Char(','), QLatin1Char('.'));
  }
  typed.value = plain_number(plain);
  if (!typed.value) {
    typed.why = tr("\"%1\" is not a number").arg(text.trimmed().left(40));
    return typed;
  }
  typed.other_form = commas == 1 || plain.contains(QLatin1Char('e'), Qt::CaseInsensitive);
  return typed;
}

QString short_number(double value) {
  if (value == 0) return QStringLiteral("0");
  for (int digits = 1; digits <= 6; ++digits) {
    const double rounded = base::number_in(fmt::format("{:.{}g}", value, digits));
    if (std::fabs(rounded - value) <= 1e-9 * std::fabs(value)) {
      return QString::fromStdString(base::exact_text(rounded));
    }
  }
  return QString::fromStdString(base::significant(value));
}

QString shown_number(double file_value, const units::ShownUnit& unit) {
  if (!converts(unit)) return QString::fromStdString(base::exact_text(file_value));
  return short_number(unit.shown(file_value));
}

double file_number(double shown_value, const units::ShownUnit& unit) {
  if (!converts(unit)) return shown_value;
  return base::number_in(fmt::format("{:.12g}", unit.file(shown_value)));
}

QString shown_range(const model::FieldInfo& info, units::UnitSystem system) {
  const units::ShownUnit unit = units::shown_unit(info.unit, system);
  if (!converts(unit) || !info.values.empty()) return QString::fromStdString(model::range_text(info));
  return tr("%1 to %2 %3")
      .arg(short_number(inward(unit.shown(info.low), true)),
           short_number(inward(unit.shown(info.high), false)), unit.text);
}

QString range_fault(double file_value, const model::FieldInfo& info, units::UnitSystem system) {
  const units::ShownUnit unit = units::shown_unit(info.unit, system);
  const QString value = (shown_number(file_value, unit) + QLatin1Char(' ') + unit.text).trimmed();
  if (!info.values.empty()) {
    const bool permitted = std::find(info.values.begin(), info.values.end(), file_value) != info.values.end();
    return permitted ? QString() : tr("%1 must be %2").arg(value, shown_range(info, system));
  }
  if (file_value < info.low || file_value > info.high) {
    return tr("%1 is outside the permitted range (%2)").arg(value, shown_range(info, system));
  }
  if (info.kind == model::FieldKind::whole && file_value != std::floor(file_value)) {
    return tr("%1 must be a whole number (%2)").arg(value, shown_range(info, system));
  }
  return {};
}

double stepped(double shown_value, bool up, const model::FieldInfo& info, const units::ShownUnit& unit) {
  const double low = unit.shown(info.low), high = unit.shown(info.high);
  // Of a temperature no share makes sense; at zero the range says what is small.
  const double wish = unit.offset != 0 || info.unit == "°C" ? 1
                      : shown_value == 0                    ? (high - low) / 1000
                                                            : std::fabs(shown_value) / 20;
  const double decade = std::pow(10.0, std::floor(std::log10(wish)));
  const double lead = wish / decade;
  double step = (lead < 1.5 ? 1 : lead < 3.5 ? 2 : lead < 7.5 ? 5 : 10) * decade;
  if (info.kind == model::FieldKind::whole) step = std::max(1.0, std::round(step));
  const double at = shown_value / step;
  // To the next multiple; from a multiple to its neighbour.
  double next = (up ? std::floor(at + 1 + 1e-9) : std::ceil(at - 1 - 1e-9)) * step;
  next = base::number_in(fmt::format("{:.12g}", next));
  if (next >= low && next <= high) return next;
  // The end itself, where the value does not stand beyond it already.
  if (up) return std::max(shown_value, high);
  return std::min(shown_value, low);
}

}  // namespace latchwright::desk

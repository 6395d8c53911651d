// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/part_figures.h"

#include <QCoreApplication>
#include <algorithm>

#include "base/text.h"
#include "desk/field_words.h"
#include "desk/number_entry.h"
#include "model/part_fields.h"

namespace latchwright::desk {

using model::Raw;
using units::UnitSystem;

namespace {

QString tr(const char* text) { return QCoreApplication::translate("latchwright::desk::Parts", text); }

QString item_text(const Raw& item, const units::ShownUnit& unit) {
  if (const double* number = item.number()) return shown_number(*number, unit);
  if (item.is_null()) return tr("no limit");  // only time limits of fuses hold null
  if (const auto* text = item.text()) return QString::fromStdString(base::printable(*text, 200));
  return QString::fromStdString(item.shown());
}

QStringList items_of(const Raw::List& list, const units::ShownUnit& unit) {
  QStringList items;
  for (const Raw& item : list) items.append(item_text(item, unit));
  return items;
}

struct Walk {
  UnitSystem units;
  std::vector<PartFigure> found;

  void add(const QString& group, const std::string& record, const model::FieldInfo& field, const Raw& value,
           const std::string& pointer) {
    const units::ShownUnit unit = units::shown_unit(field.unit, units);
    const QString label = field_label(record, field);
    PartFigure figure{pointer,   group.isEmpty() ? label : tr("%1: %2").arg(group, label),
                      {},        {},
                      unit.text, meaning_of(field),
                      {}};
    if (value.number() && field.unit == "mm²") {
      figure.value = units::area_text(*value.number(), units);
      figure.unit.clear();
    } else {
      if (value.list()) figure.items = items_of(*value.list(), unit);
      figure.value = value.list() ? figure.items.join(QLatin1Char(' ')) : item_text(value, unit);
    }
    found.push_back(std::move(figure));
  }

  void record(const QString& group, const model::RecordInfo& info, const Raw& members,
              const std::string& pointer) {
    for (const auto& field : info.fields) {
      const Raw* value = members.find(field.key);
      if (value == nullptr || field.kind == model::FieldKind::tolerances) continue;
      const std::string place = model::pointer_to(pointer, field.key);
      if (field.child != nullptr && value->object()) {
        record(field_label(info.name, field), *field.child, *value, place);
      } else {
        add(group, info.name, field, *value, place);
      }
    }
  }
};

struct KeyFigures {
  UnitSystem units;

  QString number(double file_value, const char* unit) const {
    return units::value_text(file_value, unit, units);
  }

  QString operator()(const model::Actuator& a) const {
    return tr("%1, %2 wires, %3 motor, %4 thermistor")
        .arg(number(a.stroke * 1e3, "mm"))
        .arg(a.wires)
        .arg(number(a.motor.resistance, "Ω"), number(a.ptc.resistance, "Ω"));
  }
  QString operator()(const model::PtcCurve& c) const {
    return tr("%1 points from %2 to %3")
        .arg(c.T_C.size())
        .arg(number(c.T_C.front(), "°C"), number(c.T_C.back(), "°C"));
  }
  QString operator()(const model::Wire& w) const {
    return tr("%1, %2, class %3")
        .arg(units::area_text(w.area * 1e6, units), number(w.ohm_per_m * 1e3, "mΩ/m"),
             number(w.class_C, "°C"));
  }
  QString operator()(const model::Fuse& f) const {
    return tr("%1, %2, %3")
        .arg(number(f.rating_A, "A"), QString::fromStdString(base::printable(f.colour)),
             number(f.cold_ohm * 1e3, "mΩ"));
  }
  QString operator()(const model::FuseFamily& f) const {
    return tr("time limits at %1 currents").arg(f.multiples.size());
  }
  QString operator()(const model::Relay& r) const {
    return tr("%1, %2 per contact").arg(number(r.rated_A, "A"), number(r.contact_ohm * 1e3, "mΩ"));
  }
};

struct Principal {
  double operator()(const model::Actuator& a) const { return a.stroke * 1e3; }
  double operator()(const model::PtcCurve& c) const { return c.T_C.back(); }
  double operator()(const model::Wire& w) const { return w.area * 1e6; }
  double operator()(const model::Fuse& f) const { return f.rating_A; }
  double operator()(const model::FuseFamily& f) const { return static_cast<double>(f.multiples.size()); }
  double operator()(const model::Relay& r) const { return r.rated_A; }
};

}  // namespace

std::vector<PartFigure> part_figures(const model::Part& part, UnitSystem units) {
  const Raw raw = model::write_part(part);
  Walk walk{units, {}};
  walk.record({}, *model::part_body_info(kind_of(part)), raw, "");
  for (const auto& field : model::part_table().info().fields) {
    if (field.key == "price" && part.price) walk.add({}, "part", field, *raw.find("price"), "/price");
  }
  if (const auto* actuator = std::get_if<model::Actuator>(&part.body)) {
    for (auto& figure : walk.found) {
      const auto half_width = actuator->tolerance.find(figure.pointer);
      if (half_width == actuator->tolerance.end()) continue;
      figure.tolerance = tr("±%1 %").arg(short_number(half_width->second * 100));
    }
  }
  return walk.found;
}

QString key_figures(const model::Part& part, UnitSystem units) {
  return std::visit(KeyFigures{units}, part.body);
}

QString principal_text(const model::Part& part, UnitSystem units) {
  if (const auto* wire = std::get_if<model::Wire>(&part.body))
    return units::area_text(wire->area * 1e6, units);
  return key_figures(part, units).section(QLatin1Char(','), 0, 0);
}

double principal_number(const model::Part& part) { return std::visit(Principal{}, part.body); }

std::vector<model::PartPtr> parts_in_order(const model::Catalogue& catalogue, std::string_view kind) {
  std::vector<model::PartPtr> parts;
  for (const auto& id : catalogue.ids_of(kind)) parts.push_back(catalogue.find(id));
  std::stable_sort(parts.begin(), parts.end(), [](const model::PartPtr& a, const model::PartPtr& b) {
    return principal_number(*a) < principal_number(*b);
  });
  return parts;
}

QString origin_word(const model::Source& source) {
  return source.kind == "invented" ? tr("invented") : choice_label(source.kind);
}

QString origin_line(const model::Source& source) {
  if (source.kind == "invented") return tr("Invented example: measure yours before promising this.");
  if (source.kind == "standard") return tr("Figures of a standard.");
  if (source.kind == "handbook") return tr("Figures of a handbook.");
  if (source.kind == "measured") return tr("Measured.");
  return tr("Figures of a data sheet.");
}

}  // namespace latchwright::desk

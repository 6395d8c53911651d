// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/parts_report.h"

#include <fmt/format.h>

#include "base/text.h"
#include "model/part_fields.h"

namespace latchwright::report {

using base::significant;
using model::Raw;

namespace {

struct Key {
  std::string operator()(const model::Actuator& a) const {
    return fmt::format("{} mm, {} wires, {} Ω motor, {} Ω thermistor", significant(a.stroke * 1e3), a.wires,
                       significant(a.motor.resistance), significant(a.ptc.resistance));
  }
  std::string operator()(const model::PtcCurve& c) const {
    return fmt::format("{} points from {} to {} °C", c.T_C.size(), significant(c.T_C.front()),
                       significant(c.T_C.back()));
  }
  std::string operator()(const model::Wire& w) const {
    return fmt::format("{} mΩ/m, class {} °C", significant(w.ohm_per_m * 1e3), significant(w.class_C));
  }
  std::string operator()(const model::Fuse& f) const {
    return fmt::format("{} A, {}, {} mΩ", significant(f.rating_A), base::printable(f.colour),
                       significant(f.cold_ohm * 1e3));
  }
  std::string operator()(const model::FuseFamily& f) const {
    return fmt::format("time limits at {} currents", f.multiples.size());
  }
  std::string operator()(const model::Relay& r) const { return fmt::format("{} A", significant(r.rated_A)); }
};

/// The items side by side; of a list too long for a table's column, how many and the ends.
std::string list_text(const Raw::List& list) {
  constexpr std::size_t column = 100;
  std::string items;
  for (const Raw& item : list) items += (items.empty() ? "" : " ") + item.shown();
  if (items.size() <= column) return items;
  return fmt::format("{} values, {} to {} (--json has all)", list.size(), list.front().shown(), list.back().shown());
}

void add_record(const Raw::Object& members, const model::RecordInfo& info, const std::string& prefix,
                TextTable& table) {
  for (const auto& field : info.fields) {
    const Raw* value = nullptr;
    for (const auto& [key, content] : members) {
      if (key == field.key) value = &content;
    }
    if (value == nullptr) continue;
    if (field.kind == model::FieldKind::record && value->object()) {
      add_record(*value->object(), *field.child, prefix + field.key + "/", table);
    } else if (value->number() || value->text()) {
      table.add({prefix + field.key, value->text() ? base::printable(*value->text(), 60) : value->shown(), field.unit,
                 field.meaning});
    } else if (const auto* list = value->list()) {
      table.add({prefix + field.key, list_text(*list), field.unit, field.meaning});
    } else if (const auto* object = value->object()) {
      // A curve in place, or tolerances.
      for (const auto& [key, content] : *object) {
        const auto* items = content.list();
        table.add({prefix + field.key + "/" + base::printable(key), items ? list_text(*items) : content.shown(), "",
                   field.meaning});
      }
    }
  }
}

}  // namespace

Raw parts_json(const std::vector<const model::Catalogue::Entry*>& entries) {
  Raw::Object result = result_head("parts", std::nullopt, {});
  Raw::List parts;
  for (const auto* entry : entries) parts.push_back(model::write_part(*entry->part));
  result.emplace_back("parts", Raw(std::move(parts)));
  return Raw(std::move(result));
}

std::string parts_list_text(const std::vector<const model::Catalogue::Entry*>& entries) {
  TextTable table({{"id"}, {"kind"}, {"title"}, {"figures"}, {"source"}});
  for (const auto* entry : entries) {
    const model::Part& part = *entry->part;
    table.add({part.id, kind_of(part), base::printable(part.title, 70), std::visit(Key{}, part.body),
               part.source.kind});
  }
  return table.text();
}

std::string part_text(const model::Catalogue::Entry& entry) {
  const model::Part& part = *entry.part;
  std::string out = fmt::format("{}: {} ({}, {})\n", part.id, base::printable(part.title, 200), kind_of(part), entry.file);
  TextTable table({{"figure"}, {"value"}, {"unit"}, {"meaning"}});
  const Raw raw = model::write_part(part);
  if (part.price) table.add({"price", base::exact_text(*part.price), "", "price"});
  add_record(*raw.object(), *model::part_body_info(kind_of(part)), "", table);
  out += table.text(2);
  out += fmt::format("  source: {}\n", part.source.kind);
  if (!part.source.note.empty()) out += wrapped(base::printable(part.source.note, 4000), 4);
  if (part.source.kind == "invented") out += "  Example part: measure yours before promising this.\n";
  return out;
}

}  // namespace latchwright::report

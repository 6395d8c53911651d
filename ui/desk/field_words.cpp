// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/field_words.h"

#include <QCoreApplication>
#include <QRegularExpression>
#include <QStringList>
#include <map>

#include "model/job_fields.h"
#include "model/part_fields.h"
#include "model/tree_edit.h"

namespace latchwright::desk {

namespace {

#define WORDS(text) QT_TRANSLATE_NOOP("latchwright::desk::Words", text)

QString words(const char* text) { return QCoreApplication::translate("latchwright::desk::Words", text); }

const std::map<std::string, const char*, std::less<>>& labels() {
  static const std::map<std::string, const char*, std::less<>> table{
      {"supply/internal_mohm", WORDS("internal resistance")},
      {"supply/low_V", WORDS("weakest battery")},
      {"supply/usual_V", WORDS("rested battery")},
      {"supply/charge_V", WORDS("while charging")},
      {"supply/high_V", WORDS("highest in service")},
      {"supply/jump_V", WORDS("while jump-starting")},
      {"climate/cold_C", WORDS("coldest air")},
      {"climate/usual_C", WORDS("usual air")},
      {"climate/hot_C", WORDS("hottest air")},
      {"feed/length_m", WORDS("length")},
      {"feed/fuse", WORDS("main fuse")},
      {"feed/ground_mohm", WORDS("ground path")},
      {"feed/bundle_factor", WORDS("bundling")},
      {"feed/hot_C", WORDS("hottest air at the controller")},
      {"feed/other_load_A", WORDS("other load on the fuse")},
      {"rod_force/shape", WORDS("how the force runs")},
      {"rod_force/peak_N", WORDS("largest force")},
      {"rod_force/friction_N", WORDS("force at the ends")},
      {"rod_force/x_mm", WORDS("place")},
      {"rod_force/N", WORDS("force")},
      {"rod_force/cold_factor", WORDS("factor when cold")},
      {"door/branch_length_m", WORDS("length, one way")},
      {"door/joints_mohm", WORDS("plugs and joints")},
      {"door/bundle_factor", WORDS("bundling")},
      {"door/stroke_mm", WORDS("travel of the lock")},
      {"door/rod_force_unlock", WORDS("rod force when unlocking")},
      {"pulse/on_s", WORDS("pulse")},
      {"use/cycles", WORDS("cycles in a row")},
      {"use/hot_cycles", WORDS("cycles in a row when hot")},
      {"use/gap_s", WORDS("rest between pulses")},
      {"limits/force_factor", WORDS("force wanted over load")},
      {"limits/force_factor_low", WORDS("the same, weakest battery")},
      {"limits/stroke_slack_mm", WORDS("spare travel")},
      {"limits/volt_drop_percent", WORDS("largest voltage loss")},
      {"limits/clear_s", WORDS("longest clearing time")},
      {"limits/fuse_loading", WORDS("largest fuse loading")},
      {"spread/rod_force", WORDS("rod forces, ±")},
      {"spread/voltage_V", WORDS("supply voltage, ±")},
      {"spread/ambient_C", WORDS("ambient, ±")},
      {"spread/length", WORDS("run lengths, ±")},
      {"part/source", WORDS("origin")},
      {"source/kind", WORDS("origin")},
      {"source/note", WORDS("origin in words")},
      {"actuator/stroke_mm", WORDS("travel of the rod")},
      {"actuator/drive", WORDS("gears and stop")},
      {"actuator/thermal", WORDS("heat")},
      {"actuator/ptc", WORDS("thermistor")},
      {"actuator/tolerance", WORDS("tolerances")},
      {"motor/resistance_ohm", WORDS("winding resistance")},
      {"motor/winding_class_C", WORDS("winding class")},
      {"motor/winding_fault_C", WORDS("winding in a fault")},
      {"motor/torque_constant_mNm_per_A", WORDS("torque constant")},
      {"motor/viscous_uNms", WORDS("viscous friction")},
      {"motor/magnet_drift_per_K", WORDS("magnet drift")},
      {"motor/cold_stiffening_per_K", WORDS("stiffening in the cold")},
      {"drive/lead_mm", WORDS("lead")},
      {"drive/takeup_turns", WORDS("take-up")},
      {"drive/stop_stiffness_N_per_mm", WORDS("stop, stiffness")},
      {"drive/stop_damping_Ns_per_m", WORDS("stop, damping")},
      {"thermal/winding_J_per_K", WORDS("armature, heat capacity")},
      {"thermal/case_J_per_K", WORDS("motor case, heat capacity")},
      {"thermal/housing_J_per_K", WORDS("housing, heat capacity")},
      {"thermal/winding_to_case_K_per_W", WORDS("armature to case")},
      {"thermal/case_to_housing_K_per_W", WORDS("case to housing")},
      {"thermal/housing_to_ambient_K_per_W", WORDS("housing to air")},
      {"thermal/copper_J_per_K", WORDS("copper, heat capacity")},
      {"thermal/copper_to_core_K_per_W", WORDS("copper to core")},
      {"ptc/resistance_ohm", WORDS("resistance")},
      {"ptc/heat_J_per_K", WORDS("heat capacity")},
      {"ptc/to_housing_mW_per_K", WORDS("loss to the housing")},
      {"ptc/to_case_mW_per_K", WORDS("loss to the motor case")},
      {"ptc/max_V", WORDS("largest voltage")},
      {"ptc/max_A", WORDS("largest current")},
      {"ptc/curve", WORDS("ratio curve")},
      {"ptc/after_trip_ratio", WORDS("ratio after a first trip")},
      {"ptc_curve/T_C", WORDS("temperature")},
      {"wire/area_mm2", WORDS("cross-section")},
      {"wire/mohm_per_m", WORDS("resistance at 20 °C")},
      {"wire/outside_mm", WORDS("outside diameter")},
      {"wire/class_C", WORDS("insulation class")},
      {"wire/short_time_C", WORDS("insulation in a short circuit")},
      {"wire/insulation_W_per_mK", WORDS("insulation conductivity")},
      {"fuse/rating_A", WORDS("rating")},
      {"fuse/cold_mohm", WORDS("cold resistance")},
      {"fuse/rated_V", WORDS("rated voltage")},
      {"fuse/family", WORDS("fuse family")},
      {"fuse_family/multiples", WORDS("current over rating")},
      {"fuse_family/min_s", WORDS("shortest time")},
      {"fuse_family/max_s", WORDS("longest time")},
      {"fuse_family/derating", WORDS("rating over ambient")},
      {"derating/T_C", WORDS("ambient")},
      {"derating/factor", WORDS("usable part")},
      {"relay/contact_mohm", WORDS("contact resistance")},
      {"relay/rated_A", WORDS("switching current")},
  };
  return table;
}

const std::map<std::string, const char*, std::less<>>& headings() {
  static const std::map<std::string, const char*, std::less<>> table{
      {"supply", WORDS("battery and charging")},
      {"climate", WORDS("air in the doors")},
      {"feed", WORDS("feed")},
      {"door", WORDS("door")},
      {"rod_force", WORDS("rod force")},
      {"pulse", WORDS("pulse")},
      {"use", WORDS("use")},
      {"limits", WORDS("what the checks ask for")},
      {"spread", WORDS("how far the installation may differ")},
      {"job", WORDS("job")},
  };
  return table;
}

/// Keys end in their unit, which is no word.
std::string without_unit(const model::FieldInfo& field) {
  const auto last = field.key.rfind('_');
  return field.unit.empty() || last == std::string::npos ? field.key : field.key.substr(0, last);
}

}  // namespace

QString field_label(const std::string& record, const model::FieldInfo& field) {
  const auto found = labels().find(record + "/" + field.key);
  if (found != labels().end()) return words(found->second);
  QString label = QString::fromStdString(without_unit(field));
  return label.replace(QLatin1Char('_'), QLatin1Char(' '));
}

QString record_label(const std::string& record) {
  const auto found = headings().find(record);
  if (found != headings().end()) return words(found->second);
  return kind_label(record);
}

QString choice_label(const std::string& choice) {
  static const std::map<std::string, const char*, std::less<>> table{
      {"steady", WORDS("steady: the same all the way")},
      {"over_centre", WORDS("over centre: up in the middle and back")},
      {"table", WORDS("table: place by place")},
      {"invented", WORDS("invented example")},
      {"standard", WORDS("standard")},
      {"handbook", WORDS("handbook")},
      {"measured", WORDS("measured")},
      {"datasheet", WORDS("data sheet")},
  };
  const auto found = table.find(choice);
  if (found != table.end()) return words(found->second);
  return kind_label(choice);
}

QString kind_label(const std::string& kind) {
  static const std::map<std::string, const char*, std::less<>> table{
      {"actuator", WORDS("actuator")}, {"ptc_curve", WORDS("thermistor curve")}, {"wire", WORDS("wire")},
      {"fuse", WORDS("fuse")},         {"fuse_family", WORDS("fuse family")},    {"relay", WORDS("relay")},
  };
  const auto found = table.find(kind);
  if (found != table.end()) return words(found->second);
  return QString::fromStdString(kind).replace(QLatin1Char('_'), QLatin1Char(' '));
}

QString meaning_of(const model::FieldInfo& field) {
  return QCoreApplication::translate("latchwright::model", field.meaning.c_str());
}

QString place_label(const model::Raw& tree, std::string_view pointer) {
  QString whole = QString::fromUtf8(pointer.data(), static_cast<qsizetype>(pointer.size()));
  QStringList keys = whole.split(QLatin1Char('/'));
  if (keys.size() < 2) return whole;
  keys.removeFirst();
  const model::RecordInfo* record = &model::job_table().info();
  const model::FieldInfo* list = nullptr;
  QStringList said;
  std::string at;
  for (const QString& key : keys) {
    at += "/" + key.toStdString();
    if (list != nullptr) {
      // An item: a door by its name, a part by its id, a row of a table by its number.
      const model::Raw* item = model::value_at(tree, at);
      const model::Raw* name = item ? item->find(list->key == "parts" ? "id" : "name") : nullptr;
      said = {name && name->text()
                  ? QString::fromStdString(*name->text())
                  : words(WORDS("%1, row %2")).arg(said.join(QStringLiteral(": "))).arg(key.toInt() + 1)};
      if (list->key == "parts") {
        const model::Raw* kind = item ? item->find("kind") : nullptr;
        record = kind && kind->text() ? model::part_body_info(*kind->text()) : nullptr;
      } else {
        record = list->child;
      }
      list = nullptr;
      continue;
    }
    const model::FieldInfo* field = nullptr;
    const model::RecordInfo& common = model::part_table().info();
    const bool of_part = at.rfind("/parts/", 0) == 0 && said.size() == 1;
    for (const model::RecordInfo* each : {record, of_part ? &common : nullptr}) {
      if (each == nullptr || field != nullptr) continue;
      for (const auto& candidate : each->fields) {
        if (candidate.key != key.toStdString()) continue;
        field = &candidate;
        if (field->kind == model::FieldKind::record && field->child->fields.size() > 1) {
          said.append(each->name == "job" ? record_label(field->key) : field_label(each->name, *field));
        } else if (field->kind != model::FieldKind::record) {
          said.append(field_label(each->name, *field));
        }
        record = field->child;
        break;
      }
    }
    if (field == nullptr) return whole;
    using model::FieldKind;
    const bool is_list = field->kind == FieldKind::record_list || field->kind == FieldKind::parts ||
                         field->kind == FieldKind::number_list || field->kind == FieldKind::gate_list;
    if (is_list) list = field;
  }
  return said.join(QStringLiteral(": "));
}

QString in_words(const model::Raw& tree, const std::string& fault, const std::string& near) {
  static const QRegularExpression pointer(
      QStringLiteral("(?<![\\w/.])(/[a-z][A-Za-z0-9_]*(/[A-Za-z0-9_]+)*)"));
  const QString text = QString::fromStdString(fault);
  QString said;
  qsizetype end = 0;
  for (auto each = pointer.globalMatch(text); each.hasNext();) {
    const auto match = each.next();
    const QString place = match.captured(1);
    QString label = place_label(tree, place.toStdString());
    // What stands in the same form needs no name of its record.
    const QString around = place_label(tree, near) + QLatin1String(": ");
    if (!near.empty() && place.startsWith(QString::fromStdString(near)) && label.startsWith(around)) {
      label = label.mid(around.size());
    }
    said += text.mid(end, match.capturedStart(1) - end);
    said += label == place ? place : QStringLiteral("\"%1\"").arg(label);
    end = match.capturedEnd(1);
  }
  return said + text.mid(end);
}

}  // namespace latchwright::desk

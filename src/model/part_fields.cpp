// SPDX-License-Identifier: GPL-3.0-or-later
#include "model/part_fields.h"

#include "base/text.h"
#include "model/field_rows.h"

namespace latchwright::model {

namespace {
constexpr double micro = 1e-6;
constexpr double g_cm2 = 1e-7;   // kg·m²
constexpr double mm2 = 1e-6;     // m²
constexpr double per_mm = 1e3;   // N/mm in N/m
constexpr Bounds temperature{-60, 400};
}  // namespace

const Table<Motor>& motor_table() {
  static const Table<Motor> table("motor", {
      number(&Motor::resistance, "resistance_ohm", "ohm", 1, {0.05, 500}, "winding resistance at 25 °C, brushes included"),
      number(&Motor::inductance, "inductance_mH", "mH", milli, {0.01, 100}, "armature inductance"),
      number(&Motor::torque_constant, "torque_constant_mNm_per_A", "mN·m/A", milli, {0.1, 200}, "torque per ampere at 25 °C, the same number as V·s/rad"),
      number(&Motor::brush_drop, "brush_drop_V", "V", 1, {0, 3}, "voltage lost at both brushes together"),
      number(&Motor::friction, "friction_mNm", "mN·m", milli, {0, 100}, "Coulomb friction at the motor shaft at 25 °C"),
      number(&Motor::viscous, "viscous_uNms", "µN·m·s", micro, {0, 1000}, "viscous friction at the motor shaft"),
      number(&Motor::inertia, "inertia_gcm2", "g·cm²", g_cm2, {0.05, 1000}, "inertia of armature and gears at the motor shaft"),
      number(&Motor::magnet_drift_per_K, "magnet_drift_per_K", "1/K", 1, {-0.004, 0.004}, "relative change of the torque constant per kelvin of case temperature"),
      number(&Motor::cold_stiffening_per_K, "cold_stiffening_per_K", "1/K", 1, {0, 0.1}, "growth of friction per kelvin below 25 °C"),
      number(&Motor::winding_class_C, "winding_class_C", "°C", 1, {60, 300}, "thermal class of the winding insulation"),
      number(&Motor::winding_fault_C, "winding_fault_C", "°C", 1, {60, 400}, "winding temperature permitted in a fault; default from the class"),
  });
  return table;
}

const Table<Drive>& drive_table() {
  static const Table<Drive> table("drive", {
      number(&Drive::gear_ratio, "gear_ratio", "", 1, {0.1, 1000}, "motor turns per turn of the screw or pinion"),
      number(&Drive::lead, "lead_mm", "mm", milli, {0.1, 500}, "rod travel per turn of the screw or pinion"),
      number(&Drive::efficiency, "efficiency", "", 1, {0.02, 1}, "efficiency of gears and screw"),
      number(&Drive::takeup_turns, "takeup_turns", "turns", 1, {0, 50}, "motor turns before the rod moves"),
      number(&Drive::stop_stiffness, "stop_stiffness_N_per_mm", "N/mm", per_mm, {0.1, 10000}, "stiffness of the bump stop"),
      number(&Drive::stop_damping, "stop_damping_Ns_per_m", "N·s/m", 1, {0, 10000}, "damping of the bump stop"),
  });
  return table;
}

const Table<Thermal>& thermal_table() {
  static const Table<Thermal> table("thermal", {
      number(&Thermal::winding_J_per_K, "winding_J_per_K", "J/K", 1, {0.05, 2000}, "heat capacity of the armature, copper and iron"),
      number(&Thermal::case_J_per_K, "case_J_per_K", "J/K", 1, {0.05, 5000}, "heat capacity of the motor case"),
      number(&Thermal::housing_J_per_K, "housing_J_per_K", "J/K", 1, {0.05, 20000}, "heat capacity of the actuator housing"),
      number(&Thermal::winding_to_case_K_per_W, "winding_to_case_K_per_W", "K/W", 1, {0.05, 1000}, "thermal resistance from armature to motor case"),
      number(&Thermal::case_to_housing_K_per_W, "case_to_housing_K_per_W", "K/W", 1, {0.05, 1000}, "thermal resistance from motor case to housing"),
      number(&Thermal::housing_to_ambient_K_per_W, "housing_to_ambient_K_per_W", "K/W", 1, {0.05, 1000}, "thermal resistance from housing to the air in the door"),
      number(&Thermal::copper_J_per_K, "copper_J_per_K", "J/K", 1, {0.01, 2000}, "heat capacity of the copper alone (option: copper and core apart)"),
      number(&Thermal::copper_to_core_K_per_W, "copper_to_core_K_per_W", "K/W", 1, {0.01, 1000}, "thermal resistance from copper to core (option)"),
      number(&Thermal::hot_coil_share, "hot_coil_share", "", 1, {0.333, 0.667}, "share of the copper loss in the hottest of three coils: 1/3 when even, to 2/3 (option)"),
  });
  return table;
}

const Table<PtcCurve>& ptc_curve_table() {
  static const Table<PtcCurve> table("ptc_curve", {
      number_list(&PtcCurve::T_C, "T_C", "°C", 1, temperature, {4, most_curve_points}, true, "temperatures, rising, spanning 25 °C"),
      number_list(&PtcCurve::ratio, "ratio", "", 1, {1e-3, 1e9}, {4, most_curve_points}, true, "resistance over its value at 25 °C"),
  });
  return table;
}

namespace {

Field<Ptc> curve_row() {
  Field<Ptc> field;
  field.info.key = "curve";
  field.info.kind = FieldKind::curve;
  field.info.meaning = "ratio curve in place (T_C, ratio) or the id of a ptc_curve part";
  field.info.low = 1;
  field.info.high = 64;
  field.info.child = &ptc_curve_table().info();
  field.read = [](const Raw& raw, const std::string& pointer, ReadContext& context, Ptc& ptc) {
    if (raw.text() != nullptr) {
      FieldInfo info;
      info.kind = FieldKind::identifier;
      info.low = 1;
      info.high = 64;
      if (auto id = read_text(raw, info, pointer, context)) ptc.curve = std::move(*id);
    } else if (raw.object() != nullptr) {
      PtcCurve curve;
      read_record(raw, ptc_curve_table(), pointer, context, curve);
      ptc.curve = std::move(curve);
    } else {
      add_wrong_type(raw, "a curve (T_C, ratio) or an id", pointer, context);
    }
  };
  field.write = [](const Ptc& ptc) -> std::optional<Raw> {
    if (const auto* id = std::get_if<std::string>(&ptc.curve)) return Raw(*id);
    return Raw(write_record(std::get<PtcCurve>(ptc.curve), ptc_curve_table()));
  };
  return field;
}

Field<Actuator> tolerance_row() {
  Field<Actuator> field;
  field.info.key = "tolerance";
  field.info.kind = FieldKind::tolerances;
  field.info.required = false;
  field.info.low = 0;
  field.info.high = 0.9;
  field.info.meaning = "relative half-width of single figures: pointer within the part (/ptc/resistance_ohm) to a number";
  field.read = [info = field.info](const Raw& raw, const std::string& pointer, ReadContext& context,
                                   Actuator& actuator) {
    const Raw::Object* members = raw.object();
    if (members == nullptr) {
      add_wrong_type(raw, "an object", pointer, context);
      return;
    }
    for (const auto& [path, value] : *members) {
      const auto& known = actuator_number_pointers();
      const std::string place = pointer_to(pointer, path);
      bool found = false;
      for (const auto& name : known) found = found || name == path;
      if (!found) {
        const std::string near = base::nearest_word(path, known);
        context.add(place, "names no figure of the actuator" +
                               (near.empty() ? std::string(" (a pointer such as /motor/resistance_ohm is wanted)")
                                             : "; did you mean \"" + near + "\"?"));
      } else if (const auto half_width = read_number(value, info, place, context)) {
        actuator.tolerance[path] = *half_width;
      }
    }
  };
  field.write = [](const Actuator& actuator) -> std::optional<Raw> {
    if (actuator.tolerance.empty()) return std::nullopt;
    Raw::Object members;
    for (const auto& [path, half_width] : actuator.tolerance) members.emplace_back(path, Raw(half_width));
    return Raw(std::move(members));
  };
  return field;
}

Field<FuseFamily> gate_row(std::vector<std::optional<double>> FuseFamily::*member, std::string key,
                           std::string meaning) {
  Field<FuseFamily> field;
  field.info.key = std::move(key);
  field.info.kind = FieldKind::gate_list;
  field.info.unit = "s";
  field.info.low = 1e-4;
  field.info.high = 1e7;
  field.info.min_items = 2;
  field.info.max_items = 32;
  field.info.meaning = std::move(meaning);
  field.read = [info = field.info, member](const Raw& raw, const std::string& pointer, ReadContext& context,
                                           FuseFamily& family) {
    if (auto values = read_list(raw, info, pointer, context)) family.*member = std::move(*values);
  };
  field.write = [member](const FuseFamily& family) -> std::optional<Raw> {
    Raw::List items;
    for (const auto& value : family.*member) items.push_back(value ? Raw(*value) : Raw());
    return Raw(std::move(items));
  };
  return field;
}

}  // namespace

const Table<Ptc>& ptc_table() {
  static const Table<Ptc> table("ptc", {
      number(&Ptc::resistance, "resistance_ohm", "ohm", 1, {0.005, 200}, "resistance as new at 25 °C"),
      number(&Ptc::heat_J_per_K, "heat_J_per_K", "J/K", 1, {0.005, 200}, "heat capacity of the thermistor"),
      number(&Ptc::to_housing_W_per_K, "to_housing_mW_per_K", "mW/K", milli, {0.1, 2000}, "loss to the housing"),
      number(&Ptc::to_case_W_per_K, "to_case_mW_per_K", "mW/K", milli, {0, 2000}, "loss to the motor case"),
      number(&Ptc::max_V, "max_V", "V", 1, {1, 1000}, "largest voltage that the thermistor may block"),
      number(&Ptc::max_A, "max_A", "A", 1, {0.05, 500}, "largest current that the thermistor may interrupt"),
      curve_row(),
      number(&Ptc::after_trip_ratio, "after_trip_ratio", "", 1, {0.5, 20}, 1, "resistance after a first trip over the resistance as new"),
  });
  return table;
}

const Table<Actuator>& actuator_table() {
  static const Table<Actuator> table("actuator", {
      number(&Actuator::stroke, "stroke_mm", "mm", milli, {2, 100}, "travel of the rod"),
      [] {
        auto row = whole(&Actuator::wires, "wires", "", {2, 5}, std::nullopt, "how many wires: motor only, or with end switches");
        row.info.values = {2, 5};
        row.read = [info = row.info](const Raw& raw, const std::string& pointer, ReadContext& context, Actuator& a) {
          if (const auto value = read_number(raw, info, pointer, context)) a.wires = static_cast<int>(*value);
        };
        return row;
      }(),
      record(&Actuator::motor, "motor", motor_table(), false, "the brushed DC motor"),
      record(&Actuator::drive, "drive", drive_table(), false, "gears, screw or rack, and bump stop"),
      record(&Actuator::thermal, "thermal", thermal_table(), false, "heat capacities and thermal resistances"),
      record(&Actuator::ptc, "ptc", ptc_table(), false, "the series thermistor"),
      tolerance_row(),
  });
  return table;
}

const Table<Wire>& wire_table() {
  static const Table<Wire> table("wire", {
      number(&Wire::area, "area_mm2", "mm²", mm2, {0.05, 100}, "copper cross-section"),
      number(&Wire::ohm_per_m, "mohm_per_m", "mΩ/m", milli, {0.1, 500}, "resistance of one conductor at 20 °C"),
      number(&Wire::outside, "outside_mm", "mm", milli, {0.3, 30}, "diameter over the insulation"),
      number(&Wire::class_C, "class_C", "°C", 1, {60, 300}, "temperature class of the insulation"),
      number(&Wire::short_time_C, "short_time_C", "°C", 1, {80, 500}, "insulation temperature permitted in a short circuit"),
      number(&Wire::insulation_W_per_mK, "insulation_W_per_mK", "W/(m·K)", 1, {0.02, 2}, 0.17, "thermal conductivity of the insulation"),
  });
  return table;
}

const Table<Fuse>& fuse_table() {
  static const Table<Fuse> table("fuse", {
      number(&Fuse::rating_A, "rating_A", "A", 1, {0.5, 500}, "rated current"),
      number(&Fuse::cold_ohm, "cold_mohm", "mΩ", milli, {0.01, 1000}, "resistance when cold"),
      number(&Fuse::rated_V, "rated_V", "V", 1, {6, 1000}, "rated voltage"),
      text(&Fuse::family, "family", FieldKind::identifier, true, {1, 64}, "id of its fuse_family"),
      text(&Fuse::colour, "colour", FieldKind::text, true, {1, 40}, "colour of the body"),
  });
  return table;
}

const Table<FuseFamily::Derating>& derating_table() {
  static const Table<FuseFamily::Derating> table("derating", {
      number_list(&FuseFamily::Derating::T_C, "T_C", "°C", 1, temperature, {1, 32}, true, "ambient temperatures, rising"),
      number_list(&FuseFamily::Derating::factor, "factor", "", 1, {0.1, 2}, {1, 32}, true, "usable part of the rating there"),
  });
  return table;
}

const Table<FuseFamily>& fuse_family_table() {
  static const Table<FuseFamily> table("fuse_family", {
      number_list(&FuseFamily::multiples, "multiples", "", 1, {1, 100}, {2, 32}, true, "currents as multiples of the rating, rising"),
      gate_row(&FuseFamily::min_s, "min_s", "shortest permitted opening times; null: no limit"),
      gate_row(&FuseFamily::max_s, "max_s", "longest permitted opening times; null: no limit"),
      optional_record(&FuseFamily::derating, "derating", derating_table(), "usable part of the rating over ambient"),
  });
  return table;
}

const Table<Relay>& relay_table() {
  static const Table<Relay> table("relay", {
      number(&Relay::contact_ohm, "contact_mohm", "mΩ", milli, {0.01, 1000}, "resistance of one contact"),
      number(&Relay::rated_A, "rated_A", "A", 1, {0.1, 1000}, "current that a contact may switch into a stalled motor at 85 °C"),
  });
  return table;
}

const Table<Source>& source_table() {
  static const Table<Source> table("source", {
      text(&Source::kind, "kind", FieldKind::choice, true, {1, 40}, "where the figures come from",
           {"invented", "standard", "handbook", "measured", "datasheet"}),
      text(&Source::note, "note", FieldKind::text, false, {0, 4000}, "the origin of each figure in words", {},
           Lines::many),
  });
  return table;
}

const std::vector<std::string>& part_kinds() {
  static const std::vector<std::string> kinds{"actuator", "ptc_curve", "wire", "fuse", "fuse_family", "relay"};
  return kinds;
}

const Table<Part>& part_table() {
  static const Table<Part> table("part", {
      text(&Part::id, "id", FieldKind::identifier, true, {1, 64}, "name of the part in files, unique"),
      [] {
        Field<Part> field;
        field.info.key = "kind";
        field.info.kind = FieldKind::choice;
        field.info.low = 1;
        field.info.high = 40;
        field.info.choices = part_kinds();
        field.info.meaning = "the kind of part";
        field.read = [](const Raw&, const std::string&, ReadContext&, Part&) {};  // read_part has read it already
        field.write = [](const Part& part) -> std::optional<Raw> { return Raw(kind_of(part)); };
        return field;
      }(),
      text(&Part::title, "title", FieldKind::text, true, {1, 200}, "what people call it"),
      record(&Part::source, "source", source_table(), false, "where the figures come from"),
      number(&Part::price, "price", "", 1, {0.001, 1e6}, "price, in whatever money the whole catalogue uses"),
  });
  return table;
}

}  // namespace latchwright::model

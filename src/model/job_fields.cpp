// SPDX-License-Identifier: GPL-3.0-or-later
#include "model/job_fields.h"

#include "model/field_rows.h"
#include "model/part_fields.h"

namespace latchwright::model {

namespace {

constexpr Bounds voltage{4, 36};
constexpr Bounds climate_range{-60, 120};
constexpr Bounds run_length{0, 30};
constexpr Bounds small_ohms{0, 1000};
constexpr Bounds id_length{1, 64};

template <class R>  // NOLINTNEXTLINE(performance-unnecessary-value-param): moved, as in model/field_rows.h
Field<R> reference(PartRef R::*member, std::string key, std::string meaning) {
  Field<R> field;
  field.info.key = std::move(key);
  field.info.kind = FieldKind::reference;
  field.info.required = false;
  field.info.low = id_length.low;
  field.info.high = id_length.high;
  field.info.meaning = std::move(meaning);
  field.read = [info = field.info, member](const Raw& raw, const std::string& pointer, ReadContext& context,
                                           R& record) {
    if (raw.is_null()) {
      record.*member = std::nullopt;
    } else if (auto id = read_text(raw, info, pointer, context)) {
      record.*member = std::move(*id);
    }
  };
  field.write = [member](const R& record) -> std::optional<Raw> {
    return record.*member ? Raw(*(record.*member)) : Raw();
  };
  return field;
}

Field<Door> branch_fuse() {
  Field<Door> field;
  field.info.key = "fuse";
  field.info.kind = FieldKind::reference;
  field.info.required = false;
  field.info.low = id_length.low;
  field.info.high = id_length.high;
  field.info.meaning = "fuse of this door run at the controller; absent: none fitted, null: to be chosen";
  field.read = [info = field.info](const Raw& raw, const std::string& pointer, ReadContext& context, Door& door) {
    if (raw.is_null()) {
      door.fuse = PartRef{};
    } else if (auto id = read_text(raw, info, pointer, context)) {
      door.fuse = PartRef{std::move(*id)};
    }
  };
  field.write = [](const Door& door) -> std::optional<Raw> {
    if (!door.fuse) return std::nullopt;
    return *door.fuse ? Raw(**door.fuse) : Raw();
  };
  return field;
}

Field<RodForce> shape_row() {
  const std::vector<std::string>& names = rod_shape_names();
  Field<RodForce> field;
  field.info.key = "shape";
  field.info.kind = FieldKind::choice;
  field.info.low = 1;
  field.info.high = 40;
  field.info.choices = names;
  field.info.meaning = "how the force runs: steady (peak_N all the way), over_centre (from friction_N up to peak_N and back) or table (x_mm, N)";
  field.read = [info = field.info, &names](const Raw& raw, const std::string& pointer, ReadContext& context,
                                           RodForce& force) {
    if (const auto word = read_text(raw, info, pointer, context)) {
      for (std::size_t k = 0; k < names.size(); ++k) {
        if (names[k] == *word) force.shape = static_cast<RodShape>(k);
      }
    }
  };
  field.write = [&names](const RodForce& force) -> std::optional<Raw> {
    return Raw(names[static_cast<std::size_t>(force.shape)]);
  };
  return field;
}

/// A rod force figure that only some shapes carry: written only where it belongs.
Field<RodForce> shape_number(double RodForce::*member, std::string key, std::string meaning,
                             std::vector<RodShape> shapes) {
  auto field = number(member, std::move(key), "N", 1, {0, 1000}, std::move(meaning));
  field.info.required = false;
  field.write = [member, shapes = std::move(shapes)](const RodForce& force) -> std::optional<Raw> {
    for (const RodShape shape : shapes) {
      if (shape == force.shape) return Raw(force.*member);
    }
    return std::nullopt;
  };
  return field;
}

Field<Job> parts_row() {
  Field<Job> field;
  field.info.key = "parts";
  field.info.kind = FieldKind::parts;
  field.info.required = false;
  field.info.max_items = most_parts;
  field.info.meaning = "parts that travel with the job; they win over the catalogue on the same id";
  field.read = [](const Raw& raw, const std::string& pointer, ReadContext& context, Job& job) {
    const Raw::List* list = raw.list();
    if (list == nullptr) {
      add_wrong_type(raw, "a list", pointer, context);
    } else if (list->size() > most_parts) {
      context.add(pointer, "has " + entries_text(list->size()) + " (at most " + std::to_string(most_parts) +
                               " permitted)");
    } else {
      for (std::size_t k = 0; k < list->size(); ++k) {
        read_part((*list)[k], pointer_to(pointer, k), context, job.parts.emplace_back());
      }
    }
  };
  field.write = [](const Job& job) -> std::optional<Raw> {
    if (job.parts.empty()) return std::nullopt;
    Raw::List list;
    for (const auto& part : job.parts) list.push_back(write_part(part));
    return Raw(std::move(list));
  };
  return field;
}

}  // namespace

const Table<Supply>& supply_table() {
  static const Table<Supply> table("supply", {
      number(&Supply::internal_ohm, "internal_mohm", "mΩ", milli, small_ohms, 15, "internal resistance of the battery"),
      number(&Supply::low_V, "low_V", "V", 1, voltage, 9.0, "open-circuit voltage of the weakest battery"),
      number(&Supply::usual_V, "usual_V", "V", 1, voltage, 12.6, "open-circuit voltage of the rested battery"),
      number(&Supply::charge_V, "charge_V", "V", 1, voltage, 14.4, "voltage while charging"),
      number(&Supply::high_V, "high_V", "V", 1, voltage, 15.0, "highest voltage in service"),
      number(&Supply::jump_V, "jump_V", "V", 1, voltage, "voltage while jump-starting; default: 24 V or high_V, the larger"),
  });
  return table;
}

const Table<Climate>& climate_table() {
  static const Table<Climate> table("climate", {
      number(&Climate::cold_C, "cold_C", "°C", 1, climate_range, -20, "coldest air in the door"),
      number(&Climate::usual_C, "usual_C", "°C", 1, climate_range, 23, "usual air in the door"),
      number(&Climate::hot_C, "hot_C", "°C", 1, climate_range, 60, "hottest air in the door: 60 hot, 70 severe, 80 extreme"),
  });
  return table;
}

const Table<Feed>& feed_table() {
  static const Table<Feed> table("feed", {
      number(&Feed::length, "length_m", "m", 1, run_length, "length of the feed, one conductor"),
      reference(&Feed::wire, "wire", "wire of the feed"),
      reference(&Feed::fuse, "fuse", "main fuse"),
      reference(&Feed::relay, "relay", "relay or controller output"),
      number(&Feed::ground_ohm, "ground_mohm", "mΩ", milli, small_ohms, 5, "resistance of the ground path"),
      number(&Feed::bundle_factor, "bundle_factor", "", 1, {0.5, 10}, 1, "thermal resistance of the feed in its bundle over that in free air"),
      number(&Feed::hot_C, "hot_C", "°C", 1, climate_range, 60, "hottest air at the controller, where fuses and feed run"),
      number(&Feed::other_load_A, "other_load_A", "A", 1, {0, 200}, 0, "what else draws from the same fused circuit"),
  });
  return table;
}

const std::vector<std::string>& rod_shape_names() {
  static const std::vector<std::string> names{"steady", "over_centre", "table"};
  return names;
}

const std::vector<std::string>& rod_shape_keys(RodShape shape) {
  static const std::vector<std::string> keys[] = {{"peak_N"}, {"friction_N", "peak_N"}, {"x_mm", "N"}};
  return keys[static_cast<std::size_t>(shape)];
}

const Table<RodForce>& rod_force_table() {
  static const Table<RodForce> table("rod_force", {
      shape_row(),
      shape_number(&RodForce::peak, "peak_N", "largest force of the rod", {RodShape::steady, RodShape::over_centre}),
      shape_number(&RodForce::friction, "friction_N", "force of the rod at the ends of its travel", {RodShape::over_centre}),
      number_list(&RodForce::x, "x_mm", "mm", milli, {0, 100}, {2, most_rod_points}, false, "places along the travel, from 0, rising, to the door's stroke"),
      number_list(&RodForce::force, "N", "N", 1, {-1000, 1000}, {2, most_rod_points}, false, "force there; negative where the lock helps"),
      number(&RodForce::cold_factor, "cold_factor", "", 1, {1, 4}, 1, "force at cold_C over force at 23 °C"),
  });
  return table;
}

const Table<Door>& door_table() {
  static const Table<Door> table("door", {
      text(&Door::name, "name", FieldKind::text, true, {1, 60}, "what people call this door, unique"),
      reference(&Door::actuator, "actuator", "actuator of this door"),
      reference(&Door::wire, "wire", "wire of this door run"),
      branch_fuse(),
      number(&Door::branch_length, "branch_length_m", "m", 1, run_length, "length of the door run, one way"),
      number(&Door::joints_ohm, "joints_mohm", "mΩ", milli, small_ohms, 10, "plugs and joints of the door run together"),
      number(&Door::bundle_factor, "bundle_factor", "", 1, {0.5, 10}, 1, "thermal resistance of the door run in its bundle over that in free air"),
      number(&Door::stroke, "stroke_mm", "mm", milli, {2, 100}, "travel that the lock needs"),
      record(&Door::rod_force, "rod_force", rod_force_table(), false, "force of the rod over its travel"),
      optional_record(&Door::rod_force_unlock, "rod_force_unlock", rod_force_table(), "force when unlocking, where it differs"),
  });
  return table;
}

const Table<Pulse>& pulse_table() {
  static const Table<Pulse> table("pulse", {
      number(&Pulse::on_s, "on_s", "s", 1, {0.02, 10}, 0.5, "length of the controller's pulse"),
  });
  return table;
}

const Table<Use>& use_table() {
  static const Table<Use> table("use", {
      whole(&Use::cycles, "cycles", "cycles", {1, 1000}, 10, "lock-and-unlock cycles in a row wanted at cold and usual ambient"),
      whole(&Use::hot_cycles, "hot_cycles", "cycles", {1, 1000}, 5, "the same at hot ambient"),
      number(&Use::gap_s, "gap_s", "s", 1, {0, 3600}, 1.0, "rest between pulses"),
  });
  return table;
}

const Table<Limits>& limits_table() {
  static const Table<Limits> table("limits", {
      number(&Limits::force_factor, "force_factor", "", 1, {0.1, 10}, 1.5, "rod force at standstill wanted over the rod's load"),
      number(&Limits::force_factor_low, "force_factor_low", "", 1, {0.1, 10}, 1.2, "the same at low_V"),
      number(&Limits::stroke_slack, "stroke_slack_mm", "mm", milli, {0.01, 20}, 1.0, "travel wanted beyond the door's stroke"),
      number(&Limits::volt_drop_percent, "volt_drop_percent", "%", 1, {0.1, 50}, 15, "largest loss between battery and actuator at stall"),
      number(&Limits::clear_s, "clear_s", "s", 1, {0.01, 3600}, 5, "longest time for a fuse to clear a short circuit"),
      number(&Limits::fuse_loading, "fuse_loading", "", 1, {0.1, 1}, 0.75, "largest part of its rating that a fuse carries in use"),
  });
  return table;
}

const Table<Spread>& spread_table() {
  static const Table<Spread> table("spread", {
      number(&Spread::rod_force, "rod_force", "", 1, {0, 0.9}, 0.2, "rod forces: relative half-width"),
      number(&Spread::voltage_V, "voltage_V", "V", 1, {0, 5}, 0.3, "supply voltage: half-width"),
      number(&Spread::ambient_C, "ambient_C", "K", 1, {0, 50}, 5, "ambient: half-width"),
      number(&Spread::length, "length", "", 1, {0, 0.9}, 0.1, "run lengths: relative half-width"),
  });
  return table;
}

const Table<Job>& job_table() {
  static const Table<Job> table("job", {
      text(&Job::title, "title", FieldKind::text, false, {0, 200}, "what the job is called"),
      text(&Job::notes, "notes", FieldKind::text, false, {0, 20000}, "anything worth keeping", {},
           Lines::many),
      record(&Job::supply, "supply", supply_table(), true, "battery and charging"),
      record(&Job::climate, "climate", climate_table(), true, "air in the doors"),
      record(&Job::feed, "feed", feed_table(), false, "from the battery to the relay"),
      record_list(&Job::doors, "doors", door_table(), {1, most_doors}, "the doors, each with its own run"),
      record(&Job::pulse, "pulse", pulse_table(), true, "the controller's pulse"),
      record(&Job::use, "use", use_table(), true, "how it is used"),
      record(&Job::limits, "limits", limits_table(), true, "what the checks ask for"),
      record(&Job::spread, "spread", spread_table(), true, "how far the installation may differ from this job"),
      parts_row(),
  });
  return table;
}

}  // namespace latchwright::model

// SPDX-License-Identifier: GPL-3.0-or-later
#include "load/lawful_job.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "io/json.h"
#include "model/job_fields.h"
#include "model/part_fields.h"
#include "support/lawful_draw.h"
#include "support/worked_case.h"

namespace latchwright::tests {

namespace {

using model::Raw;

Raw& member(Raw& object, std::string_view key) {
  for (auto& [name, value] : *object.object()) {
    if (name == key) return value;
  }
  throw std::logic_error(fmt::format("no member {}", key));
}

const model::FieldInfo& row_of(const model::RecordInfo& info, std::string_view key) {
  for (const auto& row : info.fields) {
    if (row.key == key) return row;
  }
  throw std::logic_error(fmt::format("no row {}", key));
}

double drawn(const model::RecordInfo& info, std::string_view key, Draw& draw) {
  return lawful_number(row_of(info, key), draw);
}

/// The numbers of these keys in rising order, defaults written out; what has neither number nor default stays
/// away.
void put_in_order(Raw& record, const model::RecordInfo& info, std::initializer_list<const char*> keys) {
  std::vector<double> values;
  for (const char* key : keys) {
    const auto fallback = row_of(info, key).fallback;
    if (record.find(key) == nullptr && fallback) set_member(record, key, Raw(*fallback));
    if (record.find(key)) values.push_back(number_at(record, key));
  }
  std::sort(values.begin(), values.end());
  std::size_t next = 0;
  for (const char* key : keys) {
    if (record.find(key)) set_member(record, key, Raw(values[next++]));
  }
}

Raw numbers(const std::vector<double>& values) {
  Raw::List list;
  for (const double value : values) list.emplace_back(value);
  return Raw(std::move(list));
}

/// Any curve of four to 64 points that is 1 at 25 degC.
Raw lawful_curve(Draw& draw) {
  const auto& info = model::ptc_curve_table().info();
  std::vector<double> places{25}, ratios;
  const auto below = 1 + draw.below(draw.chance(0.1) ? 31 : 5),
             above = 3 + draw.below(draw.chance(0.1) ? 29 : 8);
  for (std::size_t k = 0; k < below; ++k) places.push_back(draw.between(-60, 24.9));
  for (std::size_t k = 0; k < above; ++k) places.push_back(draw.between(25.1, draw.chance(0.5) ? 200 : 400));
  std::sort(places.begin(), places.end());
  places.erase(std::unique(places.begin(), places.end()), places.end());
  const bool wild = draw.chance(0.3);
  for (const double place : places) {
    if (place == 25) {
      ratios.push_back(1);
    } else if (wild) {
      ratios.push_back(drawn(info, "ratio", draw));
    } else {
      ratios.push_back(place < 25 ? draw.around(0.3, 3) : draw.around(0.5, 1e6));
    }
  }
  // A curve that only rises past 25 degC is the usual kind.
  const auto at_25 = std::find(places.begin(), places.end(), 25.0) - places.begin();
  if (!wild && draw.chance(0.7)) std::sort(ratios.begin() + at_25 + 1, ratios.end());
  return Raw(Raw::Object{{"T_C", numbers(places)}, {"ratio", numbers(ratios)}});
}

Raw lawful_rod_force(const Raw& usual, double stroke_mm, double wild, Draw& draw) {
  if (!draw.chance(wild)) return usual;
  const auto& info = model::rod_force_table().info();
  const auto shape = static_cast<model::RodShape>(draw.below(3));
  Raw out(Raw::Object{{"shape", Raw(model::rod_shape_names()[static_cast<std::size_t>(shape)])}});
  if (draw.chance(0.5)) set_member(out, "cold_factor", Raw(drawn(info, "cold_factor", draw)));
  if (shape == model::RodShape::table) {
    std::vector<double> places{
        0, draw.chance(0.5) ? stroke_mm : std::min(100.0, stroke_mm * draw.between(1, 3))};
    for (auto more = draw.below(draw.chance(0.1) ? 62 : 6); more > 0; --more) {
      places.push_back(draw.between(0.001, stroke_mm));
    }
    std::sort(places.begin(), places.end());
    places.erase(std::unique(places.begin(), places.end()), places.end());
    const double scale = draw.around(0.1, 1000);
    std::vector<double> forces;
    for (std::size_t k = 0; k < places.size(); ++k) forces.push_back(draw.between(-scale, scale));
    set_member(out, "x_mm", numbers(places));
    set_member(out, "N", numbers(forces));
    return out;
  }
  const double peak = drawn(info, "peak_N", draw);
  set_member(out, "peak_N", Raw(peak));
  if (shape == model::RodShape::over_centre) set_member(out, "friction_N", Raw(peak * draw.between(0, 1)));
  return out;
}

void put_right(Raw& part, double wild, Draw& draw) {
  const std::string kind = *part.find("kind")->text();
  if (kind == "wire") {
    const double conductor_mm = std::sqrt(4 * number_at(part, "area_mm2") / 3.14159265358979323846);
    set_member(part, "outside_mm", Raw(std::max(number_at(part, "outside_mm"), conductor_mm * 1.01)));
    put_in_order(part, model::wire_table().info(), {"class_C", "short_time_C"});
    set_member(part, "short_time_C", Raw(std::max(80.0, number_at(part, "short_time_C"))));
  } else if (kind == "actuator") {
    put_in_order(member(part, "motor"), model::motor_table().info(), {"winding_class_C", "winding_fault_C"});
    Raw& thermal = member(part, "thermal");
    for (const char* key : {"copper_J_per_K", "copper_to_core_K_per_W", "hot_coil_share"})
      drop_member(thermal, key);
    if (draw.chance(0.4)) {
      const auto& info = model::thermal_table().info();
      const double winding = number_at(thermal, "winding_J_per_K");
      set_member(thermal, "copper_J_per_K", Raw(std::max(0.01, winding * draw.between(0.001, 0.999))));
      set_member(thermal, "copper_to_core_K_per_W", Raw(drawn(info, "copper_to_core_K_per_W", draw)));
      if (draw.chance(0.5)) set_member(thermal, "hot_coil_share", Raw(drawn(info, "hot_coil_share", draw)));
    }
    if (draw.chance(wild)) set_member(member(part, "ptc"), "curve", lawful_curve(draw));
  }
}

}  // namespace

double share_drawn(std::size_t index) {
  constexpr double shares[] = {0.02, 0.1, 0.3, 1};
  return shares[index % std::size(shares)];
}

Raw lawful_job(std::uint64_t seed, std::size_t index) {
  Draw draw(Draw(seed).bits() ^ Draw(index + 1).bits());
  const double wild = share_drawn(index);
  const std::size_t doors = draw.chance(0.5) ? 1 : 1 + draw.below(model::most_doors);
  auto read = io::parse_json(worked_case_json(static_cast<int>(doors)), "worked case");
  if (!read.ok()) throw std::logic_error(read.issues().front().line());
  Raw job = scattered(read.value(), model::job_table().info(), wild, draw);
  set_member(job, "title", Raw(fmt::format("seed {} job {}", seed, index)));
  put_in_order(member(job, "supply"), model::supply_table().info(),
               {"low_V", "usual_V", "charge_V", "high_V", "jump_V"});
  put_in_order(member(job, "climate"), model::climate_table().info(), {"cold_C", "usual_C", "hot_C"});

  // As it stands in the worked case: which figures a rod's force has hangs on its shape.
  const Raw usual = *(*read.value().find("doors")->list())[0].find("rod_force");

  Raw::List parts;
  Raw actuator;
  for (Raw part : *job.find("parts")->list()) {
    const std::string kind = *part.find("kind")->text();
    if (kind == "actuator") {
      actuator = part;
      continue;
    }
    part = scattered(part, *model::part_body_info(kind), wild, draw);
    put_right(part, wild, draw);
    parts.push_back(std::move(part));
  }
  for (std::size_t k = 0; k < doors; ++k) {
    Raw& door = (*member(job, "doors").list())[k];
    const std::string id = fmt::format("actuator-{}", k + 1);
    Raw part = scattered(actuator, *model::part_body_info("actuator"), wild, draw);
    set_member(part, "id", Raw(id));
    put_right(part, wild, draw);
    parts.push_back(std::move(part));
    set_member(door, "actuator", Raw(id));
    if (draw.chance(0.3)) set_member(door, "fuse", Raw("f-15"));
    const double stroke_mm = number_at(door, "stroke_mm");
    set_member(door, "rod_force", lawful_rod_force(usual, stroke_mm, wild, draw));
    if (draw.chance(0.3))
      set_member(door, "rod_force_unlock", lawful_rod_force(usual, stroke_mm, wild, draw));
  }
  set_member(job, "parts", Raw(std::move(parts)));
  return job;
}

}  // namespace latchwright::tests

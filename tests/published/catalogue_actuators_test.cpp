// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "io/files.h"
#include "io/json.h"
#include "physics/heat_network.h"
#include "physics/thermistor.h"
#include "sim/cycle.h"
#include "sim/pulse.h"
#include "sim/rest.h"
#include "sim/stall.h"
#include "support/catalogue.h"
#include "support/published.h"

// The built-in actuators and their thermistors against published rows and the trade's usual figures.
using namespace latchwright;
using tests::check_between;
using tests::check_published;
using tests::check_published_share;

namespace {

const model::Actuator& actuator(const std::string& id) {
  const auto found = tests::catalogue().find(id);
  REQUIRE(found);
  return std::get<model::Actuator>(found->body);
}

physics::Thermistor thermistor(const model::Actuator& part) {
  return {part.ptc.resistance,
          std::make_shared<const physics::RatioCurve>(model::curve_of(part, tests::catalogue()))};
}

double hold_A(const model::Actuator& part, double ambient_C) {
  const double K_per_W = physics::HeatNetwork(part.thermal, part.ptc).ptc_to_ambient();
  const auto current = physics::hold_current(thermistor(part), K_per_W, ambient_C);
  REQUIRE(current);
  return *current;
}

double loss_W_per_K(const model::Actuator& part) {
  return part.ptc.to_housing_W_per_K + part.ptc.to_case_W_per_K;
}

/// Seconds until a bare thermistor at 23 degC in still air passes its switch point under a steady current;
/// plain steps of 1 ms, on purpose none of the engine's.
double time_to_switch(const model::Actuator& part, double current_A) {
  const auto ptc = thermistor(part);
  const double end_C = *ptc.curve->switch_T_C();
  double T = 23, t = 0;
  for (; T < end_C && t < 100; t += 1e-3) {
    const double heat = current_A * current_A * ptc.resistance(T).value - loss_W_per_K(part) * (T - 23);
    T += 1e-3 * heat / part.ptc.heat_J_per_K;
  }
  return t;
}

const char* const polymer = "30 V radial polymer thermistors, typical row, read at the source";
const char* const ceramic = "30 V ceramic overload discs, typical row, read at the source";
const char* const trade = "common practice, no source";
const char* const small_motors = "motors of 25 to 30 mm (from memory)";
const char* const manuals = "workshop manuals of passenger cars, 1996 to 2000, read";
constexpr double beside = 1e-9;  // published limits that must be kept clear of

std::string amperes(double hold_A) { return fmt::format("polymer thermistor of {:g} A: ", hold_A); }

struct PolymerRow {
  double hold_A, smallest_ohm, largest_ohm, longest_s, tripped_W;
};

// Polymer thermistors, 30 V radial class, 23 degC still air (published, typical; read at the source): hold,
// smallest and largest resistance as new, longest time to trip at five times hold, power when tripped. Trip
// is twice hold.
const PolymerRow rows[] = {{0.90, 0.070, 0.120, 5.9, 0.60}, {1.10, 0.100, 0.180, 6.6, 0.70},
                           {1.35, 0.065, 0.115, 7.3, 0.80}, {1.60, 0.055, 0.105, 8.0, 0.90},
                           {1.85, 0.040, 0.070, 8.7, 1.00}, {2.50, 0.025, 0.048, 10.3, 1.20},
                           {3.00, 0.020, 0.050, 10.8, 2.00}};

/// The published row that an actuator's note says its thermistor stands for; 0: none at hand.
const std::vector<std::pair<const char*, double>> polymers{{"act-light-2w", 1.10},
                                                           {"act-light-5w", 1.10},
                                                           {"act-ordinary-2w", 1.35},
                                                           {"act-ordinary-5w", 1.35},
                                                           {"act-ordinary-2w-40", 1.60},
                                                           {"act-heavy-2w", 1.60},
                                                           {"act-heavy-5w-copper", 1.60},
                                                           {"act-workshop-test", 1.35},
                                                           {"act-oversized-thermistor", 3.00},
                                                           {"act-6v", 1.85},
                                                           {"act-undersized-thermistor", 0.90},
                                                           {"act-24v", 0}};

const std::vector<const char*> ceramics{"act-ordinary-ceramic", "act-heavy-ceramic"};

/// The figure that a part's note gives behind some words.
double noted(const std::string& id, const std::string& words) {
  const std::string& note = tests::catalogue().find(id)->source.note;
  const auto place = note.find(words);
  REQUIRE(place != std::string::npos);
  return std::stod(note.substr(place + words.size()));
}

/// The number before " N" in a title.
double titled_N(const std::string& id) {
  const std::string& title = tests::catalogue().find(id)->title;
  const auto end = title.find(" N,");
  REQUIRE(end != std::string::npos);
  return std::stod(title.substr(title.rfind(' ', end - 1) + 1));
}

double ohm_at(const model::Actuator& part, double T) {
  return part.motor.resistance * (234.5 + T) / (234.5 + 25) + thermistor(part).resistance(T).value;
}

/// Rod force at standstill with a voltage at the leads and everything at one temperature above 25 degC.
double standstill_N(const model::Actuator& part, double volts, double T) {
  const double current = (volts - part.motor.brush_drop) / ohm_at(part, T);
  const double constant = part.motor.torque_constant * (1 + part.motor.magnet_drift_per_K * (T - 25));
  const double torque = constant * current - part.motor.friction;
  return part.drive.efficiency * torque * 2 * std::numbers::pi * part.drive.gear_ratio / part.drive.lead;
}

/// One door on short leads: 0.1 ohm between the battery and the actuator. Feed, contacts and fuse make 8 mohm
/// of it.
model::Study on_bench(const std::string& id, double stroke_mm, double rod_N) {
  const std::string text = R"({"latchwright_job": 1, "supply": {"internal_mohm": 0},
    "feed": {"length_m": 0, "wire": "wire-6.0", "fuse": "fuse-medium-30", "relay": "relay-40", "ground_mohm": 0},
    "doors": [{"name": "bench", "actuator": ")" +
                           id + R"(", "wire": "wire-6.0", "branch_length_m": 0,
               "joints_mohm": 92, "stroke_mm": )" +
                           std::to_string(stroke_mm) + R"(, "rod_force": {"shape": "steady", "peak_N": )" +
                           std::to_string(rod_N) + "}}]}";
  const auto study = model::check_job(io::parse_json(text, "bench").value(), "bench", tests::catalogue());
  REQUIRE(study.ok());
  return study.value();
}

/// When a door's current first falls below a level.
class FallObserver final : public sim::Observer {
 public:
  explicit FallObserver(double level_A) : level_A_(level_A) {}
  void segment(const sim::Segment& segment) override {
    sim::State full;
    for (int k = 0; k <= 20 && !time_s; ++k) {
      const double t = segment.begin() + (segment.end() - segment.begin()) * k / 20;
      segment.at(t, full);
      if (full[sim::slot_current] < level_A_) time_s = t;
    }
  }
  std::optional<double> time_s;

 private:
  double level_A_;
};

}  // namespace

TEST_CASE("catalogue: enough to choose from", "[published][catalogue]") {
  const auto all = tests::catalogue().parts_of<model::Actuator>();
  CHECK(all.size() >= 10);
  CHECK(all.size() == polymers.size() + ceramics.size());
  int two = 0, five = 0, split = 0;
  for (const auto& part : all) {
    const auto& body = std::get<model::Actuator>(part->body);
    (body.wires == 2 ? two : five) += 1;
    split += body.thermal.copper_J_per_K.has_value();
  }
  CHECK(two >= 3);
  CHECK(five >= 3);
  CHECK(split >= 1);
}

TEST_CASE("catalogue: polymer thermistors as their published rows", "[published][catalogue]") {
  for (const auto& [id, row_hold_A] : polymers) {
    CAPTURE(id);
    const auto& part = actuator(id);
    // A polymer thermistor stays above its resistance as new after a first trip (common practice, from
    // memory).
    check_between({"polymer thermistors: resistance after a trip over that as new", "1",
                   "common practice (from memory)"},
                  part.ptc.after_trip_ratio, 1 + beside, 2 - beside);
    if (row_hold_A == 0) continue;
    const PolymerRow* row = nullptr;
    for (const auto& each : rows) {
      if (each.hold_A == row_hold_A) row = &each;
    }
    REQUIRE(row != nullptr);
    const std::string name = amperes(row->hold_A);
    check_between({name + "resistance at 25 °C", "ohm", polymer}, part.ptc.resistance, row->smallest_ohm,
                  row->largest_ohm);
    check_published_share({name + "power when tripped", "W", polymer}, loss_W_per_K(part) * (125 - 23),
                          row->tripped_W, 0.20);
    check_between({name + "current between hold and trip at 23 °C", "A", polymer}, hold_A(part, 23),
                  row->hold_A * (1 + beside), 2 * row->hold_A * (1 - beside));
    check_between({name + "time to trip at five times hold", "s", polymer},
                  time_to_switch(part, 5 * row->hold_A), {}, row->longest_s);
    check_published({"polymer thermistors: largest voltage", "V", polymer}, part.ptc.max_V, 30, 0);
  }
}

TEST_CASE("catalogue: hold current of polymer thermistors over ambient", "[published][catalogue]") {
  // Percent of the hold current at 25 degC (published row of 30 V radial parts, read at the source).
  struct Row {
    double ambient_C, percent, margin;
  };
  for (const auto& [id, row_hold_A] : polymers) {
    const auto& part = actuator(id);
    for (const Row& row : {Row{-40, 145, 5}, Row{-20, 130, 5}, Row{0, 120, 5}, Row{25, 100, 1e-9},
                           Row{40, 88, 5}, Row{50, 80, 5}, Row{60, 71, 5}, Row{70, 66, 5}, Row{85, 56, 8}}) {
      CAPTURE(id, row.ambient_C);
      check_published(
          {fmt::format("polymer thermistors: hold current at {:g} °C over that at 25 °C", row.ambient_C), "%",
           polymer},
          100 * hold_A(part, row.ambient_C) / hold_A(part, 25), row.percent, row.margin);
    }
  }
}

TEST_CASE("catalogue: ceramic thermistors as their published rows", "[published][catalogue]") {
  // Ceramic overload discs, 30 V class, reference temperature 120 degC (published catalogue, typical, read at
  // the source): resistance at 25 degC, smallest, non-trip and trip current, current when tripped at 12 V.
  // Tolerance of resistances 25 %; switching within 10 s at the largest voltage and current.
  struct Row {
    const char* id;
    double ohm, smallest_ohm, hold_A, trip_A, tripped_A;
  };
  for (const Row& row : {Row{"act-ordinary-ceramic", 0.8, 0.5, 0.85, 1.7, 0.175},
                         Row{"act-heavy-ceramic", 0.45, 0.3, 1.3, 2.6, 0.250}}) {
    CAPTURE(row.id);
    const auto& part = actuator(row.id);
    const auto ptc = thermistor(part);
    const std::string name = fmt::format("ceramic disc of {:g} ohm: ", row.ohm);
    check_published({name + "resistance at 25 °C", "ohm", ceramic}, part.ptc.resistance, row.ohm, 0);
    check_published_share({name + "smallest resistance", "ohm", ceramic},
                          part.ptc.resistance * ptc.curve->smallest_ratio(), row.smallest_ohm, 0.25);
    check_published({name + "reference temperature", "°C", ceramic}, *ptc.curve->switch_T_C(), 120, 5);
    CHECK(part.ptc.after_trip_ratio == 1);
    check_between({name + "current between non-trip and trip at 23 °C", "A", ceramic}, hold_A(part, 23),
                  row.hold_A * (1 + beside), row.trip_A * (1 - beside));
    check_between({name + "time to switch at its largest current", "s", ceramic},
                  time_to_switch(part, part.ptc.max_A), {}, 10);
    // Tripped at 12 V: the temperature where V²/R is what the disc loses.
    double low = *ptc.curve->switch_T_C(), high = ptc.curve->last_T_C();
    while (high - low > 1e-6) {
      const double T = 0.5 * (low + high);
      (144 / ptc.resistance(T).value > loss_W_per_K(part) * (T - 25) ? low : high) = T;
    }
    check_published_share({name + "current when tripped at 12 V", "A", ceramic},
                          12 / ptc.resistance(low).value, row.tripped_A, 0.25);
  }
}

TEST_CASE("catalogue: actuators as the trade knows them", "[published][catalogue]") {
  // Common practice, no source: stroke 15 to 22 mm, force 25 to 40 N, heavy to 70 N, 4 to 6 A at stall.
  // Motors of 25 to 30 mm (from memory): winding to case 5 to 12 K/W, case to air 12 to 25 K/W (larger ones
  // less), armature 10 to 25, case 20 to 45 J/K, ferrite -0.18 to -0.20 %/K.
  for (const auto& each : tests::catalogue().parts_of<model::Actuator>()) {
    const std::string& id = each->id;
    CAPTURE(id);
    const auto& part = std::get<model::Actuator>(each->body);
    check_between({"catalogue's actuators: stroke", "mm", trade}, 1e3 * part.stroke, 15, 22);
    const bool heavy = id.find("heavy") != std::string::npos;
    const double nominal_V = id == "act-24v" ? 24 : id == "act-6v" ? 6 : 12;
    // The title's force: at standstill, 60 degC, three quarters of the nominal voltage at the leads.
    const double force = standstill_N(part, 0.75 * nominal_V, 60);
    CHECK(force == Approx(noted(id, "(computed: ")).margin(0.06));
    CHECK(hold_A(part, 23) == Approx(noted(id, "computed hold current at 23 °C ")).margin(0.006));
    CHECK(force >= titled_N(id));
    CHECK(force <= 1.17 * titled_N(id));
    check_between({std::string("catalogue's actuators") + (heavy ? ", heavy" : "") + ": force", "N", trade},
                  force, 25, heavy ? 72 : 42);
    const double stall_A = (nominal_V - part.motor.brush_drop) / ohm_at(part, 25);
    if (nominal_V == 12 && id != "act-workshop-test") {  // that one draws 3.2 A, see below
      check_between({"catalogue's actuators: current at stall", "A", trade}, stall_A, 4, 6);
    }
    const auto& heat = part.thermal;
    check_between({"catalogue's motors: winding to case", "K/W", small_motors}, heat.winding_to_case_K_per_W,
                  5, 12);
    check_between(
        {std::string("catalogue's motors") + (heavy ? ", heavy" : "") + ": case to air", "K/W", small_motors},
        heat.case_to_housing_K_per_W + heat.housing_to_ambient_K_per_W, heavy ? 10 : 12, 25);
    check_between({"catalogue's motors: heat capacity of the armature", "J/K", small_motors},
                  heat.winding_J_per_K, 10, 25);
    check_between({"catalogue's motors: heat capacity of the case", "J/K", small_motors}, heat.case_J_per_K,
                  20, 45);
    check_between({"catalogue's motors: drift of the magnets", "1/K", small_motors},
                  part.motor.magnet_drift_per_K, -0.0020, -0.0018);
  }
}

TEST_CASE("catalogue: a throw takes what the trade expects", "[published][catalogue]") {
  // Common practice, no source: travel in 0.1 to 0.3 s, here against half the title's force with a rested
  // battery.
  for (const auto& each : tests::catalogue().parts_of<model::Actuator>()) {
    CAPTURE(each->id);
    const auto& part = std::get<model::Actuator>(each->body);
    const auto study = on_bench(each->id, 1e3 * part.stroke - 1, 0.5 * titled_N(each->id));
    const double volts = each->id == "act-24v" ? 25.2 : each->id == "act-6v" ? 6.3 : 12.6;
    const auto arrival =
        sim::single_throw(sim::make_circuit(study, {.voltage_V = volts, .ambient_C = 23}), 0.7, false);
    REQUIRE(arrival.at(0));
    check_between({"catalogue's actuators: travel against half their force", "s", trade}, *arrival[0], 0.05,
                  0.3);
  }
}

TEST_CASE("catalogue: the workshop test of lock motors", "[published][catalogue]") {
  // Published workshop manuals of several passenger cars, 1996 to 2000 (read): held at battery voltage,
  // about 3.2 A falls below 0.5 A within 20 to 70 s; some 60 s after switching off, reversed polarity must
  // move the lock.
  const auto study = on_bench("act-workshop-test", 18, 22);
  for (const bool after_trip : {false, true}) {
    CAPTURE(after_trip);
    const auto circuit =
        sim::make_circuit(study, {.voltage_V = 12, .ambient_C = 23, .after_trip = after_trip});
    FallObserver fall(0.5);
    base::NoProgress progress;
    const auto held = sim::simulate_stall(circuit, 70, {&fall}, progress);
    const std::string name =
        std::string("lock motor on the bench") + (after_trip ? ", after a trip" : "") + ": ";
    if (!after_trip) {
      check_published({name + "current at first", "A", manuals}, held[0].initial_current_A, 3.2, 0.1);
    }
    REQUIRE(fall.time_s);
    check_between({name + "time until below 0.5 A", "s", manuals}, *fall.time_s, 20, 70);
    // Tripped power below 6 W follows from 12 V and 0.5 A.
    CHECK(held[0].final_current_A * 12 < 6);

    std::vector<double> temperatures(held[0].final_C.begin(), held[0].final_C.end());
    sim::PulseEngine engine(circuit);
    std::vector<double> at_once = temperatures;
    CHECK_FALSE(engine.run(at_once, 0, 0.7, true, {}).at(0).has_value());  // tripped, it does not move
    sim::Rest(circuit).after(temperatures, 60, temperatures);
    CHECK(engine.run(temperatures, 0, 0.7, true, {}).at(0).has_value());
  }
}

// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <numbers>

#include "io/json.h"
#include "sim/door_rates.h"
#include "support/catalogue.h"
#include "support/published.h"
#include "support/worked_case.h"

using namespace latchwright;
using tests::check_between;
using tests::check_published_share;

namespace {

sim::DoorCircuit screw(double lead_m, double efficiency) {
  const auto raw = io::parse_json(tests::worked_case_json(), "worked case");
  const auto study = model::check_job(raw.value(), "worked case", model::Catalogue());
  auto door = sim::make_circuit(study.value(), {.voltage_V = 12.6, .ambient_C = 23}).doors[0];
  door.rod_per_rad = lead_m / (2 * std::numbers::pi);
  door.efficiency = efficiency;
  return door;
}

}  // namespace

// Shigley, Mechanical Engineering Design, example 8-1: double-start square thread, pitch 4 mm, so 8 mm of
// lead, 6.4 kN, e = 0.311; raising takes 26.18 N·m. e has three digits, so the torque is met to 0.2 %.
TEST_CASE("a screw against its load takes F s / eta: Shigley example 8-1", "[published]") {
  check_published_share({"screw of 8 mm lead, 6.4 kN: torque", "N·m", "Shigley, example 8-1"},
                        sim::load_torque(screw(0.008, 0.311), 6400), 26.18, 0.002);
  // Second: 25 mm, 5 mm single start, 5 kN, e = 0.2510, 15.849 N·m (computed; printed 15.845).
  check_published_share({"screw of 5 mm lead, 5 kN: torque", "N·m", "computed; printed 15.845"},
                        sim::load_torque(screw(0.005, 0.2510), 5000), 15.849, 0.0005);
}

// Worm efficiencies at f = 0.05, normal pressure angle 14.5 degrees, lead angles 1 to 30 degrees: 25.2
// to 89.0 % (Shigley, table 13-6). The catalogue's drives are invented, but lie inside.
TEST_CASE("the catalogue's drives are as efficient as worms are", "[published]") {
  const auto actuators = tests::catalogue().parts_of<model::Actuator>();
  CHECK(actuators.size() >= 10);
  for (const auto& part : actuators) {
    INFO(part->id);
    const double efficiency = std::get<model::Actuator>(part->body).drive.efficiency;
    check_between({"catalogue's drives: efficiency", "1", "Shigley, table 13-6"}, efficiency, 0.252, 0.890);
  }
}

// SPDX-License-Identifier: GPL-3.0-or-later
#include "speed/sizing.h"

#include <chrono>
#include <memory>
#include <random>
#include <string>

#include "choose/size.h"
#include "support/open_jobs.h"

namespace latchwright::tests::speed {

namespace {

/// 2000 actuators drawn around those of the catalogue, ten wires of one insulation, twelve blade fuses.
std::shared_ptr<const model::Catalogue> large_catalogue(const model::Catalogue& built_in) {
  std::mt19937_64 random(4);
  const auto between = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random() >> 11) * 0x1p-53;
  };
  std::vector<model::Part> parts;
  const auto actuators = built_in.parts_of<model::Actuator>();
  for (int n = 0; n < 2000; ++n) {
    model::Part part = *actuators[random() % actuators.size()];
    part.id = "drawn-" + std::to_string(n);
    auto& actuator = std::get<model::Actuator>(part.body);
    actuator.stroke *= between(0.85, 1.2);
    actuator.motor.resistance *= between(0.8, 1.25);
    actuator.motor.torque_constant *= between(0.8, 1.2);
    actuator.ptc.resistance *= between(0.7, 1.3);
    actuator.ptc.heat_J_per_K *= between(0.7, 1.6);
    parts.push_back(std::move(part));
  }
  int wires = 0, fuses = 0;
  for (const auto& part : built_in.parts_of<model::Wire>()) {
    if (std::get<model::Wire>(part->body).class_C == 100 && wires++ < 10) parts.push_back(*part);
  }
  for (const auto& part : built_in.parts_of<model::Fuse>()) {
    const bool blade = std::get<model::Fuse>(part->body).family != "blade-mini";
    if (blade && fuses++ < 12) parts.push_back(*part);
  }
  for (const auto& part : built_in.parts_of<model::Relay>()) parts.push_back(*part);
  for (const auto& part : built_in.parts_of<model::PtcCurve>()) parts.push_back(*part);
  for (const auto& part : built_in.parts_of<model::FuseFamily>()) parts.push_back(*part);
  auto catalogue = std::make_shared<model::Catalogue>();
  catalogue->add_layer("drawn parts", parts, "/parts");
  return catalogue;
}

double wait_for(const model::Study& study, choose::SizeResult& result) {
  using Clock = std::chrono::steady_clock;
  base::NoProgress quiet;
  const auto begin = Clock::now();
  result = choose::size(study, 2, quiet);
  return std::chrono::duration<double>(Clock::now() - begin).count();
}

}  // namespace

SizingTimes measure_sizing() {
  SizingTimes times{};
  model::Study study = open_example("five-door-estate");
  choose::SizeResult result;
  times.estate_s = wait_for(study, result);
  for (int n = 0; n < 2; ++n) times.estate_s = std::min(times.estate_s, wait_for(study, result));
  study.catalogue = large_catalogue(*study.catalogue);
  times.large_s = wait_for(study, result);
  times.large_actuators = result.actuators_looked_at;
  times.large_sets = result.sets_judged;
  return times;
}

}  // namespace latchwright::tests::speed

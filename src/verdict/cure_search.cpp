// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/cure_search.h"

#include <algorithm>
#include <cmath>

#include "base/failure.h"

namespace latchwright::verdict {

namespace {

std::string make_of(const std::string& id) {
  std::string make;
  for (const char c : id) {
    if ((c < '0' || c > '9') && c != '.') make += c;
  }
  return make;
}

template <class Body>
const Body& body(const model::PartPtr& part) {
  return std::get<Body>(part->body);
}

}  // namespace

model::Study Retry::with(const std::function<void(model::Job&)>& change) const {
  if (findings_.progress().cancelled()) throw base::Cancelled();
  model::Job job = study().job;
  change(job);
  auto checked = model::check_job(job, "changed job", *study().catalogue);
  base::require(checked.ok(), "a cure made the job unlawful");
  return std::move(checked.value());
}

namespace {

bool reaches(const model::Study& study, CheckId id, std::optional<std::size_t> door, std::string_view part,
             Verdict wanted) {
  base::NoProgress quiet;
  const Findings findings(study, quiet, Detail::brief);
  for (const CheckRow& row : evaluate(id, findings)) {
    if (row.door == door && row.part == part && row.verdict > wanted) return false;
  }
  return true;
}

}  // namespace

bool Retry::passes(const model::Study& study, CheckId id, std::size_t door) {
  return reaches(study, id, door, "", Verdict::tight);
}

bool Retry::fails_where_it_failed(const model::Study& changed) const {
  if (row_.verdict != Verdict::fails || !row_.door) return false;
  base::NoProgress quiet;
  const Findings findings(changed, quiet, Detail::brief);
  for (std::size_t v = 0; v < levels; ++v) {
    for (std::size_t a = 0; a < levels; ++a) {
      if (findings.voltage(v) != row_.at->voltage_V || findings.ambient(a) != row_.at->ambient_C) continue;
      if (row_.id == CheckId::throw_time) return !findings.throws(v, a).arrival_s[*row_.door];
      return findings.fault_stall(v, a)[*row_.door].peak_winding_C >
             physics::winding_fault_limit_C(changed.actuator(*row_.door).motor);
    }
  }
  return false;
}

bool Retry::cures(const model::Study& changed) const {
  const bool simulated = row_.id == CheckId::throw_time || row_.id == CheckId::winding_fault;
  if (simulated && fails_where_it_failed(changed)) return false;
  return reaches(changed, row_.id, row_.door, row_.part,
                 row_.verdict == Verdict::fails ? Verdict::tight : Verdict::holds);
}

std::vector<model::PartPtr> thicker_wires(const model::Catalogue& catalogue, const model::PartPtr& now) {
  const auto& wire = body<model::Wire>(now);
  auto wires = catalogue.parts_of<model::Wire>();
  std::erase_if(wires, [&](const auto& w) {
    const auto& other = body<model::Wire>(w);
    return other.area <= wire.area || other.ohm_per_m >= wire.ohm_per_m || other.class_C < wire.class_C ||
           other.short_time_C < wire.short_time_C;
  });
  const std::string make = make_of(now->id);
  std::stable_sort(wires.begin(), wires.end(), [&](const auto& a, const auto& b) {
    const bool own_a = make_of(a->id) == make, own_b = make_of(b->id) == make;
    if (own_a != own_b) return own_a;
    return body<model::Wire>(a).area < body<model::Wire>(b).area;
  });
  return wires;
}

std::vector<model::PartPtr> family_fuses(const model::Catalogue& catalogue, const model::PartPtr& now) {
  auto fuses = catalogue.parts_of<model::Fuse>();
  std::erase_if(fuses, [&](const auto& f) { return body<model::Fuse>(f).family != body<model::Fuse>(now).family; });
  std::stable_sort(fuses.begin(), fuses.end(), [](const auto& a, const auto& b) {
    return body<model::Fuse>(a).rating_A < body<model::Fuse>(b).rating_A;
  });
  return fuses;
}

std::vector<model::PartPtr> larger_relays(const model::Catalogue& catalogue, const model::PartPtr& now) {
  auto relays = catalogue.parts_of<model::Relay>();
  std::erase_if(relays,
                [&](const auto& r) { return body<model::Relay>(r).rated_A <= body<model::Relay>(now).rated_A; });
  std::stable_sort(relays.begin(), relays.end(), [](const auto& a, const auto& b) {
    return body<model::Relay>(a).rated_A < body<model::Relay>(b).rated_A;
  });
  return relays;
}

std::vector<model::PartPtr> other_actuators(const model::Catalogue& catalogue, const model::PartPtr& now) {
  auto actuators = catalogue.parts_of<model::Actuator>();
  std::erase_if(actuators, [&](const auto& a) { return a->id == now->id; });
  const double resistance = body<model::Actuator>(now).motor.resistance;
  std::stable_sort(actuators.begin(), actuators.end(), [&](const auto& a, const auto& b) {
    return std::fabs(body<model::Actuator>(a).motor.resistance - resistance) <
           std::fabs(body<model::Actuator>(b).motor.resistance - resistance);
  });
  return actuators;
}

double tidy(double value) { return std::round(value * 1000) / 1000; }

double largest_passing(double low, double high, double step, const std::function<bool(double)>& passes) {
  // On whole multiples of the step, so that what is printed is what was tried.
  long good = std::lround(low / step), bad = std::lround(high / step);
  while (bad - good > 1) {
    const long half = (good + bad) / 2;
    (passes(tidy(static_cast<double>(half) * step)) ? good : bad) = half;
  }
  return tidy(static_cast<double>(good) * step);
}

double smallest_passing(double low, double high, double step, const std::function<bool(double)>& passes) {
  long bad = std::lround(low / step), good = std::lround(high / step);
  while (good - bad > 1) {
    const long half = (good + bad) / 2;
    (passes(tidy(static_cast<double>(half) * step)) ? good : bad) = half;
  }
  return tidy(static_cast<double>(good) * step);
}

std::string door_pointer(std::size_t door, std::string_view key) {
  return "/doors/" + std::to_string(door) + "/" + std::string(key);
}

}  // namespace latchwright::verdict

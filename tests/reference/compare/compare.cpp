// SPDX-License-Identifier: GPL-3.0-or-later
#include "reference/compare/compare.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <exception>
#include <nlohmann/json.hpp>

#include "base/progress.h"

namespace latchwright::tests {

namespace {

constexpr cvode::Tolerances tight{1e-10, 1, cvode::Linear::blocks};

Figures reference_figures(const StudyCase& study, const sim::Condition& at, double on_s) {
  const auto network = cvode::make_network(
      study.study, {at.voltage_V, at.ambient_C, at.after_trip, at.ptc_scale}, study.doors);
  if (study.verb == StudyCase::Verb::stall) {
    return stall_figures(network, cvode::stall(network, study.limit_s, tight), cvode::hold_currents(network));
  }
  const auto cycle =
      cvode::cycle(network, {study.plan.cycles, on_s, study.plan.gap_s, study.plan.on_through}, tight);
  std::optional<cvode::Recovery> recovery;
  if (study.plan.want_recovery && cycle.lockout_throw > 0) {
    recovery = cvode::recover(network, cycle.lockout_C, on_s, cycle.lockout_throw % 2 == 0, tight);
  }
  return cycle_figures(network, cycle, recovery);
}

/// The references on both sides: a pulse shorter and longer by 1e-4, air colder and warmer by 0.1 K.
std::vector<Figures> moved_references(const StudyCase& study) {
  std::vector<Figures> moved;
  const double on_s = study.plan.on_s;
  for (const double kelvin : {-0.1, 0.1}) {
    sim::Condition at = study.at;
    at.ambient_C += kelvin;
    moved.push_back(reference_figures(study, at, on_s));
  }
  if (study.verb != StudyCase::Verb::stall) {
    for (const double part : {-1e-4, 1e-4})
      moved.push_back(reference_figures(study, study.at, on_s * (1 + part)));
  }
  return moved;
}

const Figure* find(const Figures& figures, const Figure& like) {
  const auto place = std::find_if(figures.begin(), figures.end(), [&](const Figure& f) {
    return f.what == like.what && f.door == like.door;
  });
  return place == figures.end() ? nullptr : &*place;
}

/// Whether a move changes cycles_done, or moves trip or recovery by more than the limit.
bool is_edge(const Figures& reference, const std::vector<Figures>& moved) {
  for (const Figure& figure : reference) {
    if (figure.what != "cycles_done" && figure.what != "lockout_throw" && figure.what != "trip_time_s" &&
        figure.what != "recovery_s") {
      continue;
    }
    for (const Figures& other : moved) {
      const Figure* there = find(other, figure);
      if (there == nullptr || deviation(*there, figure) > 1) return true;
    }
  }
  return false;
}

/// Whether the engine's figure lies between what the references give, their limits included.
bool lies_between(const Figure& engine, const std::vector<Figures>& references) {
  double low = INFINITY, high = -INFINITY;
  bool missing = false;
  for (const Figures& figures : references) {
    const Figure* there = find(figures, engine);
    if (there == nullptr || !there->value) {
      missing = true;
      continue;
    }
    low = std::min(low, *there->value - allowed(*there));
    high = std::max(high, *there->value + allowed(*there));
  }
  return engine.value ? low <= *engine.value && *engine.value <= high : missing;
}

}  // namespace

Figures engine_figures(const StudyCase& study) {
  base::NoProgress quiet;
  const auto circuit = sim::make_circuit(study.study, study.at, study.doors);
  if (study.verb == StudyCase::Verb::stall) {
    return stall_figures(circuit, sim::simulate_stall(circuit, study.limit_s, {}, quiet));
  }
  return cycle_figures(circuit, sim::simulate_cycles(circuit, study.plan, {}, quiet));
}

std::string Held::text() const {
  if (!failure.empty()) return study + ": " + failure;
  const auto shown = [](const Figure& figure) {
    return figure.value ? fmt::format("{:.10g}", *figure.value) : "none";
  };
  return fmt::format("{}: {}{}{} is {}, {} by CVODE: {:.3g} of what is allowed", study, engine.door,
                     engine.door.empty() ? "" : " ", engine.what, shown(engine), shown(reference), deviation);
}

Outcome compare(const StudyCase& study) {
  const auto failed = [&](const std::string& text) {
    Held held{{"solved", "", Kind::count, std::nullopt},
              {"solved", "", Kind::count, std::nullopt},
              INFINITY,
              study.name,
              text};
    Outcome out;
    out.wrong.push_back(std::move(held));
    return out;
  };
  try {
    const Figures engine = engine_figures(study);
    try {
      return compare(study, engine);
    } catch (const std::exception& failure) {
      return failed(std::string("no reference: ") + failure.what());
    }
  } catch (const std::exception& failure) {
    return failed(std::string("the engine gives up: ") + failure.what());
  }
}

Outcome compare(const StudyCase& study, const Figures& engine) {
  const Figures reference = reference_figures(study, study.at, study.plan.on_s);
  Outcome out;
  std::vector<Held> beyond;
  const auto hold = [&](const Figure& ours, const Figure& theirs) {
    Held held{ours, theirs, deviation(ours, theirs), study.name, ""};
    if (held.deviation > 1) beyond.push_back(held);
    out.figures.push_back(std::move(held));
  };
  // One may have a lockout, and with it a recovery, that the other has not.
  for (const Figure& ours : engine) {
    const Figure* theirs = find(reference, ours);
    hold(ours, theirs != nullptr ? *theirs : Figure{ours.what, ours.door, ours.kind, std::nullopt});
  }
  for (const Figure& theirs : reference) {
    if (find(engine, theirs) == nullptr) hold({theirs.what, theirs.door, theirs.kind, std::nullopt}, theirs);
  }
  if (beyond.empty()) return out;
  std::vector<Figures> references = moved_references(study);
  out.near_edge = is_edge(reference, references);
  references.push_back(reference);
  for (const Held& held : beyond) {
    if (!out.near_edge || !lies_between(held.engine, references)) out.wrong.push_back(held);
  }
  return out;
}

void Tally::add(const StudyCase& study, const Outcome& outcome) {
  ++studies_;
  figures_ += outcome.figures.size();
  for (const std::string& feature : study.features) ++features_[feature];
  if (outcome.near_edge) near_edges_.push_back(study.name);
  wrong_.insert(wrong_.end(), outcome.wrong.begin(), outcome.wrong.end());
  for (const Held& held : outcome.figures) {
    if (outcome.near_edge && held.deviation > 1) continue;
    const auto [place, fresh] = largest_.emplace(held.engine.what, held);
    if (!fresh && held.deviation > place->second.deviation) place->second = held;
  }
}

std::string Tally::json() const {
  using Json = nlohmann::ordered_json;
  const auto number = [](const std::optional<double>& value) { return value ? Json(*value) : Json(); };
  const auto entry = [&](const Held& held) {
    return Json{{"figure", held.engine.what},
                {"study", held.study},
                {"door", held.engine.door},
                {"engine", number(held.engine.value)},
                {"cvode", number(held.reference.value)},
                {"failure", held.failure},
                {"deviation_over_limit",
                 std::isfinite(held.deviation) ? Json(held.deviation) : Json("counts differ")}};
  };
  Json out{{"studies", studies_}, {"figures", figures_}, {"good", good()}, {"near_edges", near_edges_}};
  out["features"] = features_;
  out["largest"] = Json::array();
  for (const auto& [what, held] : largest_) out["largest"].push_back(entry(held));
  out["wrong"] = Json::array();
  for (const Held& held : wrong_) out["wrong"].push_back(entry(held));
  return out.dump(2) + "\n";
}

}  // namespace latchwright::tests

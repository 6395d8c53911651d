// SPDX-License-Identifier: GPL-3.0-or-later
// The reference solver itself: against SciPy's results on the cases of tests/reference/cases, and its
// derivatives against differences.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "reference/compare/figures.h"
#include "reference/compare/random_study.h"
#include "support/change_cases.h"
#include "support/studies.h"

using namespace latchwright;
using nlohmann::json;
using tests::Figure;
using tests::Figures;
using tests::Kind;

namespace {

constexpr tests::cvode::Tolerances tight{1e-10, 1, tests::cvode::Linear::blocks};

/// What stands in an expected result for a figure; null where it has none, discarded where it does not list
/// it.
json expected_value(const json& result, const Figure& figure) {
  const auto in = [](const json& object, const std::string& key) {
    return object.contains(key) ? object.at(key) : json(json::value_t::discarded);
  };
  if (figure.door.empty()) {
    if (figure.what == "lockout_throw")
      return result.at("lockout").is_null() ? json(0) : result["lockout"].at("throw");
    if (figure.what == "recovery_s" || figure.what == "cooled_s")
      return in(result.at("lockout"), figure.what);
    return in(result, figure.what);
  }
  for (const json& door : result.at("doors")) {
    if (door.at("door").get<std::string>() != figure.door) continue;
    if (figure.what == "limited_by") {
      const json& by = door.at("limited_by");
      return by.is_null() ? 0 : by.get<std::string>() == "thermistor" ? 1 : 2;
    }
    if (figure.what == "beyond_table") return door.at("beyond_table").get<bool>() ? 1 : 0;
    const std::string last = "final_";
    if (figure.kind == Kind::kelvin && figure.what.rfind(last, 0) == 0) {
      return in(door.at("final"), figure.what.substr(last.size()));
    }
    return in(door, figure.what);
  }
  return json(json::value_t::discarded);
}

Figures solve(const model::Study& study, const json& expected) {
  const json& args = expected.at("args");
  std::vector<std::size_t> doors;
  if (!args.at("doors").is_null()) {
    for (std::size_t k = 0; k < study.job.doors.size(); ++k) {
      const auto& names = args["doors"];
      if (std::find(names.begin(), names.end(), study.job.doors[k].name) != names.end()) doors.push_back(k);
    }
  }
  const auto network = tests::cvode::make_network(
      study, {args.at("voltage_V"), args.at("ambient_C"), args.at("after_trip"), 1}, doors);
  if (expected.at("verb") == "stall") {
    return tests::stall_figures(network, tests::cvode::stall(network, args.at("limit_s"), tight),
                                tests::cvode::hold_currents(network));
  }
  const auto number = [&](const char* name, double own) {
    return args.at(name).is_null() ? own : args.at(name).get<double>();
  };
  tests::cvode::Cycles plan;
  plan.cycles = static_cast<int>(number("cycles", study.job.use.cycles));
  plan.on_s = number("on_s", study.job.pulse.on_s);
  plan.gap_s = number("gap_s", study.job.use.gap_s);
  plan.on_through = args.at("on_through").get<bool>();
  const auto cycle = tests::cvode::cycle(network, plan, tight);
  std::optional<tests::cvode::Recovery> recovery;
  if (cycle.lockout_throw > 0) {
    recovery =
        tests::cvode::recover(network, cycle.lockout_C, plan.on_s, cycle.lockout_throw % 2 == 0, tight);
  }
  return tests::cycle_figures(network, cycle, recovery);
}

/// Largest difference between a system's own derivatives and central differences of its rates, relative to
/// the largest derivative of the same rate.
double slope_error(tests::cvode::System& system, std::size_t doors, std::size_t stride,
                   std::vector<double> y) {
  const std::size_t n = y.size();
  std::vector<double> own(n * n), plus(n), minus(n);
  std::vector<double*> columns;
  for (std::size_t k = 0; k < n; ++k) columns.push_back(own.data() + k * n);
  tests::cvode::Slopes slopes(doors, stride);
  system.slopes(y.data(), slopes);
  slopes.write(columns.data());
  std::vector<double> difference(n * n), largest(n);
  for (std::size_t j = 0; j < n; ++j) {
    const double here = y[j], step = 1e-5 * (1 + std::fabs(here));
    y[j] = here + step;
    system.rates(y.data(), plus.data());
    y[j] = here - step;
    system.rates(y.data(), minus.data());
    y[j] = here;
    for (std::size_t k = 0; k < n; ++k) {
      difference[j * n + k] = (plus[k] - minus[k]) / (2 * step);
      largest[k] = std::max(largest[k], std::fabs(difference[j * n + k]));
    }
  }
  double worst = 0;
  for (std::size_t j = 0; j < n; ++j) {
    for (std::size_t k = 0; k < n; ++k) {
      if (largest[k] > 0)
        worst = std::max(worst, std::fabs(own[j * n + k] - difference[j * n + k]) / largest[k]);
      else
        CHECK(own[j * n + k] == 0);
    }
  }
  return worst;
}

/// Temperatures of all nodes away from the corners of every law.
void draw_temperatures(tests::Draw& draw, double* T, std::size_t nodes) {
  for (std::size_t k = 0; k < nodes; ++k)
    T[k] = draw.chance(0.5) ? draw.between(-20, 20) : draw.between(30, 95);
}

}  // namespace

TEST_CASE("reference cases: CVODE agrees with SciPy", "[reference][slow]") {
  const std::string folder = std::string(LATCHWRIGHT_SOURCE_DIR) + "/tests/reference/cases/";
  const std::string ending = ".expected.json";
  std::size_t compared = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    const std::string path = entry.path().string();
    if (path.size() < ending.size() || path.substr(path.size() - ending.size()) != ending) continue;
    const std::string job = path.substr(0, path.size() - ending.size()) + ".job.json";
    const model::Study study = tests::study_of(tests::read_text(job));
    const json file = json::parse(tests::read_text(path));
    for (const json& expected : file.at("studies")) {
      for (const Figure& have : solve(study, expected)) {
        const json value = expected_value(expected.at("result"), have);
        if (value.is_discarded()) continue;
        Figure want = have;
        want.value = value.is_null() ? std::nullopt : std::optional<double>(value.get<double>());
        INFO(path << " " << expected.at("verb") << ": " << have.door << " " << have.what << " is "
                  << have.value.value_or(NAN) << ", by SciPy " << value.dump());
        // A tenth of what the engine may be off.
        CHECK(tests::deviation(have, want) <= 0.1);
        ++compared;
      }
    }
  }
  CHECK(compared > 500);
}

TEST_CASE("CVODE's equations: derivatives agree with differences", "[reference]") {
  for (std::size_t k = 0; k < 30; ++k) {
    const tests::StudyCase study = tests::random_study(3, k);
    INFO(study.name);
    const auto network =
        tests::cvode::make_network(study.study, {study.at.voltage_V + 8, study.at.ambient_C});
    const std::size_t doors = network.doors.size();
    tests::Draw draw(k);
    std::vector<tests::cvode::DoorMode> modes(doors);
    for (const bool motion : {true, false}) {
      tests::cvode::PulseSystem pulse(network, modes, motion);
      pulse.unlocking = draw.chance(0.5);
      pulse.angles.assign(doors, 0.1);
      const auto layout = pulse.layout();
      std::vector<double> y(doors * layout.stride);
      for (std::size_t door = 0; door < doors; ++door) {
        double* s = y.data() + door * layout.stride;
        s[0] = draw.between(0.2, 5);
        draw_temperatures(draw, s + layout.heat, network.nodes);
        auto& mode = modes[door] = {};
        mode.blocked = draw.chance(0.2);
        if (!motion) continue;
        s[1] = draw.between(20, 400);
        s[2] = draw.between(1, 60);
        if (draw.chance(0.8)) mode.motion = tests::cvode::Motion::moving;
        const auto& rod = pulse.unlocking ? network.doors[door].unlock : network.doors[door].lock;
        while (!rod.last(mode.piece) && rod[mode.piece].end < s[2]) ++mode.piece;
        if (pulse.load(door, s[2], s[1]).force < 0) mode.sign = -1;
      }
      CHECK(slope_error(pulse, doors, layout.stride, y) < 1e-6);
    }
    std::vector<double> T(doors * network.nodes);
    for (std::size_t door = 0; door < doors; ++door)
      draw_temperatures(draw, T.data() + door * network.nodes, network.nodes);
    tests::cvode::RestSystem rest(network);
    CHECK(slope_error(rest, doors, network.nodes, T) < 1e-6);
    tests::cvode::StallSystem stall(network);
    CHECK(slope_error(stall, doors, network.nodes, T) < 1e-6);
  }
}

TEST_CASE("CVODE: dense and structured linear solvers give the same throw", "[reference]") {
  const tests::StudyCase study = tests::random_study(3, 3);
  const auto network = tests::cvode::make_network(study.study, {12.6, 23});
  REQUIRE(network.doors.size() > 1);
  const auto throws = [&](tests::cvode::Linear linear) {
    tests::cvode::Cycles plan;
    plan.cycles = 1;
    plan.on_through = true;
    return tests::cycle_figures(network, tests::cvode::cycle(network, plan, {1e-9, 1, linear}), std::nullopt);
  };
  const Figures dense = throws(tests::cvode::Linear::dense), blocks = throws(tests::cvode::Linear::blocks);
  for (std::size_t k = 0; k < dense.size(); ++k) {
    INFO(dense[k].door << " " << dense[k].what);
    CHECK(tests::deviation(blocks[k], dense[k]) <= 1e-3);
  }
}

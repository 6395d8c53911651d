// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "base/failure.h"
#include "bench/fit.h"
#include "bench/fits.h"
#include "bench/made_logs.h"
#include "support/words.h"

// Logs that are not what they are said to be, and readings that contradict them: made by the engine and then
// spoilt by hand as a bench spoils them. The truth is what they were made with.
namespace latchwright {

using tests::holds;

namespace {

constexpr double noise_A = 0.015;

struct Truth {
  model::Actuator actuator = tests::catalogue_actuator("act-ordinary-2w");
  model::PtcCurve curve = tests::catalogue_curve(actuator);
  Truth() {
    actuator.motor.resistance *= 1.06;
    actuator.ptc.resistance *= 1.2;
    actuator.ptc.heat_J_per_K *= 1.1;
    actuator.thermal.winding_J_per_K *= 0.9;
  }
  model::BenchLog log(tests::Logging logging = {}) const {
    logging.rate_Hz = 10;
    if (logging.noise_A == 0) logging.noise_A = noise_A;
    return tests::held_log(actuator, curve, tests::bench_V, tests::bench_ambient_C, logging);
  }
};

double errors_off(const bench::Fit& fit, const std::string& name, double truth) {
  const auto& one = tests::parameter(fit, name);
  return (one.value - truth) / one.standard_error.value();
}

}  // namespace

TEST_CASE("a good log is a measurement and nothing is said against it") {
  const auto fit = tests::fitted({Truth().log()});
  CHECK(fit.refused.empty());
  CHECK_FALSE(holds(fit.remarks, "off (r.m.s.)"));
  CHECK_FALSE(holds(fit.remarks, "contradict"));
  CHECK_FALSE(holds(fit.remarks, "do not tell"));  // the table says it
  CHECK(fit.residual_rms_A == Approx(noise_A).epsilon(0.2));
}

TEST_CASE("swapped columns and wrong units are refused with the question to ask") {
  const auto log = Truth().log();
  auto swapped = log;
  std::swap(swapped.current_A, swapped.voltage_V);
  CHECK_THROWS_WITH(tests::fitted({swapped}), Catch::Contains("current_A and voltage_V swapped"));
  auto milli = log;
  for (double& i : milli.current_A) i *= 1e-3;
  CHECK_THROWS_WITH(tests::fitted({milli}), Catch::Contains("current in the unit"));
  auto slow = log;
  for (double& t : slow.time_s) t *= 1e3;
  CHECK_THROWS_WITH(tests::fitted({slow}), Catch::Contains("apart, too far to follow a trip"));
  auto quick = log;
  for (double& t : quick.time_s) t *= 1e-3;
  CHECK_THROWS_WITH(tests::fitted({quick}), Catch::Contains("is the time in the unit"));
  CHECK_THROWS_AS(tests::fitted({quick}), base::UsageError);
}

TEST_CASE("a log that begins after the trip is refused and one that begins late asks whether it was cold") {
  auto log = Truth().log({.before_s = 0});
  const auto from = [&log](double seconds) {
    model::BenchLog late = log;
    const auto skip = static_cast<std::ptrdiff_t>(seconds * 10);
    for (auto* values : {&late.time_s, &late.current_A, &late.voltage_V})
      values->erase(values->begin(), values->begin() + skip);
    return late;
  };
  CHECK_THROWS_WITH(tests::fitted({from(40)}), Catch::Contains("at ambient when the power came on"));
  const auto late = tests::fitted({from(5)});
  CHECK(holds(late.remarks, "that it was cold when the log begins is taken on trust"));
  CHECK(holds(late.remarks, "was it at ambient when the power came on"));
}

TEST_CASE("a voltage taken ahead of the switch and a run before the hold are refused") {
  const auto log = Truth().log();
  auto supply = log;
  std::fill(supply.voltage_V.begin(), supply.voltage_V.end(), tests::bench_V);
  CHECK_THROWS_WITH(tests::fitted({supply}), Catch::Contains("before any current flows"));
  auto ran = log;
  for (std::size_t k = 0; k < ran.time_s.size(); ++k) {
    if (ran.time_s[k] > 0 && ran.time_s[k] < 0.6) ran.current_A[k] = 0.36;
  }
  CHECK_THROWS_WITH(tests::fitted({ran}), Catch::Contains("ran free before it was held"));
  // With the voltage at its own leads behind a tenth of an ohm there is a sag, and no remark.
  CHECK(holds(tests::fitted({log}).remarks, "does not sag"));
  auto sags = log;
  for (std::size_t k = 0; k < sags.time_s.size(); ++k) {
    if (sags.voltage_V[k] > 1) sags.voltage_V[k] -= 0.1 * sags.current_A[k];
  }
  CHECK_FALSE(holds(tests::fitted({sags}).remarks, "does not sag"));
}

TEST_CASE("a stretch that was not held is left out and said and refused where it warmed what is fitted") {
  const auto log = Truth().log();
  const auto moved = [&](double from, double to, double share) {
    auto changed = log;
    for (std::size_t k = 0; k < log.time_s.size(); ++k) {
      if (log.time_s[k] > from && log.time_s[k] < to) changed.current_A[k] *= share;
    }
    return tests::fitted({changed});
  };
  const auto late = moved(30, 36, 0.5);
  CHECK(late.refused.empty());
  CHECK(holds(late.remarks, "A off and left out"));
  CHECK(holds(late.remarks, "did it move?"));
  CHECK(std::fabs(errors_off(late, "/motor/resistance_ohm", Truth().actuator.motor.resistance)) < 3.5);
  // A fall to less than half is no trip where it ends with the power on.
  for (const double share : {0.7, 0.5, 0.4}) {
    const auto early = moved(1, 2, share);
    CHECK(holds(early.refused, "it was not held then, and what warmed it is not known"));
  }
}

TEST_CASE("a free run given as held and a held one given as free are refused") {
  const auto held = Truth().log();
  const auto free = tests::free_log(0.36, tests::bench_V, {.rate_Hz = 20, .length_s = 10, .noise_A = 0.01});
  CHECK_THROWS_WITH(tests::fitted({free}), Catch::Contains("was the rod held"));
  CHECK_THROWS_WITH(tests::fitted({held}, {Truth().log({.length_s = 3, .seed = 5})}),
                    Catch::Contains("did it run free?"));
}

TEST_CASE("the same log given twice is refused") {
  const auto log = Truth().log();
  auto again = log;
  again.name = "copy.csv";
  for (double& t : again.time_s) t += 100;
  CHECK_THROWS_WITH(tests::fitted({log, again}),
                    Catch::Contains("copy.csv: holds the same samples as made.csv"));
}

TEST_CASE("a fit that does not describe its log is refused", "[slow]") {
  // A polymer disc's trip by a ceramic's curve.
  const auto fit = tests::fitted({Truth().log()}, {}, {}, "act-ordinary-ceramic");
  REQUIRE_FALSE(fit.refused.empty());
  CHECK(holds(fit.refused, "does not describe this log"));
  CHECK(fit.residual_rms_A > 4 * noise_A);
}

TEST_CASE("a part built otherwise than its like is remarked where the fit strays", "[slow]") {
  // Winding in one, fitted by a part whose copper and core warm apart.
  const auto fit = tests::fitted({Truth().log()}, {}, {}, "act-heavy-5w-copper");
  CHECK(holds(fit.remarks, "less sure than their standard errors say"));
}

TEST_CASE("samples before power on hold the clamp's zero", "[slow]") {
  const auto fit = tests::fitted({Truth().log({.zero_A = 0.05})}, {}, {}, "act-ordinary-ceramic");
  // However badly the rest fits: eleven samples of 15 mA know it to 5 mA.
  CHECK(holds(fit.remarks, "the clamp read 0.0"));
}

TEST_CASE("a clamp that reads coarser than the current after the trip does not tell the loss", "[slow]") {
  int covered = 0;
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    const auto fit =
        tests::fitted({Truth().log({.length_s = 70, .step_A = 0.1, .zero_A = 0.05, .seed = seed})});
    const auto& loss = tests::parameter(fit, "/ptc/to_housing_mW_per_K");
    if (loss.identified)
      covered += std::fabs(errors_off(fit, loss.name, loss.prior)) < 1.96 ? 1 : 0;
    else
      ++covered;
  }
  CHECK(covered >= 5);
  Truth small;
  small.actuator.ptc.to_housing_W_per_K *= 0.6;
  const auto fit = tests::fitted({small.log({.length_s = 70, .noise_A = 0.003, .step_A = 0.2})});
  CHECK_FALSE(tests::parameter(fit, "/ptc/to_housing_mW_per_K").identified);
  CHECK(holds(fit.remarks, "less than two steps of the readings"));
}

TEST_CASE("a cold reading above the log is left out and said", "[slow]") {
  const Truth truth;
  const auto log = truth.log();
  const auto alone = tests::fitted({log});
  CHECK(holds(alone.remarks, "no cold reading"));
  model::HandReadings high;
  high.cold_ohm = 3.4;
  const auto told = tests::fitted({log}, {}, high);
  CHECK(holds(told.remarks, "they contradict each other"));
  CHECK(tests::parameter(told, "/motor/resistance_ohm").value ==
        tests::parameter(alone, "/motor/resistance_ohm").value);
  // By hand: copper at 0.393 % per kelvin from 20 °C, the thermistor near enough to its 25 °C.
  const double copper = (1 + 0.00393 * 2) / (1 + 0.00393 * 5);
  model::HandReadings hand;
  hand.cold_ohm = truth.actuator.motor.resistance * copper + truth.actuator.ptc.resistance;
  CHECK_FALSE(holds(tests::fitted({log}, {}, hand).remarks, "contradict"));
}

TEST_CASE("a log that began warm is refused beside a cold reading", "[slow]") {
  // Held for a minute, a minute before: the second pulse of a log as the fit sees it when only that was
  // saved.
  Truth truth;
  const auto both = truth.log({.rate_Hz = 50, .length_s = 60, .off_s = 60});
  model::BenchLog warm;
  warm.name = both.name;
  for (std::size_t k = 0; k < both.time_s.size(); ++k) {
    if (both.time_s[k] < 119) continue;
    warm.time_s.push_back(both.time_s[k]);
    warm.current_A.push_back(both.current_A[k]);
    warm.voltage_V.push_back(both.voltage_V[k]);
  }
  const double copper = (1 + 0.00393 * 2) / (1 + 0.00393 * 5);
  model::HandReadings hand;
  hand.cold_ohm = truth.actuator.motor.resistance * copper + truth.actuator.ptc.resistance;
  CHECK(holds(tests::fitted({warm}, {}, hand).refused, "it was warm when the power came on"));
}

TEST_CASE("forces and throws that contradict the log are left out and said", "[slow]") {
  const auto log = Truth().log();
  for (const double wrong : {500.0, 1.0}) {
    model::HandReadings hand;
    hand.force_N = wrong;
    const auto fit = tests::fitted({log}, {}, hand);
    CHECK(holds(fit.remarks, "force: "));
    CHECK(holds(fit.remarks, "they contradict each other"));
    CHECK_FALSE(tests::parameter(fit, "/motor/torque_constant_mNm_per_A").identified);
  }
  model::HandReadings hand;
  hand.throw_s = 5;
  CHECK(holds(tests::fitted({log}, {}, hand).remarks, "throw: 5.00 s were read by hand"));
}

TEST_CASE("current and voltage both negative are a turned supply and not a turned clamp") {
  auto log = Truth().log({.zero_A = 0.05});
  // The clamp's own error stays where it was.
  for (std::size_t k = 0; k < log.time_s.size(); ++k) {
    log.current_A[k] = -(log.current_A[k] - 0.05) + 0.05;
    log.voltage_V[k] = -log.voltage_V[k];
  }
  const auto fit = tests::fitted({log});
  CHECK(holds(fit.remarks, "the supply's leads were the other way round"));
  CHECK_FALSE(holds(fit.remarks, "the clamp sat"));
  CHECK(holds(fit.remarks, "the clamp read 0.0"));
  CHECK(std::fabs(errors_off(fit, "/motor/resistance_ohm", Truth().actuator.motor.resistance)) < 3.5);
}

TEST_CASE("of a log of hours only the first minutes count", "[slow]") {
  Truth truth;
  auto log = tests::held_log(truth.actuator, truth.curve, tests::bench_V, tests::bench_ambient_C,
                             {.rate_Hz = 1, .length_s = 1500, .noise_A = noise_A});
  const auto fit = tests::fitted({log});
  CHECK(holds(fit.remarks, "only the first 20 min after power on count"));
  CHECK(fit.refused.empty());
}

TEST_CASE("the brush drop that is taken from the like part is named with what it costs") {
  // By hand: at 12.6 V and 0.8 V of drop a tenth of a volt is 0.1/11.8 of some 2.4 ohm.
  CHECK(holds(tests::fitted({Truth().log()}).remarks, "the brush drop, 0.800 V"));
  CHECK(holds(tests::fitted({Truth().log()}).remarks, "makes the cold resistance 0.020"));
}

}  // namespace latchwright

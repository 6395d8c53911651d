// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>

#include "support/verdict_jobs.h"
#include "support/worked_case.h"

// Windings in use and in a fault, thermistors' ratings (docs/model.md section 8), against a winding
// integrated here.
using namespace latchwright;
using tests::Bench;
using tests::Parts;
using tests::plain;
using tests::plain_stall_A;
using tests::plain_winding_ohm;
using verdict::At;
using verdict::CheckId;
using verdict::Verdict;

namespace {

// A rod that cannot move makes every pulse a plain stall; a small winding far from its case warms by itself.
const tests::Changes stuck{{"/doors/0/rod_force/peak_N", "200"},
                           {"/parts/5/drive/takeup_turns", "0"},
                           {"/parts/5/thermal/winding_J_per_K", "1"},
                           {"/parts/5/thermal/winding_to_case_K_per_W", "100"}};

/// degC of that winding after `seconds` in all, current on for on_s of every on_s + gap_s: Runge–Kutta of
/// fourth order. Its case, 5000 J/K, stays at ambient. Peak: at a pulse's end.
double winding_peak(double volts, double ambient, double on_s, double gap_s, int pulses) {
  double T = ambient, peak = ambient;
  for (int pulse = 0; pulse < pulses; ++pulse) {
    for (const bool on : {true, false}) {
      const auto rate = [&](double x) {
        const double i = on ? plain_stall_A(volts, x) : 0;
        return (plain_winding_ohm(x) * i * i - (x - ambient) / 100) / 1.0;
      };
      constexpr int steps = 400;
      const double h = (on ? on_s : gap_s) / steps;
      for (int n = 0; n < steps; ++n) {
        const double a = rate(T), b = rate(T + h / 2 * a), c = rate(T + h / 2 * b), d = rate(T + h * c);
        T += h / 6 * (a + 2 * b + 2 * c + d);
      }
      peak = std::max(peak, T);
    }
  }
  return peak;
}

}  // namespace

TEST_CASE("winding over the wanted cycles, through missed throws", "[verdict][winding]") {
  const Bench bench = plain(stuck);
  for (const At at : {At{13, 25}, At{15, -15}, At{15, 65}}) {
    CAPTURE(at.voltage_V, at.ambient_C);
    const auto row = bench.row(CheckId::winding, 0, "", at);
    // 10 cycles are 20 pulses of 0.5 s, 5 when hot 10 pulses: every throw is missed, all are simulated.
    const double peak = winding_peak(at.voltage_V, at.ambient_C, 0.5, 1.0, at.ambient_C == 65 ? 10 : 20);
    CHECK(*row.have == 130 - at.ambient_C);
    CHECK(*row.need == Approx(peak - at.ambient_C).margin(0.1));
    CHECK(*row.margin == Approx((130 - at.ambient_C) / (peak - at.ambient_C)).epsilon(0.01));
    CHECK(row.unit == "K");
  }
  // Usual: 1.8 W for 10 s into 1 J/K, less what leaks: some 16 K.
  CHECK(*bench.row(CheckId::winding, 0, "", At{13, 25}).need == Approx(16.5).margin(1));
  // Worst where the current is largest against the room that is left: high_V, usual (20 pulses) or hot (10).
  CHECK(bench.worst(CheckId::winding, 0).at->voltage_V == 15);
}

TEST_CASE("winding: class at ambient fails, no current needs nothing", "[verdict][winding]") {
  const auto full = plain({{"/parts/5/motor/winding_class_C", "65"}}).worst(CheckId::winding, 0);
  CHECK(*full.have == 0);
  CHECK(*full.margin == 0);
  CHECK(full.verdict == Verdict::fails);
  CHECK(full.at->ambient_C == 65);
}

TEST_CASE("winding in a fault: 600 s of stall", "[verdict][winding_fault]") {
  const Bench bench = plain(stuck);
  for (const At at : {At{13, 25}, At{9, 65}}) {
    const auto row = bench.row(CheckId::winding_fault, 0, "", at);
    // Settled after six time constants of 100 s; class 130 + 95 K.
    const double peak = winding_peak(at.voltage_V, at.ambient_C, 600, 0, 1);
    CHECK(*row.have == 225 - at.ambient_C);
    CHECK(*row.need == Approx(peak - at.ambient_C).epsilon(0.005));
    CHECK(row.why.find("does not trip") != std::string::npos);
    CHECK(row.why.find("mean of the armature") != std::string::npos);
  }
}

TEST_CASE("winding in a fault: the worked case", "[verdict][winding_fault]") {
  // docs/model.md section 10: peak 40.4255 °C at 12.6 V, 23 °C; 80.2608 °C at 13.8 V, 75 °C.
  const Bench usual(tests::worked_case_json(), Parts::own);
  const auto row = usual.row(CheckId::winding_fault, 0, "", At{12.6, 23});
  CHECK(*row.have == 130 + 95 - 23);
  CHECK(*row.need == Approx(40.4255 - 23).margin(0.1));
  CHECK(*row.margin == Approx(202 / 17.4255).epsilon(0.006));
  const Bench hot(tests::changed(tests::worked_case_json(), {{"/supply/usual_V", "13.8"}}), Parts::own);
  CHECK(*hot.row(CheckId::winding_fault, 0, "", At{13.8, 75}).need == Approx(80.2608 - 75).margin(0.1));
}

TEST_CASE("fault limit: by class, or the part's own", "[verdict][winding_fault]") {
  struct Limit {
    int class_C, fault_C;
  };
  // First-hour limits of abnormal operation, IEC 60335-1 table 8, from memory: 200, 215, 225, 240, 260 °C.
  for (const Limit limit : {Limit{105, 200}, Limit{120, 215}, Limit{130, 225}, Limit{155, 240},
                            Limit{180, 260}, Limit{200, 280}}) {
    CAPTURE(limit.class_C);
    const auto row = plain({{"/parts/5/motor/winding_class_C", std::to_string(limit.class_C)}})
                         .row(CheckId::winding_fault, 0, "", At{13, 25});
    CHECK(*row.have == limit.fault_C - 25);
  }
  const auto own =
      plain({{"/parts/5/motor/winding_fault_C", "170"}}).row(CheckId::winding_fault, 0, "", At{13, 25});
  CHECK(*own.have == 145);
}

TEST_CASE("thermistor's rating by voltage and by current", "[verdict][ptc_rating]") {
  // Cold: 1.95 + 0.05 x (1 - 0.00393 x 35)/1.01965 = 1.99229 ohm; 14/1.99229 = 7.0271 A at 15 V, 23/1.99229
  // = 11.5445 A at 24 V.
  const auto volts = plain().worst(CheckId::ptc_rating, 0);
  CHECK(*volts.have == 30);
  CHECK(*volts.need == 15);
  CHECK(*volts.margin == 2);
  CHECK(volts.unit == "V");
  CHECK(volts.at->voltage_V == 15);
  CHECK(volts.at->ambient_C == -15);
  CHECK(volts.verdict == Verdict::holds);  // 30 V bears 24 V, 40 A bear 11.5 A

  const auto amps = plain({{"/parts/5/ptc/max_A", "12"}}).worst(CheckId::ptc_rating, 0);
  CHECK(*amps.have == 12);
  CHECK(*amps.need == Approx(7.0271).epsilon(1e-4));
  CHECK(amps.unit == "A");
  CHECK(*amps.margin == Approx(12 / 7.0271).epsilon(1e-4));
  CHECK(amps.verdict == Verdict::holds);

  // Starred: tight below 1.05. 15.5 V over 15 V.
  const auto tight =
      plain({{"/parts/5/ptc/max_V", "15.5"}, {"/supply/jump_V", "15"}}).worst(CheckId::ptc_rating, 0);
  CHECK(*tight.margin == Approx(15.5 / 15));
  CHECK(tight.verdict == Verdict::tight);
}

TEST_CASE("thermistor's rating while jump-starting: tight, or fails where the job names it",
          "[verdict][ptc_rating]") {
  // 10 A over 7.03 A in service, over 11.54 A at 24 V.
  const auto unnamed = plain({{"/parts/5/ptc/max_A", "10"}}).worst(CheckId::ptc_rating, 0);
  CHECK(*unnamed.margin == Approx(10 / 7.0271).epsilon(1e-4));
  CHECK(unnamed.at->voltage_V == 15);
  CHECK(unnamed.verdict == Verdict::tight);
  CHECK(unnamed.why.find("jump-starting") != std::string::npos);

  const auto named =
      plain({{"/parts/5/ptc/max_A", "10"}, {"/supply/jump_V", "24"}}).worst(CheckId::ptc_rating, 0);
  CHECK(named.verdict == Verdict::fails);
  CHECK(*named.have == 10);
  CHECK(*named.need == Approx(11.5445).epsilon(1e-4));
  CHECK(*named.margin == Approx(10 / 11.5445).epsilon(1e-4));
  CHECK(named.at->voltage_V == 24);
  CHECK(named.at->ambient_C == -15);

  // Named and borne: 30 V over 24 V is the worse of both.
  const auto borne = plain({{"/supply/jump_V", "24"}}).worst(CheckId::ptc_rating, 0);
  CHECK(*borne.margin == 1.25);
  CHECK(borne.verdict == Verdict::holds);

  // A thermistor that is tight in service says the jump start too.
  const auto both = plain({{"/parts/5/ptc/max_V", "15.5"}}).worst(CheckId::ptc_rating, 0);
  CHECK(both.verdict == Verdict::tight);
  CHECK(both.why.find("jump-starting") != std::string::npos);
}

TEST_CASE("thermistor's rating takes the door alone", "[verdict][ptc_rating]") {
  // With all four driven a door's current would be 14/(1.99229 + 3 x 0.04) = 6.63 A, alone it is 7.03 A.
  const auto row = plain({{"/parts/5/ptc/max_A", "12"}}, 4).worst(CheckId::ptc_rating, 2);
  CHECK(*row.need == Approx(7.0271).epsilon(1e-4));
}

// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "support/verdict_jobs.h"
#include "verdict/fuse_duty.h"

// Fuses in use: loading and the quickest fuse, against closed forms for a rotor that cannot move: every pulse
// is then a stall with known current (docs/model.md sections 7 and 8).
using namespace latchwright;
using tests::Bench;
using tests::plain;
using tests::plain_stall_A;
using tests::plain_winding_ohm;
using verdict::At;
using verdict::CheckId;
using verdict::Verdict;

namespace {

constexpr double on = 0.5, gap = 1.0;

tests::Changes stuck(tests::Changes more = {}) {
  more.push_back({"/doors/0/rod_force/peak_N", "200"});
  more.push_back({"/parts/5/drive/takeup_turns", "0"});  // no free motion either
  return more;
}

/// Time constant of the quickest fuse of gates 1.35: 0.75 s, 2: 0.15 s, 6: 0.02 s. t_min / ln(m²/(m²
/// - 1.21)): 0.6878, 0.4164 and 0.5850 s: the gate at twice the rating sets it.
const double tau = 0.15 / std::log(4 / (4 - 1.21));

/// Derating without a table: 0.002 a kelvin above 23 °C.
double derating(double T) { return T > 23 ? 1 - 0.002 * (T - 23) : 1; }

/// Largest y over n pulses of constant current m (in ratings): at each pulse's end y' = y e^-(on+gap) + m² (1
/// - e^-on).
double pulsed_y(double m, int pulses) {
  const double a = std::exp(-on / tau), both = std::exp(-(on + gap) / tau);
  return m * m * (1 - a) * (1 - std::pow(both, pulses)) / (1 - both);
}

}  // namespace

TEST_CASE("fuse loading: r.m.s. over pulse and gap", "[verdict][fuse_load]") {
  CHECK(tau == Approx(0.41638).epsilon(1e-4));
  // 6 A for 0.5 s of every 1.5 s: 6 / sqrt(3) = 3.4641 A; the current's rise in 50 µs takes 2.4e-4 of its
  // square.
  const Bench bench = plain(stuck());
  const auto usual = bench.row(CheckId::fuse_load, std::nullopt, "main fuse", At{13, 25});
  CHECK(*usual.need == Approx(6 / std::sqrt(3.0)).epsilon(3e-4));
  CHECK(*usual.have == Approx(0.75 * 15 * 0.996));
  CHECK(*usual.margin == Approx(11.205 / 3.4641).epsilon(3e-4));
  CHECK(usual.unit == "A");
  CHECK_FALSE(usual.door.has_value());
  // Hot: the fuse stands at 45 °C (f = 0.956), the motor at 65 °C.
  const auto hot = bench.row(CheckId::fuse_load, std::nullopt, "main fuse", At{13, 65});
  CHECK(*hot.have == Approx(0.75 * 15 * 0.956));
  CHECK(*hot.need == Approx(plain_stall_A(13, 65) / std::sqrt(3.0)).epsilon(3e-4));
  // Usual voltage only, three ambients; the derating outweighs the copper: worst when hot.
  CHECK(bench.rows(CheckId::fuse_load).size() == 3);
  CHECK(bench.worst(CheckId::fuse_load, std::nullopt, "main fuse").at->ambient_C == 65);
}

TEST_CASE("fuse loading: a current that rises slowly", "[verdict][fuse_load]") {
  // 40 mH over 2 ohm: i = I (1 - e^-t/0.02); its square over a pulse T: I² (T - 2 t0 (1 - e^-T/t0) + t0/2 (1
  // - e^-2T/t0)).
  const auto row = plain(stuck({{"/parts/5/motor/inductance_mH", "40"}}))
                       .row(CheckId::fuse_load, std::nullopt, "main fuse", At{13, 25});
  const double t0 = 0.02;
  const double square = 36 * (on - 2 * t0 * (1 - std::exp(-on / t0)) + t0 / 2 * (1 - std::exp(-2 * on / t0)));
  CHECK(*row.need == Approx(std::sqrt(square / (on + gap))).epsilon(1e-4));
}

TEST_CASE("fuse loading: what else the main fuse carries, and a door's own fuse", "[verdict][fuse_load]") {
  const Bench bench = plain(stuck({{"/feed/other_load_A", "3"}, {"/doors/0/fuse", "\"f-5\""}}));
  // The other load takes 3 A x (40 - 5) mohm = 0.105 V before the relay; the branch has its fuse's 20 mohm
  // more.
  const double i = (13 - 0.105 - 1) / 2.02;
  const auto main = bench.row(CheckId::fuse_load, std::nullopt, "main fuse", At{13, 25});
  CHECK(*main.need == Approx(i / std::sqrt(3.0) + 3).epsilon(3e-4));
  const auto own = bench.row(CheckId::fuse_load, std::nullopt, "fuse, door 1", At{13, 25});
  CHECK(*own.need == Approx(i / std::sqrt(3.0)).epsilon(3e-4));
  CHECK(*own.have == Approx(0.75 * 5 * 0.996));
  CHECK(*own.margin == Approx(3.735 / 3.3998).epsilon(1e-3));
  CHECK(own.verdict == Verdict::holds);  // 1.099, starred
}

TEST_CASE("fuse loading: the family's own derating table", "[verdict][fuse_load]") {
  const auto row = plain(stuck({{"/parts/2/derating", R"({"T_C": [0, 25, 65], "factor": [1.1, 1, 0.8]})"}}))
                       .row(CheckId::fuse_load, std::nullopt, "main fuse", At{13, 65});
  CHECK(*row.have == Approx(0.75 * 15 * 0.9));  // half-way from 25 to 65 °C
}

TEST_CASE("the quickest fuse under pulses of constant current", "[verdict][fuse_carry]") {
  const Bench bench = plain(stuck({{"/doors/0/fuse", "\"f-5\""}}));
  struct Corner {
    double volts, door_C, fuse_C;
    int pulses;
  };
  for (const Corner c :
       {Corner{9, -15, -15, 20}, Corner{13, 25, 25, 20}, Corner{15, -15, -15, 20}, Corner{15, 65, 45, 10}}) {
    CAPTURE(c.volts, c.door_C);
    const double i = (c.volts - 1) / (1.97 + plain_winding_ohm(c.door_C));
    const double usable = 5 * derating(c.fuse_C);
    const double y = pulsed_y(i / usable, c.pulses);
    const auto row = bench.row(CheckId::fuse_carry, std::nullopt, "fuse, door 1", At{c.volts, c.door_C});
    CHECK(*row.have == Approx(1.1 * usable));
    CHECK(*row.need == Approx(usable * std::sqrt(y)).epsilon(3e-4));
    CHECK(*row.margin == Approx(std::sqrt(1.21 / y)).epsilon(3e-4));
    CHECK(row.unit == "A");
  }
  // Worst hot, where the fuse's derating outweighs the copper: 14 / 2.0277 = 6.904 A on 5 x 0.956 A: 1.4444
  // ratings, y = 1.4444² x 0.69905 / 0.97274 = 1.4994: it may open.
  const auto worst = bench.worst(CheckId::fuse_carry, std::nullopt, "fuse, door 1");
  CHECK(worst.at->voltage_V == 15);
  CHECK(worst.at->ambient_C == 65);
  CHECK(*worst.margin == Approx(0.8983).margin(0.0005));
  CHECK(worst.verdict == Verdict::fails);
  CHECK(bench.rows(CheckId::fuse_carry).size() == 18);
}

TEST_CASE("the quickest fuse under a current that rises slowly, with another load", "[verdict][fuse_carry]") {
  // 100 mH over some 2 ohm: 50 ms. tau dy/dt = (I/I_n)² - y in steps of 0.1 ms, Runge–Kutta of fourth order.
  const auto row = plain(stuck({{"/parts/5/motor/inductance_mH", "100"}, {"/feed/other_load_A", "5"}}))
                       .row(CheckId::fuse_carry, std::nullopt, "main fuse", At{15, 25});
  const double volts = 15 - 5 * 0.035, usable = 15 * 0.996, t0 = 0.100 / 2.0;
  double y = std::pow(5 / usable, 2), peak = y;  // the other load has been on for long
  constexpr double h = 1e-4;
  for (int pulse = 0; pulse < 20; ++pulse) {
    for (const bool driven : {true, false}) {
      const auto rate = [&](double t, double x) {
        const double i = 5 + (driven ? (volts - 1) / 2.0 * (1 - std::exp(-t / t0)) : 0);
        return (i * i / usable / usable - x) / tau;
      };
      const int steps = static_cast<int>(std::lround((driven ? on : gap) / h));
      for (int n = 0; n < steps; ++n) {
        const double t = n * h;
        const double a = rate(t, y), b = rate(t + h / 2, y + h / 2 * a), c = rate(t + h / 2, y + h / 2 * b),
                     d = rate(t + h, y + h * c);
        y += h / 6 * (a + 2 * b + 2 * c + d);
      }
      peak = std::max(peak, y);
    }
  }
  CHECK(*row.margin == Approx(std::sqrt(1.21 / peak)).epsilon(2e-4));
}

TEST_CASE("no current through a fuse asks nothing of it", "[verdict][fuse_carry]") {
  // 4 V, of which the brushes block 3 V and another load takes the rest; a branch fuse then carries nothing.
  const Bench bench =
      plain({{"/supply", R"({"internal_mohm": 20, "low_V": 4, "usual_V": 4, "charge_V": 4, "high_V": 4})"},
             {"/parts/5/motor/brush_drop_V", "3"},
             {"/feed/other_load_A", "40"},
             {"/doors/0/fuse", "\"f-5\""}});
  for (const CheckId id : {CheckId::fuse_carry, CheckId::fuse_load}) {
    const auto row = bench.worst(id, std::nullopt, "fuse, door 1");
    CHECK_FALSE(row.margin.has_value());
    CHECK(row.verdict == Verdict::holds);
  }
}

TEST_CASE("the short way to a fuse's two verdicts in use agrees with their rows", "[verdict][fuse_duty]") {
  int bears = 0, carries = 0, both = 0;
  for (const bool moving : {false, true}) {
    for (const char* rating : {"3", "4", "4.5", "5", "5.4", "5.8", "7", "10"}) {
      for (const char* pulse : {"0.2", "0.6"}) {
        CAPTURE(moving, rating, pulse);
        tests::Changes changes{{"/doors/0/fuse", "\"f-5\""},  {"/parts/4/rating_A", rating},
                               {"/pulse/on_s", pulse},        {"/feed/other_load_A", "2"},
                               {"/parts/3/rating_A", rating}, {"/use/cycles", "3"}};
        const Bench bench = plain(moving ? changes : stuck(changes));
        for (const auto& fuse : verdict::fuses_of(bench.findings().study())) {
          const bool load =
              bench.worst(CheckId::fuse_load, std::nullopt, fuse.name).verdict != Verdict::fails;
          const bool carry =
              bench.worst(CheckId::fuse_carry, std::nullopt, fuse.name).verdict != Verdict::fails;
          CHECK(verdict::bears_load(bench.findings(), fuse) == load);
          CHECK(verdict::carries_pulses(bench.findings(), fuse) == carry);
          bears += load;
          carries += carry;
          ++both;
        }
      }
    }
  }
  // Both answers came up.
  CHECK(bears > 5);
  CHECK(bears < both - 5);
  CHECK(carries > 5);
  CHECK(carries < both - 5);
}

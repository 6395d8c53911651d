// SPDX-License-Identifier: GPL-3.0-or-later
// The heat network under heat in a straight line, docs/model.md (4.5), against the particular solution that a
// linear network has under it: T = T_a + a + b t with G b = P1 and G a = P0 - C b, from a plain solve of G,
// and what is left of the begin, which cools as in a rest (textbook, linear equations with constant
// coefficients).
#include "sim/heat_modes.h"

#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include "support/studies.h"

using namespace latchwright;
using physics::HeatNode;

namespace {

constexpr double air_C = 23;

/// Conductances, W/K: what the network loses from each node for each temperature above the air.
Eigen::MatrixXd conductances(const physics::HeatNetwork& heat) {
  const auto size = static_cast<Eigen::Index>(heat.size());
  Eigen::MatrixXd G = Eigen::MatrixXd::Zero(size, size);
  G(physics::housing, physics::housing) = heat.housing_to_ambient();
  for (Eigen::Index a = 0; a < size; ++a) {
    for (Eigen::Index b = 0; b < size; ++b) {
      const double link = a == b ? 0 : heat.link(static_cast<HeatNode>(a), static_cast<HeatNode>(b));
      G(a, a) += link;
      G(a, b) -= link;
    }
  }
  return G;
}

void hold(const physics::HeatNetwork& heat, double seconds) {
  const physics::Temperatures T0{31, 24, 57, 23.5, 29};
  const physics::Temperatures watts{40, 3, 25, 1.5, 0}, per_s{-60, 2, 300, 0, 0};
  const sim::HeatModes modes(heat);
  const auto size = static_cast<Eigen::Index>(heat.size());
  Eigen::VectorXd P0(size), P1(size), C(size);
  for (Eigen::Index k = 0; k < size; ++k) {
    P0[k] = watts[static_cast<std::size_t>(k)];
    P1[k] = per_s[static_cast<std::size_t>(k)];
    C[k] = heat.capacity(static_cast<HeatNode>(k));
  }
  const auto solver = conductances(heat).fullPivLu();
  const Eigen::VectorXd b = solver.solve(P1), a = solver.solve(P0 - C.cwiseProduct(b));
  physics::Temperatures rest = T0, left{}, got{};
  for (Eigen::Index k = 0; k < size; ++k) rest[static_cast<std::size_t>(k)] -= a[k];
  modes.cooled(rest.data(), air_C, seconds, left.data());
  modes.heated(T0.data(), watts.data(), per_s.data(), air_C, seconds, got.data());
  for (Eigen::Index k = 0; k < size; ++k) {
    const auto n = static_cast<std::size_t>(k);
    CAPTURE(k, seconds);
    // a and b hang on the slowest node and are large: their rounding is the tolerance.
    const double rounding = 1e-13 * (a.cwiseAbs().maxCoeff() + seconds * b.cwiseAbs().maxCoeff());
    CHECK(got[n] == Approx(left[n] + a[k] + seconds * b[k]).epsilon(0).margin(1e-9 + 100 * rounding));
  }
  if (!heat.split()) CHECK(got[physics::core] == T0[physics::core]);
}

}  // namespace

TEST_CASE("heat modes: heat in a straight line has the particular solution of the network", "[sim]") {
  const std::string thermal = tests::worked_actuator + std::string("/thermal/");
  const tests::Changes quick = {{tests::worked_actuator + std::string("/ptc/heat_J_per_K"), "0.005"}};
  const tests::Changes apart = {{thermal + "copper_J_per_K", "2"},
                                {thermal + "copper_to_core_K_per_W", "0.7"}};
  for (const auto& changes : {tests::Changes{}, quick, apart}) {
    const auto circuit = tests::worked_circuit({12.6, air_C}, 1, changes);
    // Both sides of every node's time constant, and of where a series takes over.
    for (const double seconds : {1e-6, 1e-3, 0.003, 0.05, 0.7, 20.0, 1000.0})
      hold(circuit.doors[0].heat, seconds);
  }
}

TEST_CASE("heat modes: one lump of heat in no time stays where it is put", "[sim]") {
  const auto circuit = tests::worked_circuit({12.6, air_C});
  const sim::HeatModes modes(circuit.doors[0].heat);
  const physics::Temperatures cold{air_C, air_C, air_C, air_C, air_C}, none{};
  physics::Temperatures watts{}, got{};
  constexpr double seconds = 1e-9;
  watts[physics::ptc] = 3 / seconds;  // 3 J
  modes.heated(cold.data(), watts.data(), none.data(), air_C, seconds, got.data());
  // The worked case's thermistor has 0.6 J/K: 3 J are 5 K.
  CHECK(got[physics::ptc] == Approx(air_C + 5).epsilon(1e-9));
  CHECK(got[physics::winding] == Approx(air_C).epsilon(1e-9));
}

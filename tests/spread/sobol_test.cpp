// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <numbers>

#include "spread/latin_hypercube.h"
#include "spread/sobol_sums.h"

// Functions whose Sobol indices are known in closed form.
using namespace latchwright;
using spread::SobolIndex;

namespace {

using Function = std::function<double(const std::vector<double>&)>;
constexpr std::int64_t samples = 1024;
constexpr double units = 1000;  // sums are of whole numbers

std::vector<SobolIndex> indices_of(const Function& f, std::size_t columns, std::uint64_t seed) {
  const spread::LatinHypercube cube_a(samples, columns, 2 * seed), cube_b(samples, columns, 2 * seed + 1);
  const auto whole = [&](const std::vector<double>& x) { return std::llround(units * f(x)); };
  auto sums = spread::no_sobol_sums(columns);
  for (std::int64_t i = 0; i < samples; ++i) {
    const auto a = cube_a.places(i), b = cube_b.places(i);
    std::vector<std::int64_t> ab;
    for (std::size_t c = 0; c < columns; ++c) {
      auto x = a;
      x[c] = b[c];
      ab.push_back(whole(x));
    }
    spread::add_pick_freeze(sums, i, whole(a), whole(b), ab);
  }
  return spread::sobol_indices(sums);
}

struct Exact {
  double first, total;
};

/// Single runs within four of their standard errors; the mean of all of them, and the errors themselves, by
/// what the runs scatter.
void compare(const Function& f, const std::vector<Exact>& exact) {
  constexpr int runs = 40;
  std::vector<double> first_z2(exact.size()), total_z2(exact.size()), first_sum(exact.size()),
      total_sum(exact.size()), first_error(exact.size()), total_error(exact.size());
  for (int run = 0; run < runs; ++run) {
    const auto found = indices_of(f, exact.size(), static_cast<std::uint64_t>(100 + run));
    REQUIRE(found.size() == exact.size());
    for (std::size_t k = 0; k < exact.size(); ++k) {
      CAPTURE(run, k, found[k].first, found[k].first_error, found[k].total, found[k].total_error);
      // Beside the error by luck a floor for rounding to whole numbers.
      CHECK(found[k].first == Approx(exact[k].first).margin(4.5 * found[k].first_error + 1e-4));
      CHECK(found[k].total == Approx(exact[k].total).margin(4.5 * found[k].total_error + 1e-4));
      first_sum[k] += found[k].first / runs;
      total_sum[k] += found[k].total / runs;
      first_error[k] += found[k].first_error / runs;
      total_error[k] += found[k].total_error / runs;
      first_z2[k] += std::pow((found[k].first - exact[k].first) / (found[k].first_error + 1e-9), 2) / runs;
      total_z2[k] += std::pow((found[k].total - exact[k].total) / (found[k].total_error + 1e-9), 2) / runs;
    }
  }
  for (std::size_t k = 0; k < exact.size(); ++k) {
    CAPTURE(k, first_z2[k], total_z2[k], first_error[k], total_error[k]);
    CHECK(first_sum[k] == Approx(exact[k].first).margin(4 * first_error[k] / std::sqrt(runs) + 1e-4));
    CHECK(total_sum[k] == Approx(exact[k].total).margin(4 * total_error[k] / std::sqrt(runs) + 1e-4));
    CHECK(first_error[k] < 0.06);
    CHECK(total_error[k] < 0.06);
    // Errors that are neither half nor twice what they should be.
    CHECK(first_z2[k] < 4);
    if (exact[k].first > 0.05) CHECK(first_z2[k] > 0.1);
  }
}

}  // namespace

TEST_CASE("sobol: the function of Ishigami and Homma", "[spread]") {
  // sin x1 + a sin² x2 + b x3⁴ sin x1 over ±pi. Variance a²/8 + b pi⁴/5 + b² pi⁸/18 + 1/2; first of x1
  // (1 + b pi⁴/5)²/2, of x2 a²/8, of x3 0; x1 and x3 together 8 b² pi⁸/225 (all by integrating powers and
  // sines).
  constexpr double a = 7, b = 0.1, pi = std::numbers::pi;
  const double v1 = 0.5 * std::pow(1 + b * std::pow(pi, 4) / 5, 2), v2 = a * a / 8,
               v13 = 8 * b * b * std::pow(pi, 8) / 225, v = v1 + v2 + v13;
  // The figures that are printed everywhere: 0.3139, 0.4424, 0; 0.5576, 0.4424, 0.2437.
  CHECK(v1 / v == Approx(0.3139).margin(5e-5));
  CHECK(v2 / v == Approx(0.4424).margin(5e-5));
  CHECK(v13 / v == Approx(0.2437).margin(5e-5));
  compare(
      [](const std::vector<double>& u) {
        const double x1 = pi * u[0], x2 = pi * u[1], x3 = pi * u[2];
        return std::sin(x1) + a * std::pow(std::sin(x2), 2) + b * std::pow(x3, 4) * std::sin(x1);
      },
      {{v1 / v, (v1 + v13) / v}, {v2 / v, v2 / v}, {0, v13 / v}});
}

TEST_CASE("sobol: Sobol's product of absolute values", "[spread]") {
  // prod (|4 u - 2| + a) / (1 + a), u even over 0 to 1: each factor has mean 1 and variance V = 1 / (3 (1 +
  // a)²).
  const std::vector<double> a{0, 1, 4.5, 9, 99};
  double all = 1;
  std::vector<double> V;
  for (const double each : a) {
    V.push_back(1 / (3 * (1 + each) * (1 + each)));
    all *= 1 + V.back();
  }
  std::vector<Exact> exact;
  for (const double each : V) exact.push_back({each / (all - 1), each * all / (1 + each) / (all - 1)});
  compare(
      [&](const std::vector<double>& places) {
        double product = 1;
        for (std::size_t k = 0; k < a.size(); ++k) product *= (std::fabs(2 * places[k]) + a[k]) / (1 + a[k]);
        return product;
      },
      exact);
}

TEST_CASE("sobol: nothing is said of a figure that does not vary", "[spread]") {
  auto sums = spread::no_sobol_sums(2);
  CHECK(spread::sobol_indices(sums).empty());
  for (std::int64_t i = 0; i < 100; ++i) spread::add_pick_freeze(sums, i, 20, 20, {20, 20});
  CHECK(spread::sobol_indices(sums).empty());
  CHECK(spread::sobol_indices({}).empty());
  // One block alone has no error to tell.
  auto one = spread::no_sobol_sums(1);
  for (std::int64_t i = 0; i < 5; ++i) {
    spread::add_pick_freeze(one, i * static_cast<std::int64_t>(spread::sobol_blocks), i, 2 * i, {i});
  }
  CHECK(spread::sobol_indices(one).empty());
}

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

// Checks of published values that can be written down: when the environment variable LATCHWRIGHT_FIGURES
// names a file, every one adds a line of JSON to it, from which tests/tools/validation.py makes
// docs/validation.md.
namespace latchwright::tests {

/// What a published value is and where it stands.
struct Published {
  std::string quantity, unit, source;
};

namespace detail {

inline nlohmann::ordered_json number(double value) {
  return std::isfinite(value) ? nlohmann::ordered_json(value) : nlohmann::ordered_json();
}

/// Adds a line to the file of figures, where there is one.
inline void write_down(const nlohmann::ordered_json& line) {
  const char* const path = std::getenv("LATCHWRIGHT_FIGURES");
  if (path != nullptr) std::ofstream(path, std::ios::app) << line.dump() << "\n";
}

inline void note(const Published& what, double tool, const std::optional<double>& low,
                 const std::optional<double>& high, const std::optional<double>& value,
                 const std::optional<double>& tolerance) {
  nlohmann::ordered_json line{{"quantity", what.quantity}, {"unit", what.unit}, {"source", what.source}};
  line["tool"] = number(tool);
  if (value) line["published"] = *value;
  if (tolerance) line["tolerance"] = *tolerance;
  if (low) line["at_least"] = *low;
  if (high) line["at_most"] = *high;
  write_down(line);
}

}  // namespace detail

/// The tool's value within `tolerance`, absolute, of the published one.
inline void check_published(const Published& what, double tool, double value, double tolerance) {
  INFO(what.quantity << ", " << what.unit << " (" << what.source << ")");
  detail::note(what, tool, std::nullopt, std::nullopt, value, tolerance);
  CHECK(tool == Approx(value).epsilon(0).margin(tolerance));
}

/// The same with a tolerance that is a share of the published value.
inline void check_published_share(const Published& what, double tool, double value, double share) {
  check_published(what, tool, value, share * std::fabs(value));
}

/// The tool's value within published limits, both included.
inline void check_between(const Published& what, double tool, std::optional<double> low,
                          std::optional<double> high) {
  INFO(what.quantity << ", " << what.unit << " (" << what.source << ")");
  detail::note(what, tool, low, high, std::nullopt, std::nullopt);
  REQUIRE((low || high));
  if (low) CHECK(tool >= *low);
  if (high) CHECK(tool <= *high);
}

}  // namespace latchwright::tests

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <stdexcept>
#include <string>

#include "report/picture.h"
#include "support/examples.h"

// Finding what a picture shows by its name.
namespace latchwright::tests {

/// The only entry of this name.
template <class List>
const auto& named(const List& entries, const std::string& name) {
  const auto is = [&](const auto& entry) { return entry.name == name; };
  if (std::count_if(entries.begin(), entries.end(), is) != 1) throw std::runtime_error("not one of " + name);
  return *std::find_if(entries.begin(), entries.end(), is);
}

template <class List>
bool any_named(const List& entries, const std::string& name) {
  return std::any_of(entries.begin(), entries.end(), [&](const auto& entry) { return entry.name == name; });
}

/// A line's value at a place, straight between its points, which must rise.
inline double value_at(const report::PictureLine& line, double x) {
  if (line.x.empty() || x < line.x.front() || x > line.x.back()) throw std::runtime_error("beyond the line");
  const auto next =
      static_cast<std::size_t>(std::lower_bound(line.x.begin(), line.x.end(), x) - line.x.begin());
  if (next == 0) return line.y.front();
  const double share = (x - line.x[next - 1]) / (line.x[next] - line.x[next - 1]);
  return line.y[next - 1] + share * (line.y[next] - line.y[next - 1]);
}

}  // namespace latchwright::tests

// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/trace_csv.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <string_view>

namespace latchwright::report {

bool begins_formula(std::string_view text) {
  constexpr std::string_view begins[] = {"=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"};
  return std::any_of(std::begin(begins), std::end(begins),
                     [&](std::string_view it) { return text.starts_with(it); });
}

std::string csv_field(const std::string& text) {
  constexpr std::string_view parts_columns = ";\t\r\n";
  std::string safe;
  bool at_start = true;
  for (std::size_t k = 0; k < text.size(); ++k) {
    if (at_start && begins_formula(std::string_view(text).substr(k))) safe += '\'';
    if (text[k] == '"') safe += '"';
    safe += text[k];
    at_start = parts_columns.find(text[k]) != std::string_view::npos;
  }
  if (safe.find_first_of(",;\"\t\r\n") == std::string::npos) return safe;
  return '"' + safe + '"';
}

std::string trace_csv(const std::vector<sim::TraceSample>& samples, const std::vector<std::string>& door_names) {
  std::vector<std::string> names;
  for (const auto& name : door_names) names.push_back(csv_field(name));
  std::string out = "time_s,door,current_A,speed_rad_per_s,rod_mm,winding_C,case_C,ptc_C,housing_C\n";
  for (const auto& s : samples) {
    const auto& T = s.temperature_C;
    fmt::format_to(std::back_inserter(out), "{:.9g},{},{:.9g},{:.9g},{:.9g},{:.9g},{:.9g},{:.9g},{:.9g}\n", s.time_s,
                   names[s.door], s.current_A, s.speed_rad_per_s, s.rod_m * 1e3, s.winding_C,
                   T[physics::motor_case], T[physics::ptc], T[physics::housing]);
  }
  return out;
}

}  // namespace latchwright::report

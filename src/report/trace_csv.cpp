// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/trace_csv.h"

#include <fmt/format.h>

#include <iterator>

namespace latchwright::report {

std::string csv_field(const std::string& text) {
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + '"';
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

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace latchwright::cli {

/// What triage alone takes: words as given, numbers within range.
struct TriageOptions {
  std::string leads;  ///< a plain number, ohm, or open_line; empty: not read
  std::optional<double> meter_ohm;
  std::optional<double> idle_min;
  std::optional<int> used;
  std::optional<double> supply_V;
  std::optional<double> current_A;
  std::string moves;  ///< both, one, neither; empty: not read
  std::string frees;  ///< yes, no; empty: not read
};
inline constexpr const char* open_line = "open";  ///< in place of a resistance

/// What the command line asks for. Numbers are in the units of the option names and already within range.
struct Options {
  std::string verb;
  std::string job;  ///< path of the job file
  std::optional<double> ambient_C;
  std::optional<double> voltage_V;
  std::vector<std::string> doors;
  std::vector<std::string> parts_files;
  bool skip_broken = false;  ///< broken parts are named and left out
  bool json = false;
  std::string csv;
  std::string plot;
  bool quiet = false;

  bool all_corners = false;           // check
  std::optional<double> limit_s;      // stall
  bool after_trip = false;            // stall, cycle
  std::optional<int> cycles;          // cycle
  std::optional<double> gap_s, on_s;  // cycle
  bool on_through = false;            // cycle
  int door_count = 0;                 // new
  std::string body;                   // new
  std::string output;                 // new
  bool force = false;                 // new
  std::vector<std::string> part_ids;  // parts
  std::string kind;                   // parts

  std::string over;                                      // map: gap or on
  std::optional<double> from_s, to_s;                    // map: of the rest or the pulse
  std::optional<double> from_ambient_C, to_ambient_C;    // map
  std::optional<std::int64_t> samples, seed;  // spread
  std::string slice;                          // spread: "K/N", lawful; empty: no slice
  std::vector<std::string> results;           // join

  TriageOptions triage;                      ///< part_ids: its part; ambient_C, on_s and gap_s with it
  std::optional<double> supply_V;            // bench: at the leads of part_ids' only one
  std::vector<std::string> logs, free_logs;  // fit
  std::string like;                          // fit
  std::string paper, date;                   // sheet
  std::optional<double> cold_ohm, force_N, throw_s;  // fit; its flag to replace files is --replace
};

struct Parsed {
  std::optional<Options> options;  ///< none: nothing to run, text is all
  std::string text;                ///< help, version, or what is wrong with the usage
  int exit_code = 0;
};

/// Reads the command line. Never ends the program.
Parsed parse_options(int argc, const char* const* argv);

}  // namespace latchwright::cli

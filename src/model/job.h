// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "model/parts.h"

// A job as a record in SI units (degrees Celsius for temperatures). What each number means, its unit in a file, its
// default and its permitted range stand once, in job_fields.cpp.
namespace latchwright::model {

struct Supply {
  double internal_ohm = 0;
  double low_V = 0;
  double usual_V = 0;
  double charge_V = 0;
  double high_V = 0;
  std::optional<double> jump_V;  ///< as the job names it; see jump_voltage()

  /// Jump-start voltage: the job's own, else max(24 V, high_V) (docs/model.md section 8).
  double jump_voltage() const { return jump_V ? *jump_V : (high_V > 24.0 ? high_V : 24.0); }
};

struct Climate {
  double cold_C = 0;
  double usual_C = 0;
  double hot_C = 0;
};

/// A reference to a part: an id, or nothing where the part is still to be chosen.
using PartRef = std::optional<std::string>;

struct Feed {
  double length = 0;  ///< m, one conductor
  PartRef wire;
  PartRef fuse;
  PartRef relay;
  double ground_ohm = 0;
  double bundle_factor = 0;
  double hot_C = 0;
  double other_load_A = 0;
};

enum class RodShape { steady, over_centre, table };

struct RodForce {
  RodShape shape = RodShape::steady;
  double peak = 0;                ///< N
  double friction = 0;            ///< N
  std::vector<double> x;          ///< m
  std::vector<double> force;      ///< N
  double cold_factor = 1;

  friend bool operator==(const RodForce&, const RodForce&) = default;
};

struct Door {
  std::string name;
  PartRef actuator;
  PartRef wire;
  std::optional<PartRef> fuse;  ///< absent: none fitted; an empty reference: to be chosen
  double branch_length = 0;     ///< m, one way
  double joints_ohm = 0;
  double bundle_factor = 0;
  double stroke = 0;  ///< m
  RodForce rod_force;
  std::optional<RodForce> rod_force_unlock;

  friend bool operator==(const Door&, const Door&) = default;
};

struct Pulse {
  double on_s = 0;
};

struct Use {
  int cycles = 0;
  int hot_cycles = 0;
  double gap_s = 0;
};

struct Limits {
  double force_factor = 0;
  double force_factor_low = 0;
  double stroke_slack = 0;  ///< m
  double volt_drop_percent = 0;
  double clear_s = 0;
  double fuse_loading = 0;
};

struct Spread {
  double rod_force = 0;  ///< relative half-width
  double voltage_V = 0;
  double ambient_C = 0;
  double length = 0;  ///< relative half-width
};

struct Job {
  std::string title;
  std::string notes;
  Supply supply;
  Climate climate;
  Feed feed;
  std::vector<Door> doors;
  Pulse pulse;
  Use use;
  Limits limits;
  Spread spread;
  std::vector<Part> parts;
};

}  // namespace latchwright::model

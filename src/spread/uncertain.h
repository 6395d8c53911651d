// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "model/study.h"

// What may differ between one installation of a job and the next.
namespace latchwright::spread {

/// One source of scatter: a figure of all parts of one id, or of the whole installation. Even over its range:
/// only the limits are known (JCGM 100:2008, 4.3.7).
struct Uncertain {
  std::string key;        ///< stable: "act-ordinary-2w/ptc/resistance_ohm", "rod_force", "voltage_V"
  std::string name;       ///< "thermistor resistance of act-ordinary-2w", "rod force"
  std::string unit;       ///< "%" where relative; else "V", "K"
  double half_width = 0;  ///< in that unit
  std::string origin;     ///< "stated by the part", "choice of this project", "stated by the job"
  std::vector<std::size_t> columns;  ///< of a sample's places: one a thing that differs (each door its own)
};

/// One installation of the many that the job may turn out to be.
struct Installation {
  model::Study study;
  double voltage_shift_V = 0;  ///< added to every voltage of the supply
  double ambient_shift_K = 0;  ///< added to every ambient
};

/// All sources of scatter of a study and the installations that they allow.
class UncertainStudy {
 public:
  /// The study must be complete.
  explicit UncertainStudy(const model::Study& study);
  /// Those with a half-width above 0, parts' first.
  const std::vector<Uncertain>& sources() const { return sources_; }
  std::size_t columns() const { return knobs_.size(); }
  /// places: one number a column, -1 … 1 of the half-width; all 0 gives the study itself.
  Installation at(const std::vector<double>& places) const;

 private:
  /// What a column moves.
  struct Knob {
    enum Of {
      actuator,
      feed_wire,
      door_wire,
      main_fuse,
      door_fuse,
      relay,
      battery,
      rod,
      feed_length,
      door_length,
      voltage,
      ambient
    };
    Of of{};
    std::size_t door = 0;
    double half_width = 0;  ///< relative; V or K of the last two
    std::string pointer;    ///< of an actuator's figure
  };
  /// Takes a source with what its columns move; nothing without any.
  void add(Uncertain source, std::vector<Knob> knobs);
  void add_actuators();
  void add_circuit();
  void add_job();
  void turn(const Knob& knob, double place, Installation& made) const;

  model::Study study_;
  std::vector<Uncertain> sources_;
  std::vector<Knob> knobs_;  ///< by column
};

}  // namespace latchwright::spread

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "model/study.h"
#include "sim/circuit.h"

// Jobs for the tests of the engine: the worked case of docs/model.md section 10 with single values changed.
namespace latchwright::tests {

/// A value to put into a job: JSON pointer and JSON text. A last part "-" adds to a list; text "" takes a member out.
struct Change {
  std::string pointer;
  std::string json;
};
using Changes = std::vector<Change>;

inline const std::string worked_actuator = "/parts/5";  ///< pointer to the worked case's actuator

/// Checked study of a job's JSON text; throws std::runtime_error with every fault.
model::Study study_of(const std::string& job_json);

/// `job_json` with the changes made, as text.
std::string changed(const std::string& job_json, const Changes& changes);

/// The worked case with `doors` equal doors and the changes made.
model::Study worked_study(int doors = 1, const Changes& changes = {});

/// The circuit of worked_study at a condition.
sim::Circuit worked_circuit(const sim::Condition& at, int doors = 1, const Changes& changes = {});

/// Every point of the worked ratio curve at 1: a plain resistor.
extern const char* const flat_curve;

}  // namespace latchwright::tests

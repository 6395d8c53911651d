// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "model/study.h"

// Jobs that leave their parts open, for the tests of choosing.
namespace latchwright::tests {

struct OpenDoor {
  std::string name;
  double branch_length_m;
  double stroke_mm = 18;
  double peak_N = 22;
};

/// An ordinary car with these doors: every part open, or the actuator given for all.
model::Study open_job(const std::vector<OpenDoor>& doors, const std::string& actuator = "");

/// Invented van: nine metres to the rear, a tired battery, hard winters; everything open.
model::Study open_van();

/// docs/examples/NAME.json with every reference taken out.
model::Study open_example(const std::string& name);

/// The study of a changed job, by the program's own rules.
model::Study again(const model::Study& study, const model::Job& job);

}  // namespace latchwright::tests

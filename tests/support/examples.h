// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <stdexcept>
#include <string>

#include "io/files.h"
#include "support/catalogue.h"

namespace latchwright::tests {

/// Checked study of docs/examples/NAME.json.
inline model::Study example_study(const std::string& name) {
  auto study =
      io::load_job(std::string(LATCHWRIGHT_SOURCE_DIR) + "/docs/examples/" + name + ".json", catalogue());
  if (!study.ok()) throw std::runtime_error(name + " has faults");
  return std::move(study.value());
}

}  // namespace latchwright::tests

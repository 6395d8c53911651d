// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "fuzz/must.h"
#include "io/files.h"

namespace latchwright::fuzz {

/// The parts inside the program.
inline const model::Catalogue& built_in() {
  static const auto catalogue = [] {
    auto loaded = io::load_catalogue({});
    must(loaded.ok(), "the program's own parts are good");
    return loaded.value();
  }();
  return catalogue;
}

}  // namespace latchwright::fuzz

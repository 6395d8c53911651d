// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "io/files.h"
#include "model/part_fields.h"

namespace latchwright::tests {

/// The program's own parts, read once.
inline const model::Catalogue& catalogue() {
  static const model::Catalogue parts = io::load_catalogue({}).value();
  return parts;
}

}  // namespace latchwright::tests

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "model/catalogue.h"

namespace latchwright::desk {

/// What lies on the bench, and at which condition. Kept apart from the job: other threads may hold it.
struct BenchSubject {
  model::PartPtr part;  ///< an actuator; null: none is chosen
  model::PtcCurve curve;
  double ambient_C = 23;
  double supply_V = 12.6;  ///< at its leads

  const model::Actuator& actuator() const { return std::get<model::Actuator>(part->body); }
};

}  // namespace latchwright::desk

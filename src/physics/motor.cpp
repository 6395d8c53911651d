// SPDX-License-Identifier: GPL-3.0-or-later
#include "physics/motor.h"

namespace latchwright::physics {

double winding_fault_limit_C(const model::Motor& motor) {
  if (motor.winding_fault_C) return *motor.winding_fault_C;
  const double class_C = motor.winding_class_C;
  // Between the classes of the table the smaller allowance holds.
  return class_C + (class_C <= 130 ? 95 : class_C <= 155 ? 85 : 80);
}

}  // namespace latchwright::physics

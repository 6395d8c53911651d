// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "base/failure.h"
#include "model/tolerance.h"
#include "support/studies.h"

using namespace latchwright;

TEST_CASE("tolerances: figures scale by their pointers", "[model][tolerance]") {
  const auto study = tests::worked_study(1);
  const model::Actuator& part = study.actuator(0);
  CHECK(model::with_scaled(part, "/motor/inertia_gcm2", 1.5).motor.inertia ==
        Approx(1.5 * part.motor.inertia));
  CHECK(model::with_scaled(part, "/ptc/heat_J_per_K", 0.5).ptc.heat_J_per_K == Approx(0.3));
  CHECK(model::with_scaled(part, "/drive/lead_mm", 2).drive.lead == Approx(0.030));
  CHECK(model::with_scaled(part, "/thermal/case_J_per_K", 0.8).thermal.case_J_per_K == Approx(20));
  CHECK(model::with_scaled(part, "/stroke_mm", 0.9).stroke == Approx(0.9 * 0.019));
  // Not past the range of its row, and not out of nothing.
  CHECK(model::with_scaled(part, "/drive/efficiency", 3).drive.efficiency == 1);
  CHECK_FALSE(model::with_scaled(part, "/thermal/copper_J_per_K", 2).thermal.copper_J_per_K.has_value());
  CHECK_THROWS_AS(model::with_scaled(part, "/motor/colour", 2), base::InternalError);
}

TEST_CASE("tolerances: figures are read by their pointers in a file's unit", "[model][tolerance]") {
  const auto study = tests::worked_study(1);
  const model::Actuator& part = study.actuator(0);
  CHECK(model::figure_at(part, "/motor/inertia_gcm2") == Approx(12));
  CHECK(model::figure_at(part, "/stroke_mm") == Approx(19));
  CHECK_FALSE(model::figure_at(part, "/thermal/copper_J_per_K").has_value());
  CHECK_THROWS_AS(model::figure_at(part, "/motor/colour"), base::InternalError);
  CHECK_THROWS_AS(model::figure_at(part, "/ptc/curve"), base::InternalError);
}

TEST_CASE("tolerances: every usual one names a figure of an actuator", "[model][tolerance]") {
  const auto study = tests::worked_study(1);
  for (const auto& row : model::usual_tolerances()) {
    CAPTURE(row.pointer);
    CHECK(row.half_width > 0);
    CHECK(row.half_width < 1);
    CHECK_NOTHROW(model::with_scaled(study.actuator(0), row.pointer, 1 + row.half_width));
  }
  CHECK(model::usual_tolerances().front().half_width == model::usual_ptc_tolerance);
}

TEST_CASE("tolerances: what a part states goes before what is usual", "[model][tolerance]") {
  model::Actuator part = tests::worked_study(1).actuator(0);
  part.tolerance.clear();
  CHECK(model::ptc_tolerance(part) == model::usual_ptc_tolerance);
  part.tolerance["/ptc/resistance_ohm"] = 0.1;
  CHECK(model::ptc_tolerance(part) == 0.1);
}

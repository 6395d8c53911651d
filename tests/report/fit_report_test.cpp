// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/fit_report.h"

#include <catch2/catch.hpp>

#include "bench/made_logs.h"

// How a fit is told, from one written by hand.
namespace latchwright {

namespace {

report::FitReport told() {
  report::FitReport report;
  report.like = "act-ordinary-2w";
  report.hand.ambient_C = 22;
  report.hand.force_N = 40;
  report.fit.actuator = tests::catalogue_actuator("act-ordinary-2w");
  report.fit.parameters = {{"/motor/resistance_ohm", "ohm", 2.4, 2.2, 0.012, true},
                           {"curve_shift_K", "K", 0, 0, std::nullopt, false}};
  report.fit.correlation = {{1}};
  report.fit.residual_rms_A = 0.02;
  report.fit.logs = {{"held.csv", {0, 0.1, 0.2}, {5, 4.9, 4.7}, {5, 4.8, 4.75}, false}};
  report.fit.remarks = {"one remark"};
  model::Part like;
  like.id = report.like;
  report.part = report::measured_part(report.fit, like, report.hand);
  return report;
}

}  // namespace

TEST_CASE("the text of a fit tells what was found and what was kept") {
  const std::string text = report::fit_text(told());
  for (const char* words :
       {"held.csv (held)", "22.0 °C around, 40.0 N at the rod", "2.400 Ω", "0.012 Ω", "2.200 Ω",
        "from the logs", "kept: the logs do not tell", "one remark", "Before you touch it"}) {
    INFO(words);
    CHECK(text.find(words) != std::string::npos);
  }
}

TEST_CASE("a refused fit is no measurement and makes no part") {
  bench::Fit fit = told().fit;
  model::Part like;
  like.id = "act-ordinary-2w";
  CHECK(report::make_fit_report(fit, like, {}).part);
  fit.refused = {"held.csv: the fit does not describe this log"};
  const auto report = report::make_fit_report(fit, like, {});
  CHECK_FALSE(report.part);
  const std::string text = report::fit_text(report);
  CHECK(text.starts_with("No measurement, like act-ordinary-2w"));
  CHECK(text.find("does not describe this log") != std::string::npos);
  CHECK(text.find("not to be used") != std::string::npos);
  CHECK(text.find("from the logs") == std::string::npos);
  const model::Raw json = report::fit_json(report);
  CHECK(json.find("part")->is_null());
  CHECK(json.find("refused")->list()->size() == 1);
}

TEST_CASE("a fit beyond what a part may have is refused and asks whether it was cold") {
  bench::Fit fit = told().fit;
  auto curve = tests::catalogue_curve(fit.actuator);
  curve.T_C.front() = -70;  // a part file begins at -60 °C
  fit.actuator.ptc.curve = curve;
  model::Part like;
  like.id = "act-ordinary-2w";
  const auto report = report::make_fit_report(fit, like, {});
  CHECK_FALSE(report.part);
  REQUIRE(report.fit.refused.size() == 1);
  CHECK(report.fit.refused[0].find("-70") != std::string::npos);
  CHECK(report.fit.refused[0].find("at ambient when the power came on") != std::string::npos);
}

TEST_CASE("the JSON of a fit has null for an error that is not known") {
  const model::Raw json = report::fit_json(told());
  const auto& parameters = *json.find("parameters")->list();
  REQUIRE(parameters.size() == 2);
  CHECK(*parameters[0].find("standard_error")->number() == 0.012);
  CHECK(*parameters[0].find("identified")->boolean());
  CHECK(parameters[1].find("standard_error")->is_null());
  CHECK_FALSE(*parameters[1].find("identified")->boolean());
  CHECK(json.find("at")->is_null());
  CHECK(*json.find("part")->find("source")->find("kind")->text() == "measured");
  CHECK(json.find("part")->find("source")->find("note")->text()->find("held.csv") != std::string::npos);
}

TEST_CASE("a fit is drawn as measured and fitted current and what is left over") {
  const auto pictures = report::fit_pictures(told());
  REQUIRE(pictures.size() == 2);
  CHECK(pictures[0].key == "fit_current");
  REQUIRE(pictures[0].lines.size() == 2);
  CHECK(pictures[0].lines[0].y == std::vector<double>{5, 4.9, 4.7});
  CHECK(pictures[0].lines[1].y == std::vector<double>{5, 4.8, 4.75});
  REQUIRE(pictures[1].lines.size() == 1);
  CHECK(pictures[1].lines[0].y[1] == Approx(0.1));
}

TEST_CASE("the CSV of a fit has a row a sample") {
  const std::string csv = report::fit_csv(told());
  CHECK(csv.starts_with("log,time_s,measured_A,fitted_A,residual_A\nheld.csv,0,5,5,0\n"));
  CHECK(std::count(csv.begin(), csv.end(), '\n') == 4);
}

TEST_CASE("the id of a measured part stays within its length") {
  model::Part like;
  like.id = std::string(64, 'a');
  const auto part = report::measured_part(told().fit, like, {});
  CHECK(part.id.size() == 64);
  CHECK(part.id.ends_with("-measured"));
}

}  // namespace latchwright

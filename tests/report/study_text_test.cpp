// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "report/cycle_report.h"
#include "report/stall_report.h"
#include "support/words.h"

// The words of `cycle` and `stall`; they are ours.
using namespace latchwright;
using tests::holds;

namespace {

/// Two doors, ten cycles tried; both threw at first.
report::CycleReport cycling() {
  report::CycleReport report;
  report.at = {12.6, 23};
  report.doors = {"front", "tail"};
  report.winding_class_C = {120, 120};
  report.two_forces = {false, false};
  report.result.cycles_done = 10;
  report.result.doors.resize(2);
  for (auto& door : report.result.doors) {
    door.first_throw_s = 0.1;
    door.last_throw_s = 0.2;
    door.peak_current_A = 4;
  }
  return report;
}

report::CycleReport locked_out(int throw_number, std::optional<double> recovery_s, double cooled_s) {
  auto report = cycling();
  report.result.cycles_done = (throw_number - 1) / 2;
  report.result.lockout = sim::Lockout{throw_number, {1}, sim::Recovery{recovery_s, cooled_s}};
  if (throw_number == 1)
    report.result.doors[1].first_throw_s = report.result.doors[1].last_throw_s = std::nullopt;
  return report;
}

std::string text_of(const report::CycleReport& report) { return report::cycle_text(report, {}); }

}  // namespace

TEST_CASE("a lockout that cools down", "[report][cycle]") {
  const std::string text = text_of(locked_out(14, 12, 107));
  CHECK(holds(text,
              "Stops working until it cools (lockout) at throw 14, after 6 whole cycles: tail.\n"
              "After 12 s of rest one throw works again; as good as cold, to a meter, after 107 s.\n"));
  CHECK(holds(text, "last completed"));
  CHECK(holds(text, "tail *"));
  CHECK_FALSE(holds(text, "front *"));
  CHECK(
      holds(text, "* did not complete throw 14; its time is that of the last throw that it did complete.\n"));
  CHECK(holds(text_of(locked_out(3, 12, 107)), "after 1 whole cycle:"));
  CHECK(holds(text_of(locked_out(3, 12, 0)), "After 12 s of rest one throw works again.\n"));
}

TEST_CASE("a first throw that fails cold never works", "[report][cycle]") {
  const std::string text = text_of(locked_out(1, std::nullopt, 0));
  CHECK(holds(text, "Never works: the first throw fails cold: tail.\n\n"));
  CHECK_FALSE(holds(text, "until it cools"));
  CHECK_FALSE(holds(text, "after 0 s"));
  CHECK_FALSE(holds(text, "*"));
  // Stiff cold grease that the failed pulse has warmed.
  CHECK(holds(text_of(locked_out(1, 0, 0)),
              "Lockout at once: the first throw fails cold: tail.\n"
              "Tried again at once, one throw works.\n"));
}

TEST_CASE("a later throw that fails cold too", "[report][cycle]") {
  const std::string text = text_of(locked_out(2, std::nullopt, 5));
  CHECK(holds(text,
              "Stops working (lockout) at throw 2, after 0 whole cycles: tail.\n"
              "No rest brings it back: this throw fails cold too.\n"));
  CHECK_FALSE(holds(text, "until it cools"));
}

TEST_CASE("throws of two directions and circuits without current say so", "[report][cycle]") {
  auto report = cycling();
  CHECK(holds(text_of(report), "Works through all 10 cycles.\n"));
  CHECK_FALSE(holds(text_of(report), "another force"));
  report.two_forces[0] = true;
  CHECK(holds(text_of(report),
              "The first throw locks, the last one may unlock, where the rod takes another force: "
              "front.\n"));
  auto dead = locked_out(1, std::nullopt, 0);
  for (auto& door : dead.result.doors) door.peak_current_A = 0;
  dead.other_load_A = 200;
  CHECK(holds(text_of(dead), "No current: nothing is left for the motors: the other load of 200 A "));
}

TEST_CASE("stall names what is too hot and times a trip in seconds", "[report][stall]") {
  report::StallReport report;
  report.limit_s = 600;
  report.doors = {"front", "tail"};
  report.winding_fault_C = {215, 215};
  report.stalls.resize(2);
  report.stalls[0].initial_current_A = report.stalls[1].initial_current_A = 4;
  report.stalls[0].peak_winding_C = 214;
  report.stalls[0].trip_time_s = 123.456;
  report.stalls[1].peak_winding_C = 216;
  const std::string text = report::stall_text(report, {});
  CHECK(holds(text, "\nToo hot: tail (hottest winding above what is permitted in a fault).\n"));
  CHECK(holds(text, " 123 s "));
  CHECK(holds(text, "power on for 10 min"));
  CHECK_FALSE(holds(text, "No current"));
  const auto json = report::stall_json(report);
  CHECK(*(*json.find("doors")->list())[1].find("permitted_C")->number() == 215);

  report.stalls[1].peak_winding_C = 215;
  report.stalls[0].initial_current_A = report.stalls[1].initial_current_A = 0;
  report.other_load_A = 200;
  const std::string dead = report::stall_text(report, {});
  CHECK_FALSE(holds(dead, "Too hot"));
  CHECK(holds(
      dead,
      "\nNo current: nothing is left for the motors: the other load of 200 A (/feed/other_load_A) takes "
      "the voltage.\n"));
}

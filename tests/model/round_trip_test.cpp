// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "io/files.h"
#include "io/json.h"
#include "model/part_fields.h"
#include "support/catalogue.h"
#include "support/change_cases.h"
#include "support/worked_case.h"

// What is written reads back as the same, and numbers stand as a person typed them.
using namespace latchwright;

namespace {

model::Study checked(const std::string& text) {
  const auto raw = io::parse_json(text, "job.json");
  REQUIRE(raw.ok());
  const auto study = model::check_job(raw.value(), "job.json", tests::catalogue());
  for (const auto& issue : study.ok() ? base::Issues{} : study.issues()) UNSCOPED_INFO(issue.line());
  REQUIRE(study.ok());
  return study.value();
}

std::string written(const model::Job& job) { return io::write_json(model::write_job(job)); }

/// Written, read and written again: the same text, and the same doors to the last bit.
void check_stays(const model::Study& study) {
  const std::string once = written(study.job);
  const model::Study again = checked(once);
  CHECK(written(again.job) == once);
  CHECK(again.job.doors == study.job.doors);
  const auto by_record = model::check_job(study.job, "job.json", tests::catalogue());
  REQUIRE(by_record.ok());
  CHECK(written(by_record.value().job) == once);
}

/// The text at a pointer's last keys of a written job.
std::string shown(const model::Job& job, std::initializer_list<const char*> path) {
  const model::Raw whole = model::write_job(job);
  const model::Raw* place = &whole;
  for (const char* key : path) {
    place = place->list() ? &(*place->list())[std::stoul(key)] : place->find(key);
    if (place == nullptr) return "absent";
  }
  return place->shown();
}

}  // namespace

TEST_CASE("a job reads back as it was written", "[model]") {
  check_stays(checked(tests::worked_case_json(1)));
  check_stays(checked(tests::worked_case_json(12)));
  const std::string steady = R"("shape": "steady", "peak_N": 22)";
  check_stays(checked(
      tests::worked_case_with(steady, R"("shape": "table", "x_mm": [0, 6.7, 18.3], "N": [-5, 20.1, 3])")));
  check_stays(checked(
      tests::worked_case_with(steady, R"("shape": "over_centre", "friction_N": 4.4, "peak_N": 22.2)")));
  check_stays(checked(
      tests::worked_case_with(R"("peak_N": 22})", R"("peak_N": 22}, "rod_force_unlock": {"shape": "steady",
    "peak_N": 11.1, "cold_factor": 1.7}, "fuse": "fuse-medium-5", "bundle_factor": 1.3)")));
  check_stays(checked(tests::worked_case_with(R"("title": "worked case",)",
                                              R"("title": "Türen \"vorn\"", "notes": "a\nb\tc",)")));
}

TEST_CASE("what is absent, null and chosen stays apart", "[model]") {
  const auto wire = [](const std::string& put) {
    return checked(tests::worked_case_with(R"("wire": "w-2.5", )", put));
  };
  CHECK(wire("").not_chosen.size() == 1);
  CHECK(wire(R"("wire": null, )").not_chosen.size() == 1);
  CHECK(wire("").not_chosen[0].pointer == "/feed/wire");
  CHECK_FALSE(wire("").complete());
  check_stays(wire(""));

  const auto fuse = [](const std::string& put) {
    return checked(tests::worked_case_with(R"("branch_length_m")", put + R"("branch_length_m")"));
  };
  const auto none = fuse(""), open = fuse(R"("fuse": null, )"), chosen = fuse(R"("fuse": "f-15", )");
  CHECK(none.complete());
  CHECK(shown(none.job, {"doors", "0", "fuse"}) == "absent");
  REQUIRE(open.not_chosen.size() == 1);
  CHECK(open.not_chosen[0].pointer == "/doors/0/fuse");
  CHECK(open.not_chosen[0].what == "the fuse of door 1");
  CHECK(shown(open.job, {"doors", "0", "fuse"}) == "null");
  CHECK(chosen.complete());
  CHECK(shown(chosen.job, {"doors", "0", "fuse"}) == "\"f-15\"");
  check_stays(none);
  check_stays(open);
  check_stays(chosen);
}

TEST_CASE("defaults of the job format", "[model]") {
  // The figures of the format itself (docs/files.md).
  const model::Job job = checked(R"({"latchwright_job": 1, "feed": {"length_m": 3.2},
    "doors": [{"name": "d", "branch_length_m": 2.4, "stroke_mm": 18,
               "rod_force": {"shape": "steady", "peak_N": 22}}]})")
                             .job;
  struct Row {
    std::initializer_list<const char*> path;
    const char* text;
  };
  for (const Row& row : {
           Row{{"supply", "internal_mohm"}, "15"},
           Row{{"supply", "low_V"}, "9"},
           Row{{"supply", "usual_V"}, "12.6"},
           Row{{"supply", "charge_V"}, "14.4"},
           Row{{"supply", "high_V"}, "15"},
           Row{{"supply", "jump_V"}, "absent"},
           Row{{"climate", "cold_C"}, "-20"},
           Row{{"climate", "usual_C"}, "23"},
           Row{{"climate", "hot_C"}, "60"},
           Row{{"feed", "ground_mohm"}, "5"},
           Row{{"feed", "bundle_factor"}, "1"},
           Row{{"feed", "hot_C"}, "60"},
           Row{{"feed", "other_load_A"}, "0"},
           Row{{"feed", "wire"}, "null"},
           Row{{"doors", "0", "joints_mohm"}, "10"},
           Row{{"doors", "0", "bundle_factor"}, "1"},
           Row{{"doors", "0", "rod_force", "cold_factor"}, "1"},
           Row{{"doors", "0", "fuse"}, "absent"},
           Row{{"doors", "0", "rod_force_unlock"}, "absent"},
           Row{{"pulse", "on_s"}, "0.5"},
           Row{{"use", "cycles"}, "10"},
           Row{{"use", "hot_cycles"}, "5"},
           Row{{"use", "gap_s"}, "1"},
           Row{{"limits", "force_factor"}, "1.5"},
           Row{{"limits", "force_factor_low"}, "1.2"},
           Row{{"limits", "stroke_slack_mm"}, "1"},
           Row{{"limits", "volt_drop_percent"}, "15"},
           Row{{"limits", "clear_s"}, "5"},
           Row{{"limits", "fuse_loading"}, "0.75"},
           Row{{"spread", "rod_force"}, "0.2"},
           Row{{"spread", "voltage_V"}, "0.3"},
           Row{{"spread", "ambient_C"}, "5"},
           Row{{"spread", "length"}, "0.1"},
           Row{{"title"}, "absent"},
           Row{{"parts"}, "absent"},
       }) {
    CAPTURE(*(row.path.end() - 1));
    CHECK(shown(job, row.path) == row.text);
  }
}

TEST_CASE("the defaults of a section stand in when it is there in part", "[model]") {
  const model::Job job =
      checked(tests::worked_case_with(R"("supply": {"internal_mohm": 15},)", R"("supply": {"low_V": 9.5},)"))
          .job;
  CHECK(job.supply.internal_ohm == Approx(0.015).epsilon(1e-15));
  CHECK(job.supply.low_V == 9.5);
  CHECK(job.supply.high_V == 15.0);
}

TEST_CASE("jump-start voltage", "[model]") {
  // The larger of 24 V and high_V where the job names none.
  const auto jump = [](const std::string& more) {
    return checked(tests::worked_case_with(R"("internal_mohm": 15)", R"("internal_mohm": 15)" + more))
        .job.supply.jump_voltage();
  };
  CHECK(jump("") == 24.0);
  CHECK(jump(R"(, "low_V": 18, "usual_V": 25.2, "charge_V": 28.8, "high_V": 30)") == 30.0);
  CHECK(jump(R"(, "jump_V": 15.5)") == 15.5);
}

TEST_CASE("vehicles of 6, 12 and 24 V", "[model]") {
  for (const char* supply :
       {R"("low_V": 4.5, "usual_V": 6.3, "charge_V": 7.2, "high_V": 7.5, "jump_V": 12)",
        R"("low_V": 9, "usual_V": 12.6, "charge_V": 14.4, "high_V": 15)",
        R"("low_V": 18, "usual_V": 25.2, "charge_V": 28.8, "high_V": 30, "jump_V": 36)"}) {
    CAPTURE(supply);
    check_stays(checked(tests::worked_case_with(R"("internal_mohm": 15)", supply)));
  }
}

TEST_CASE("numbers come back as typed", "[model]") {
  // Every one to three digit figure in each of the units that are converted.
  int looked_at = 0;
  for (int k = 1; k < 1000; ++k) {
    for (const char* point : {"", ".", "0.", "0.0"}) {
      std::string typed = std::to_string(k);
      if (point[0] == '.') {
        if (k % 10 == 0 || k < 10) continue;
        typed.insert(typed.size() - 1, ".");
      } else if (point[0] == '0') {
        if (k % 10 == 0) continue;
        typed = point + typed;
      }
      for (const double scale : {1.0, 1e-3, 1e-6, 1e-7, 1e3}) {
        const double value = std::stod(typed);
        const double back = model::to_file_unit(value * scale, scale);
        if (back != value) FAIL_CHECK(typed << " with scale " << scale);
        ++looked_at;
      }
    }
  }
  CHECK(looked_at > 10000);
  const model::Job job =
      checked(tests::worked_case_with(R"("joints_mohm": 10)", R"("joints_mohm": 4.8)")).job;
  CHECK(shown(job, {"doors", "0", "joints_mohm"}) == "4.8");
  CHECK(shown(job, {"doors", "0", "branch_length_m"}) == "2.4");
  CHECK(shown(job, {"parts", "0", "mohm_per_m"}) == "7.6");
  CHECK(shown(job, {"parts", "3", "cold_mohm"}) == "4.8");
  CHECK(shown(job, {"parts", "5", "motor", "torque_constant_mNm_per_A"}) == "9.5");
  CHECK(shown(job, {"parts", "5", "motor", "inertia_gcm2"}) == "12");
}

TEST_CASE("every part of the catalogue reads back as it was written", "[model]") {
  const auto all = tests::catalogue().entries();
  REQUIRE(all.size() > 50);
  for (const auto* entry : all) {
    CAPTURE(entry->part->id);
    const model::Raw once = model::write_part(*entry->part);
    model::ReadContext context{"x", {}};
    model::Part again;
    model::read_part(once, "", context, again);
    CHECK(context.issues.empty());
    CHECK(io::write_json(model::write_part(again)) == io::write_json(once));
  }
}

TEST_CASE("the catalogue's files hold what the program writes", "[model]") {
  // Keys and figures of every part as they stand in the files, found again in what is written, and nothing
  // beside them but defaults.
  for (const char* name : {"actuators", "fuses", "relays", "thermistor-curves", "wires"}) {
    const std::string path = std::string(LATCHWRIGHT_SOURCE_DIR) + "/parts/" + name + ".json";
    const auto raw = io::read_json_file(path);
    REQUIRE(raw.ok());
    for (const model::Raw& typed : *raw.value().find("parts")->list()) {
      CAPTURE(name, typed.find("id")->shown());
      const model::Raw back = model::write_part(*tests::catalogue().find(*typed.find("id")->text()));
      const std::function<void(const model::Raw&, const model::Raw&)> compare = [&](const auto& have,
                                                                                    const auto& got) {
        CHECK(got.type_name() == have.type_name());
        if (const auto* members = have.object()) {
          for (const auto& [key, value] : *members) {
            CAPTURE(key);
            REQUIRE(got.find(key) != nullptr);
            compare(value, *got.find(key));
          }
        } else if (const auto* items = have.list()) {
          REQUIRE(got.list()->size() == items->size());
          for (std::size_t k = 0; k < items->size(); ++k) compare((*items)[k], (*got.list())[k]);
        } else {
          CHECK(got.shown() == have.shown());
        }
      };
      compare(typed, back);
    }
  }
}

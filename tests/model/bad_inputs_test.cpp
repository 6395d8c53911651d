// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "io/files.h"
#include "io/json.h"
#include "model/job_fields.h"
#include "model/part_fields.h"
#include "support/catalogue.h"
#include "support/change_cases.h"
#include "support/scratch_folder.h"
#include "support/worked_case.h"

// Every bad input brings exactly the lines of bad_jobs.txt and bad_parts.txt: each fault named once, with its
// place, its value and what would be right. The rules are those of the file formats (docs/files.md); the
// words are ours.
using namespace latchwright;
using Lines = std::vector<std::string>;

namespace {

const std::string data = LATCHWRIGHT_SOURCE_DIR "/tests/model/";

Lines lines_of(const base::Issues& issues) {
  Lines lines;
  for (const auto& issue : issues) lines.push_back(issue.line());
  return lines;
}

Lines check_job_text(const std::string& text) {
  const auto raw = io::parse_json(text, "job.json");
  if (!raw.ok()) return lines_of(raw.issues());
  const auto study = model::check_job(raw.value(), "job.json", tests::catalogue());
  return study.ok() ? Lines{} : lines_of(study.issues());
}

/// As a user's own part file is read, references included.
Lines check_parts_text(const std::string& text) {
  const tests::ScratchFolder folder;
  const std::string path = folder.file("parts.json");
  std::ofstream(path, std::ios::binary) << text;
  const auto parts = io::load_catalogue({path});
  Lines lines = parts.ok() ? Lines{} : lines_of(parts.issues());
  for (auto& line : lines) {
    if (line.rfind(path, 0) == 0) line = "parts.json" + line.substr(path.size());
  }
  return lines;
}

std::string repeated(const std::string& text, int times) {
  std::string all;
  for (int k = 0; k < times; ++k) all += text;
  return all;
}

template <class R>
void check_ends(const model::Table<R>& table) {
  const double infinity = std::numeric_limits<double>::infinity();
  for (const auto& field : table.fields()) {
    const auto& info = field.info;
    if (info.kind != model::FieldKind::number && info.kind != model::FieldKind::whole) continue;
    CAPTURE(table.info().name, info.key);
    const auto faults = [&](double value) {
      model::ReadContext context{"x", {}};
      R record{};
      field.read(model::Raw(value), "/x", context, record);
      if (context.issues.empty()) CHECK(field.get(record) == Approx(value).epsilon(1e-14));
      return context.issues.size();
    };
    CHECK(faults(info.low) == 0);
    CHECK(faults(info.high) == 0);
    CHECK(faults(std::nextafter(info.low, -infinity)) == 1);
    CHECK(faults(std::nextafter(info.high, infinity)) == 1);
    CHECK(faults(std::nan("")) == 1);
    CHECK(faults(infinity) == 1);
    if (info.fallback) CHECK(faults(*info.fallback) == 0);
  }
}

}  // namespace

TEST_CASE("bad jobs bring their lines", "[model]") {
  REQUIRE(check_job_text(tests::worked_case_json(2)) == Lines{});
  const auto cases = tests::read_change_cases(data + "bad_jobs.txt");
  REQUIRE(cases.size() >= 70);
  for (const auto& bad : cases) {
    CAPTURE(bad.title);
    CHECK_FALSE(bad.lines.empty());
    CHECK(check_job_text(tests::with_changes(tests::worked_case_json(2), bad)) == bad.lines);
  }
}

TEST_CASE("bad part files bring their lines", "[model]") {
  const std::string good = tests::read_text(data + "good_parts.json");
  REQUIRE(check_parts_text(good) == Lines{});
  const auto cases = tests::read_change_cases(data + "bad_parts.txt");
  REQUIRE(cases.size() >= 50);
  for (const auto& bad : cases) {
    CAPTURE(bad.title);
    CHECK_FALSE(bad.lines.empty());
    CHECK(check_parts_text(tests::with_changes(good, bad)) == bad.lines);
  }
}

TEST_CASE("one door to twelve", "[model]") {
  CHECK(check_job_text(tests::worked_case_json(1)) == Lines{});
  CHECK(check_job_text(tests::worked_case_json(12)) == Lines{});
  CHECK(check_job_text(tests::worked_case_json(13)) ==
        Lines{"job.json: /doors: has 13 entries (1 to 12 permitted)"});
  CHECK(check_job_text(tests::worked_case_json(0)) ==
        Lines{"job.json: /doors: has 0 entries (1 to 12 permitted)"});
}

TEST_CASE("texts up to their length in characters, not bytes", "[model]") {
  const std::string title = R"("title": "worked case")";
  CHECK(check_job_text(tests::worked_case_with(title, "\"title\": \"" + repeated("é", 200) + "\"")) ==
        Lines{});
  CHECK(check_job_text(tests::worked_case_with(title, "\"title\": \"" + repeated("é", 201) + "\"")) ==
        Lines{"job.json: /title: is 201 characters long (at most 200)"});
  CHECK(check_job_text(tests::worked_case_with("\"door 1\"", "\"" + repeated("x", 61) + "\"")) ==
        Lines{"job.json: /doors/0/name: is 61 characters long (at most 60)"});
  const std::string id = repeated("w", 65);
  CHECK(check_job_text(tests::worked_case_with("\"w-2.5\"", "\"" + id + "\"")) ==
        Lines{"job.json: /feed/wire: is 65 characters long (at most 64)"});
}

TEST_CASE("lists up to their length", "[model]") {
  std::string x, force;
  for (int k = 0; k < 65; ++k) {
    x += (k ? ", " : "") + std::to_string(k);
    force += k ? ", 5" : "5";
  }
  const std::string steady = R"("shape": "steady", "peak_N": 22)";
  CHECK(check_job_text(tests::worked_case_with(
            steady, R"("shape": "table", "x_mm": [)" + x + R"(], "N": [)" + force + "]")) ==
        Lines{"job.json: /doors/0/rod_force/x_mm: has 65 entries (2 to 64 permitted)",
              "job.json: /doors/0/rod_force/N: has 65 entries (2 to 64 permitted)"});
  CHECK(check_job_text(tests::worked_case_with("\"parts\": [", "\"parts\": [" + repeated("0,", 20000))) ==
        Lines{"job.json: /parts: has 20006 entries (at most 20000 permitted)"});
  CHECK(check_parts_text("{\"latchwright_parts\": 1, \"parts\": [" + repeated("0,", 20000) + "0]}") ==
        Lines{"parts.json: /parts: has 20001 entries (at most 20000 permitted)"});
}

TEST_CASE("absurd files are refused early", "[io]") {
  const auto read = [](const std::string& text) {
    const auto raw = io::parse_json(text, "f");
    return raw.ok() ? Lines{} : lines_of(raw.issues());
  };
  CHECK(read("[[" + repeated("[", 30) + repeated("]", 30) + "]]") == Lines{});
  CHECK(read("[0, {\"a\": " + repeated("[", 31) + repeated("]", 31) + "}]") ==
        Lines{"f: /1/a" + repeated("/0", 29) + ": is nested too deeply (at most 32 levels)"});
  // Without the limit a hundred thousand brackets would exhaust the stack.
  CHECK(read(repeated("[", 100000)).size() == 1);
  CHECK(read("{\"a\": [" + repeated("0,", 2000000) + "0]}") ==
        Lines{"f: /a: holds too many values (at most 2000000)"});
  CHECK(read(std::string((32u << 20) + 1, ' ')) == Lines{"f: is 32 MB large (at most 32 MB)"});
}

TEST_CASE("files that hold no job", "[io]") {
  CHECK(check_job_text("") == Lines{"job.json: is empty (a JSON object is wanted)"});
  CHECK(check_job_text("\xEF\xBB\xBF \r\n\t") == Lines{"job.json: is empty (a JSON object is wanted)"});
  CHECK(check_job_text("null") == Lines{"job.json: must be an object with latchwright_job, not null"});
  CHECK(check_job_text("12.6") == Lines{"job.json: must be an object with latchwright_job, not 12.6"});
  CHECK(check_job_text("[]") == Lines{"job.json: must be an object with latchwright_job, not a list"});
  CHECK(check_job_text("{}") ==
        Lines{"job.json: /latchwright_job: is missing (the version of the file format: 1)",
              "job.json: /feed: is missing (from the battery to the relay)",
              "job.json: /doors: is missing (the doors, each with its own run)"});
  CHECK(check_job_text("{} {}") ==
        Lines{"job.json: is not valid JSON at line 1, column 4: there is more text after the last brace"});
  CHECK(check_job_text(std::string("{\"a\": \0}", 8)) ==
        Lines{"job.json: is not a text in UTF-8 (an editor can save it as that)"});
  CHECK(check_job_text(std::string("\xFF\xFE{\0}\0", 6)) ==
        Lines{"job.json: is not a text in UTF-8 (an editor can save it as that)"});
  CHECK(check_job_text("{\"a\": \"x\xC3(\"}") ==
        Lines{"job.json: is not valid JSON at line 1, column 10: a byte that is not UTF-8 text"});
  CHECK(check_job_text("{\"a\": \"\xED\xA0\x80\"}") ==
        Lines{"job.json: is not valid JSON at line 1, column 9: a byte that is not UTF-8 text"});
  CHECK(check_job_text("{\"a\": \"\\q\"}") == Lines{"job.json: is not valid JSON at line 1, column 9: a text "
                                                    "holds a control character or an escape that "
                                                    "JSON does not know"});
  CHECK(check_job_text("{\"a\": 1.}") ==
        Lines{"job.json: is not valid JSON at line 1, column 9: a number is not written as JSON has it"});
  CHECK(check_job_text("{\"a\" 1}") ==
        Lines{"job.json: is not valid JSON at line 1, column 6: a colon is wanted after the key"});
  CHECK(check_job_text("{\"a\": 1 \"b\": 2}") ==
        Lines{"job.json: is not valid JSON at line 1, column 11: a comma or a closing brace is wanted"});
  CHECK(check_job_text("{\"a\": [1 2]}") ==
        Lines{"job.json: is not valid JSON at line 1, column 10: a comma or a closing bracket is wanted"});
  CHECK(check_job_text("{\"a\": }") ==
        Lines{"job.json: is not valid JSON at line 1, column 7: a value is wanted"});
}

TEST_CASE("byte order mark and line ends of other systems", "[io]") {
  std::string text = tests::worked_case_json(2);
  CHECK(check_job_text("\xEF\xBB\xBF" + text) == Lines{});
  std::string windows;
  for (const char c : text) windows += c == '\n' ? "\r\n" : std::string(1, c);
  CHECK(check_job_text("\xEF\xBB\xBF" + windows) == Lines{});
  CHECK(
      check_job_text("\xEF\xBB\xBF{\r\n\"title\": é}") ==
      Lines{
          "job.json: is not valid JSON at line 2, column 10: a word that JSON does not know: texts stand in "
          "double quotes, and there are no remarks"});
}

TEST_CASE("files that cannot be read", "[io]") {
  const tests::ScratchFolder folder;
  const auto read = [](const std::string& path) { return lines_of(io::read_json_file(path).issues()); };
  CHECK(read(folder.file("none.json")) == Lines{folder.file("none.json") + ": there is no such file"});
  CHECK(read(folder.path()) == Lines{folder.path() + ": is a folder, not a file"});
}

TEST_CASE("the ends of every range are lawful, a step beyond is not", "[model]") {
  check_ends(model::supply_table());
  check_ends(model::climate_table());
  check_ends(model::feed_table());
  check_ends(model::rod_force_table());
  check_ends(model::door_table());
  check_ends(model::pulse_table());
  check_ends(model::use_table());
  check_ends(model::limits_table());
  check_ends(model::spread_table());
  check_ends(model::motor_table());
  check_ends(model::drive_table());
  check_ends(model::thermal_table());
  check_ends(model::ptc_table());
  check_ends(model::actuator_table());
  check_ends(model::wire_table());
  check_ends(model::fuse_table());
  check_ends(model::relay_table());
  check_ends(model::part_table());
}

TEST_CASE("orderings hold at equality", "[model]") {
  CHECK(check_job_text(tests::worked_case_with(
            R"("internal_mohm": 15)", R"("low_V": 12, "usual_V": 12, "charge_V": 12, "high_V": 12)")) ==
        Lines{});
  CHECK(check_job_text(tests::worked_case_with(R"("internal_mohm": 15)", R"("high_V": 16, "jump_V": 16)")) ==
        Lines{});
  CHECK(check_job_text(tests::worked_case_with(R"("cold_C": -20, "usual_C": 23, "hot_C": 75)",
                                               R"("cold_C": 23, "usual_C": 23, "hot_C": 23)")) == Lines{});
  const std::string steady = R"("shape": "steady", "peak_N": 22)";
  CHECK(check_job_text(tests::worked_case_with(
            steady, R"("shape": "over_centre", "friction_N": 22, "peak_N": 22)")) == Lines{});
  CHECK(check_job_text(tests::worked_case_with(
            steady, R"("shape": "table", "x_mm": [0, 18], "N": [-5, 20])")) == Lines{});
}

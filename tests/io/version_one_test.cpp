// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>

#include "base/progress.h"
#include "io/files.h"
#include "io/json.h"
#include "report/check_report.h"
#include "support/change_cases.h"
#include "support/scratch_folder.h"
#include "verdict/examine.h"

// Files of format version 1, as program 0.1.0 wrote and judged them on 2026-11-26 (tests/data/version-1), are
// read and judged alike by every later program. Regression values by their nature; what is right is tested
// elsewhere. These files must never be changed: a new version of a format gets a folder of its own.
using namespace latchwright;
using Json = nlohmann::json;

namespace {

const std::string data = LATCHWRIGHT_SOURCE_DIR "/tests/data/version-1/";

std::string text_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  REQUIRE(file);
  return std::string(std::istreambuf_iterator<char>(file), {});
}

std::string lines_of(const base::Issues& issues) {
  std::string lines;
  for (const auto& issue : issues) lines += issue.line() + '\n';
  return lines;
}

/// Whether every key of `part`, down to the last, stands in `whole` with the same value.
bool has_all_of(const Json& whole, const Json& part) {
  if (part.is_object()) {
    for (const auto& [key, value] : part.items()) {
      if (!whole.is_object() || !whole.contains(key) || !has_all_of(whole[key], value)) return false;
    }
    return true;
  }
  if (part.is_array())
    return whole.is_array() && std::equal(whole.begin(), whole.end(), part.begin(), part.end(), has_all_of);
  return whole == part;
}

/// What the kept job's faults are after one change of its text.
std::string faults(const std::string& old, const std::string& put) {
  const tests::ScratchFolder folder;
  const std::string job = folder.file("job.json");
  std::ofstream(job, std::ios::binary)
      << tests::with_changes(text_of(data + "job.json"), {"", {{old, put}}, {}});
  const auto catalogue = io::load_catalogue({data + "parts.json"});
  REQUIRE(catalogue.ok());
  const auto study = io::load_job(job, catalogue.value());
  return study.ok() ? "" : lines_of(study.issues()).substr(folder.path().size() + 1);
}

}  // namespace

TEST_CASE("version 1: a kept job with its parts is judged as it was", "[slow]") {
  const auto catalogue = io::load_catalogue({data + "parts.json"});
  INFO((catalogue.ok() ? "" : lines_of(catalogue.issues())));
  REQUIRE(catalogue.ok());
  const auto study = io::load_job(data + "job.json", catalogue.value());
  INFO((study.ok() ? "" : lines_of(study.issues())));
  REQUIRE(study.ok());
  REQUIRE(study.value().complete());

  base::NoProgress progress;
  const auto examination = verdict::examine(study.value(), 2, progress);
  const Json now = Json::parse(io::write_json(report::check_json(study.value(), examination, false)));
  const Json kept = Json::parse(text_of(data + "check.json"));

  // Programs that read results find the same keys.
  for (const auto& [key, value] : kept.items()) CHECK(now.contains(key));
  CHECK(now["latchwright_result"] == 1);
  CHECK(now["pass"] == kept["pass"]);
  for (const char* key : {"id", "door", "part", "at"}) CHECK(now["weakest"][key] == kept["weakest"][key]);

  REQUIRE(kept["checks"].size() > 30);
  for (const auto& row : kept["checks"]) {
    INFO(row["id"] << ' ' << row["door"] << ' ' << row["part"]);
    const auto same = std::find_if(now["checks"].begin(), now["checks"].end(), [&](const Json& other) {
      return other["id"] == row["id"] && other["door"] == row["door"] && other["part"] == row["part"];
    });
    REQUIRE(same != now["checks"].end());
    for (const auto& [key, value] : row.items()) CHECK(same->contains(key));
    CHECK((*same)["state"] == row["state"]);
    CHECK((*same)["unit"] == row["unit"]);
    if (row["margin"].is_null()) {
      CHECK((*same)["margin"].is_null());
    } else {
      // What a better engine may shift without another verdict.
      CHECK((*same)["margin"].get<double>() == Approx(row["margin"].get<double>()).epsilon(0.01));
    }
  }
}

TEST_CASE("version 1: a kept job written again says the same") {
  const auto catalogue = io::load_catalogue({data + "parts.json"});
  const auto study = io::load_job(data + "job.json", catalogue.value());
  REQUIRE(study.ok());
  const Json kept = Json::parse(text_of(data + "job.json"));
  Json again = Json::parse(io::write_json(model::write_job(study.value().job)));
  // A later program may write more than was there.
  for (const auto& [key, value] : kept.items()) {
    INFO(key << ": " << again[key]);
    CHECK(has_all_of(again[key], value));
  }
  Json other = again;
  other["doors"][2]["rod_force"]["x_mm"][1] = 4.5;
  CHECK_FALSE(has_all_of(other, kept));
}

TEST_CASE("version 1: a file of a newer version is refused in one plain line") {
  CHECK(faults("\"title\"", "\"title\"").empty());
  CHECK(faults("\"latchwright_job\": 1", "\"latchwright_job\": 2") ==
        "job.json: /latchwright_job: version 2 needs a newer program (this one reads version 1)\n");
  // What such a file has beside may be right: nothing is said of it.
  CHECK(faults("\"latchwright_job\": 1,", "\"latchwright_job\": 3, \"later\": {}, \"other\": 7,") ==
        "job.json: /latchwright_job: version 3 needs a newer program (this one reads version 1)\n");

  const tests::ScratchFolder folder;
  const std::string parts = folder.file("parts.json");
  std::ofstream(parts, std::ios::binary) << R"({"latchwright_parts": 2, "later": [], "parts": [{"id": 5}]})";
  const std::string line =
      parts + ": /latchwright_parts: version 2 needs a newer program (this one reads version 1)\n";
  const auto refused = io::load_catalogue({parts});
  REQUIRE_FALSE(refused.ok());
  CHECK(lines_of(refused.issues()) == line);
  base::Issues left_out;
  const auto sound = io::load_sound_catalogue({parts}, left_out);
  REQUIRE_FALSE(sound.ok());
  CHECK(lines_of(sound.issues()) == line);
  CHECK(left_out.empty());
}

// SPDX-License-Identifier: GPL-3.0-or-later
#include "model/starting_job.h"

#include <catch2/catch.hpp>

#include "base/failure.h"
#include "io/json.h"
#include "model/job_fields.h"
#include "model/study.h"
#include "model/tree_edit.h"

// What a new job begins with.
using namespace latchwright;

namespace {

model::Study study_of(int doors, const std::string& body) {
  const auto checked = model::check_job(model::starting_job(doors, body), "new job", model::Catalogue());
  REQUIRE(checked.ok());
  return checked.value();
}

std::vector<std::string> door_names(int doors) {
  std::vector<std::string> names;
  for (const auto& door : study_of(doors, "estate").job.doors) names.push_back(door.name);
  return names;
}

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("every starting job is lawful and wants all its parts", "[model]") {
  CHECK(model::known_bodies() == Names{"hatch", "saloon", "estate", "van"});
  for (const auto& body : model::known_bodies()) {
    for (int doors = 1; doors <= static_cast<int>(model::most_doors); ++doors) {
      CAPTURE(body, doors);
      const model::Study study = study_of(doors, body);
      REQUIRE(study.job.doors.size() == static_cast<std::size_t>(doors));
      // Feed wire, main fuse, relay; of each door actuator and wire, and a fuse from three doors up.
      const int of_door = doors >= 3 ? 3 : 2;
      CHECK(study.not_chosen.size() == static_cast<std::size_t>(3 + doors * of_door));
      // As a file holds it: written again it is the same text.
      CHECK(io::write_json(model::starting_job(doors, body)) == io::write_json(model::write_job(study.job)));
    }
  }
}

TEST_CASE("doors of a starting job", "[model]") {
  CHECK(door_names(1) == Names{"front left"});
  CHECK(door_names(2) == Names{"front left", "front right"});
  CHECK(door_names(3) == Names{"front left", "front right", "tailgate"});
  CHECK(door_names(4) == Names{"front left", "front right", "rear left", "rear right"});
  CHECK(door_names(5) == Names{"front left", "front right", "rear left", "rear right", "tailgate"});
  CHECK(door_names(7) ==
        Names{"front left", "front right", "rear left", "rear right", "tailgate", "extra 1", "extra 2"});
}

TEST_CASE("a longer body has longer runs", "[model]") {
  const auto hatch = study_of(5, "hatch").job, van = study_of(5, "van").job;
  CHECK(van.feed.length > hatch.feed.length);
  for (std::size_t k = 0; k < hatch.doors.size(); ++k) {
    CHECK(van.doors[k].branch_length > hatch.doors[k].branch_length);
  }
  CHECK(hatch.doors[4].branch_length > hatch.doors[2].branch_length);
  CHECK(hatch.doors[2].branch_length > hatch.doors[0].branch_length);
}

TEST_CASE("defaults stand in a starting job to be seen", "[model]") {
  const model::Raw job = model::starting_job(2, "saloon");
  for (const char* pointer : {"/supply/low_V", "/climate/cold_C", "/feed/ground_mohm", "/doors/1/joints_mohm",
                              "/pulse/on_s", "/use/gap_s", "/limits/clear_s", "/spread/length"}) {
    CAPTURE(pointer);
    CHECK(model::value_at(job, pointer) != nullptr);
  }
  CHECK(model::value_at(job, "/title")->shown() == "\"saloon with 2 doors\"");
  CHECK(model::value_at(model::starting_job(1, "van"), "/title")->shown() == "\"van with 1 door\"");
}

TEST_CASE("starting jobs that cannot be", "[model]") {
  CHECK_THROWS_AS(model::starting_job(0, "van"), base::InternalError);
  CHECK_THROWS_AS(model::starting_job(13, "van"), base::InternalError);
  CHECK_THROWS_AS(model::starting_job(4, "boat"), base::InternalError);
}

// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/schema.h"

#include <catch2/catch.hpp>

#include "io/json.h"
#include "support/change_cases.h"

using namespace latchwright;

// tests/end_to_end/schema_check.py holds the schemas against files, good and bad, with an independent validator.

TEST_CASE("the schemas in docs are those of the field tables", "[report]") {
  // Where this fails after a change of a table: latchwright_write_schemas docs
  const std::string docs = LATCHWRIGHT_SOURCE_DIR "/docs/";
  CHECK(tests::read_text(docs + "job.schema.json") == io::write_json(report::job_schema()));
  CHECK(tests::read_text(docs + "parts.schema.json") == io::write_json(report::parts_schema()));
}

TEST_CASE("schemas say what a key means, its range and its default", "[report]") {
  const model::Raw schema = report::job_schema();
  const model::Raw* gap = schema.find("$defs")->find("use")->find("properties")->find("gap_s");
  REQUIRE(gap != nullptr);
  CHECK(*gap->find("description")->text() == "rest between pulses (s)");
  CHECK(*gap->find("minimum")->number() == 0);
  CHECK(*gap->find("maximum")->number() == 3600);
  CHECK(*gap->find("default")->number() == 1);
  CHECK(report::parts_schema().find("$defs")->find("part_fuse_family") != nullptr);
}

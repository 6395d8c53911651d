// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/schema.h"

#include <catch2/catch.hpp>

#include "io/json.h"
#include "model/job_fields.h"
#include "model/part_fields.h"
#include "report/keys_page.h"
#include "support/change_cases.h"

using namespace latchwright;

// tests/end_to_end/schema_check.py holds the schemas against files, good and bad, with an independent validator.

TEST_CASE("schemas and keys in docs are those of the field tables", "[report]") {
  // Where this fails after a change of a table: latchwright_write_schemas docs
  const std::string docs = LATCHWRIGHT_SOURCE_DIR "/docs/";
  CHECK(tests::read_text(docs + "job.schema.json") == io::write_json(report::job_schema()));
  CHECK(tests::read_text(docs + "parts.schema.json") == io::write_json(report::parts_schema()));
  CHECK(tests::read_text(docs + "keys.md") == report::keys_page());
}

TEST_CASE("the page of keys names every key of both formats", "[report]") {
  const std::string page = report::keys_page();
  std::size_t keys = 0;
  const auto look = [&](const model::RecordInfo& info, const auto& again) -> void {
    for (const auto& field : info.fields) {
      ++keys;
      INFO(info.name << " " << field.key);
      CHECK(page.find("| `" + field.key + "` | " + field.unit + " |") != std::string::npos);
      CHECK(page.find(field.meaning + " |") != std::string::npos);
      if (field.child == nullptr) continue;
      CHECK(page.find("### " + field.child->name + "\n") != std::string::npos);
      again(*field.child, again);
    }
  };
  look(model::job_table().info(), look);
  look(model::part_table().info(), look);
  for (const auto& kind : model::part_kinds()) look(*model::part_body_info(kind), look);
  CHECK(keys > 100);
  CHECK(page.find("| `gap_s` | s | 0 to 3600 | 1 | rest between pulses |") != std::string::npos);
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

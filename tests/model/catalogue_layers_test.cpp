// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <fstream>

#include "io/builtin_parts.h"
#include "io/files.h"
#include "support/scratch_folder.h"

using namespace latchwright;

TEST_CASE("catalogue: a file with a broken part is a layer like any other", "[model]") {
  const tests::ScratchFolder folder;
  const std::string path = folder.file("parts.json");
  std::ofstream(path, std::ios::binary) << R"({"latchwright_parts": 1, "parts": [
    {"id": "broken", "kind": "relay", "title": "r", "source": {"kind": "invented"}, "contact_mohm": 5, "rated_A": -30},
    {"id": "whole", "kind": "relay", "title": "r", "source": {"kind": "invented"}, "contact_mohm": 5, "rated_A": 30}]})";
  base::Issues left_out;
  const auto catalogue = io::load_sound_catalogue({path}, left_out);
  REQUIRE(catalogue.ok());
  CHECK(left_out.size() == 1);

  const std::size_t built_in = io::builtin_part_files().size();
  const auto& layers = catalogue.value().layers();
  REQUIRE(layers.size() == built_in + 1);
  CHECK(layers.back().file == path);
  CHECK(layers.back().parts == 1);
  const auto* entry = catalogue.value().find_entry("whole");
  REQUIRE(entry != nullptr);
  CHECK(entry->layer == built_in);
  CHECK(entry->pointer == "/parts/1");
  CHECK(catalogue.value().find_entry("broken") == nullptr);
}

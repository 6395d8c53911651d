// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <string>
#include <utility>

#include "report/trace_csv.h"

using namespace latchwright;

TEST_CASE("csv field: a text that a spreadsheet would compute is only a text") {
  // The beginnings are those of OWASP's page "CSV Injection", and its cure, an apostrophe; quotes as in RFC
  // 4180, section 2.
  const std::pair<const char*, const char*> rows[] = {
      {"=1+1", "'=1+1"},
      {"+1", "'+1"},
      {"-1", "'-1"},
      {"@SUM(A1)", "'@SUM(A1)"},
      {"\t=1", "\"'\t'=1\""},
      {"\r=1", "\"'\r'=1\""},
      {"＝1+1", "'＝1+1"},
      {"=HYPERLINK(\"x\",\"y\")", "\"'=HYPERLINK(\"\"x\"\",\"\"y\"\")\""},
      // A semicolon parts the columns where the decimal sign is a comma.
      {"left;=1+1", "\"left;'=1+1\""},
      {"left; right", "\"left; right\""},
      // What is no formula stays as it is.
      {"", ""},
      {"front left", "front left"},
      {"front-left = 1", "front-left = 1"},
      {"'quoted'", "'quoted'"},
      {"a, b", "\"a, b\""},
      {"5\" flap", "\"5\"\" flap\""},
      {"Tür", "Tür"},
  };
  for (const auto& [text, field] : rows) {
    INFO(text);
    CHECK(report::csv_field(text) == field);
  }
}

TEST_CASE("csv field: numbers of a trace keep their sign") {
  sim::TraceSample sample{};
  sample.temperature_C.fill(-20);
  sample.winding_C = -20.5;
  const std::string csv = report::trace_csv({sample}, {"-left"});
  CHECK(csv.substr(csv.find('\n') + 1) == "0,'-left,0,0,0,-20.5,-20,-20,-20\n");
}

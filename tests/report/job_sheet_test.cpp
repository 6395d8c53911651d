// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/job_sheet.h"

#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "base/text.h"
#include "io/files.h"
#include "report/check_report.h"
#include "report/check_words.h"
#include "report/sheet_html.h"
#include "report/sheet_sections.h"
#include "support/change_cases.h"
#include "support/sheet_words.h"
#include "support/verdict_jobs.h"

using namespace latchwright;

namespace {

std::string example(const std::string& name) {
  return tests::read_text(std::string(LATCHWRIGHT_SOURCE_DIR) + "/docs/examples/" + name);
}

struct Made {
  model::Study study;
  report::SheetFindings findings;
  report::JobSheet sheet;
};

Made made_of(const model::Study& study) {
  base::NoProgress quiet;
  Made made{study, report::find_for_sheet(study, 2, quiet), {}};
  made.sheet = report::make_job_sheet(made.study, made.findings);
  return made;
}

void check_has(const std::string& text, const std::string& what) {
  CAPTURE(what);
  CHECK(text.find(what) != std::string::npos);
}

/// No word that only the trade knows.
void check_plain(const std::string& owner) {
  for (const char* word : {"thermistor", "lockout", "actuator", "margin", "corner", " stall", "PTC", "relay",
                           "feed", "pulse", "ambient", "branch", "door run"}) {
    CAPTURE(word);
    CHECK(owner.find(word) == std::string::npos);
  }
}

const report::SheetTable& table_titled(const report::SheetSection& section, const std::string& start) {
  for (const auto& block : section.blocks) {
    const auto* table = std::get_if<report::SheetTable>(&block);
    if (table != nullptr && table->title.starts_with(start)) return *table;
  }
  throw std::runtime_error("no table: " + start);
}

}  // namespace

TEST_CASE("job sheet: of an installation that fails", "[report][sheet][slow]") {
  const Made made = made_of(tests::catalogue_study(example("five-door-estate.json")));
  const auto& sheet = made.sheet;
  const auto& worst = made.findings.examination.worst;
  REQUIRE(sheet.sections.size() == 4);

  SECTION("says first that it must not be handed over") {
    CHECK_FALSE(made.findings.examination.pass);
    // As `check` counts, README.md: 59 of 64 hold, 2 tight, 3 fail.
    check_has(
        sheet.stop,
        "Do not hand this installation over like this: 3 of its 64 checks fail (see \"For the fitter\").");
    check_has(tests::words_of(sheet.sections[1]), "Fails: 59 of 64 checks hold, 2 tight, 3 fail");
  }
  SECTION("every door and every part, with where its figures come from") {
    const std::string fitter = tests::words_of(sheet.sections[1]);
    for (const auto& door : made.study.job.doors) {
      check_has(tests::words_of(sheet.sections[0]), door.name);
      check_has(fitter, door.name);
      check_has(tests::words_of(sheet.sections[2]), door.name);
    }
    const auto& parts = table_titled(sheet.sections[1], "Parts");
    // Three actuators with two curves at most, three wires, two fuses, their family, a relay.
    for (const char* id :
         {"act-ordinary-5w", "act-ordinary-2w", "act-heavy-2w", "curve-polymer-30v", "wire-1.0", "wire-1.5",
          "wire-4.0", "fuse-medium-7.5", "fuse-medium-30", "blade-medium", "relay-40"}) {
      const auto row = std::find_if(parts.rows.begin(), parts.rows.end(),
                                    [&](const auto& cells) { return cells[0] == id; });
      CAPTURE(id);
      REQUIRE(row != parts.rows.end());
      CHECK(made.study.catalogue->find(id)->title == (*row)[1]);
      const bool invented = made.study.catalogue->find(id)->source.kind == "invented";
      CHECK(((*row)[3].find("invented: example part") != std::string::npos) == invented);
      check_has(tests::words_of(sheet.sections[3]), id);
    }
    CHECK(parts.rows.size() == 11);
  }
  SECTION("the weakest row of every check, as check says it, weakest first") {
    const std::string text = report::check_text(made.study, made.findings.examination, false, {});
    const auto& table = table_titled(sheet.sections[1], "Each check where it is weakest");
    CHECK(table.rows.size() == verdict::check_infos().size());
    CHECK(table.rows.front()[0] == report::title_of(worst[made.findings.examination.weakest].id));
    const std::vector<std::string> order{"fails", "tight", "holds"};
    std::size_t level = 0;
    for (const auto& row : table.rows) {
      for (const auto& cell : row) check_has(text, cell);
      const auto place =
          static_cast<std::size_t>(std::find(order.begin(), order.end(), row[6]) - order.begin());
      CHECK(place >= level);
      level = place;
    }
    const std::string fitter = tests::words_of(sheet.sections[1]);
    for (const auto& row : worst) {
      if (row.verdict == verdict::Verdict::holds) continue;
      check_has(fitter, report::have_and_need(row));
      check_has(fitter, row.why);
      if (row.change) check_has(fitter, row.change->text);
    }
  }
  SECTION("wires by hand: what to cut, gauge, terminals") {
    const auto& wires = table_titled(sheet.sections[1], "Wires");
    REQUIRE(wires.rows.size() == 6);
    CHECK(wires.rows[0][1] == "1 × 2.40 m");
    CHECK(wires.rows[5][1] == "2 × 5.50 m");
    // ASTM B258 (from memory): 16 AWG is 1.31 mm², 14 AWG 2.08, 10 AWG 5.26.
    CHECK(wires.rows[0][3] == "at least 10 AWG");
    CHECK(wires.rows[1][3] == "at least 16 AWG");
    CHECK(wires.rows[5][3] == "at least 14 AWG");
    CHECK(wires.rows[5][7] == "to suit 1.5 mm²");
    // 2 x (2.2 + 2.6 + 3.4 + 3.6) m
    check_has(tests::words_of(sheet.sections[1]), "23.6 m of 1 mm² (wire-1.0)");
    check_has(tests::words_of(sheet.sections[1]), "Five-wire actuators (front left)");
  }
  SECTION("fuses with their colours, and the run that has none") {
    const auto& fuses = table_titled(sheet.sections[1], "Fuses and relay");
    // ISO 8820-3 (from memory): 30 A green, 7.5 A brown.
    CHECK(fuses.rows[0][1] == "30 A");
    CHECK(fuses.rows[0][2] == "green");
    CHECK(fuses.rows[1][1] == "7.5 A");
    CHECK(fuses.rows[1][2] == "brown");
    CHECK(fuses.rows[5][0] == "tailgate");
    CHECK(fuses.rows[5][1] == "none");
  }
  SECTION("the owner finds equal fuses in one row") {
    const auto& fuses = table_titled(sheet.sections[0], "Fuses");
    REQUIRE(fuses.rows.size() == 2);
    CHECK(fuses.rows[0] == std::vector<std::string>{"all locks", "30 A", "green"});
    CHECK(fuses.rows[1] ==
          std::vector<std::string>{"one each: front left, front right, rear left and rear right", "7.5 A",
                                   "brown"});
  }
  SECTION("the owner reads counts of the lockout rows and a wait, in plain words") {
    const std::string owner = tests::words_of(sheet.sections[0]);
    check_plain(owner);
    const auto& use = table_titled(sheet.sections[0], "Locked and unlocked");
    REQUIRE(use.rows.size() == 3);
    for (const auto& row : made.findings.examination.worst) {
      if (row.id != verdict::CheckId::lockout) continue;
      CHECK(use.rows[1][1] == fmt::format("{} times in a row ({} to {}: lock motors differ)", *row.have,
                                          row.band->first, row.band->second));
    }
    CHECK(made.findings.hot.at.ambient_C == 80);
    CHECK(made.findings.hot.stops());
    // The more a thermistor resists as it is, the sooner its motor waits.
    for (const auto* each : {&made.findings.cold, &made.findings.usual, &made.findings.hot}) {
      CHECK(each->band.first <= each->cycles);
      CHECK(each->cycles <= each->band.second);
    }
    REQUIRE(made.findings.hot.recovery);
    check_has(use.rows[1][2], report::generous_wait(*made.findings.hot.recovery->recovery_s));
    check_has(owner, "no promise yet");  // example parts
  }
  SECTION("expected readings with bands, boxes for each door") {
    const auto& acceptance = sheet.sections[2];
    const auto& whole = table_titled(acceptance, "The whole installation");
    REQUIRE(whole.rows.size() == made.findings.examination.prove.size());
    for (std::size_t k = 0; k < whole.rows.size(); ++k) {
      const auto& reading = made.findings.examination.prove[k];
      CHECK(whole.rows[k][0] == reading.reading);
      CHECK(whole.rows[k][1] == base::significant(*reading.value) + " " + reading.unit);
      CHECK(whole.rows[k][2] == base::significant(*reading.low) + " " + reading.unit);
      CHECK(whole.rows[k][3] == base::significant(*reading.high) + " " + reading.unit);
    }
    CHECK(whole.boxes.size() == 2);
    CHECK(table_titled(acceptance, "Ordinary two-wire").boxes ==
          std::vector<std::string>{"front right", "rear left", "rear right"});
    CHECK(table_titled(acceptance, "Ordinary five-wire").boxes == std::vector<std::string>{"front left"});
    const auto& heavy = table_titled(acceptance, "Heavy two-wire");
    // 1.85 Ω winding and 0.095 Ω thermistor at 25 °C: 1.93 Ω at 23 °C or a little less.
    CHECK(heavy.rows[0][0] == "cold resistance");
    CHECK(std::stod(heavy.rows[0][2]) == Approx(1.945).epsilon(0.01));
    CHECK(std::stod(heavy.rows[0][3]) < std::stod(heavy.rows[0][2]));
    CHECK(std::stod(heavy.rows[0][4]) > std::stod(heavy.rows[0][2]));
    for (const char* label : {"date", "fitter's name", "fitter's signature", "owner's signature"}) {
      check_has(tests::words_of(acceptance), label);
    }
  }
  SECTION("cautions, assumptions, origin") {
    const std::string cautions = tests::words_of(sheet.sections[3]);
    for (const char* word : {"Battery off", "airbag", "Bridge and bypass nothing", "open by hand", "hot",
                             "pinch", "service data", "local regulations", "licensed practice",
                             "-20, 23 and 80 °C", "no source", "no measure of security"}) {
      check_has(cautions, word);
    }
    check_has(sheet.origin, report::input_sum(made.study));
    check_has(sheet.origin, "Latchwright ");
    CHECK(sheet.date.empty());
    CHECK(report::make_job_sheet(made.study, made.findings, "2026-03-31").date == "2026-03-31");
  }
  SECTION("the same input, the same bytes") {
    base::NoProgress quiet;
    const auto again = report::make_job_sheet(made.study, report::find_for_sheet(made.study, 1, quiet));
    CHECK(report::sheet_html(again, nullptr) == report::sheet_html(sheet, nullptr));
  }
}

TEST_CASE("job sheet: of an installation that passes", "[report][sheet][slow]") {
  const Made made = made_of(tests::catalogue_study(example("four-door-saloon.json")));
  CHECK(made.findings.examination.pass);
  CHECK(made.sheet.stop.empty());
  CHECK(report::sheet_html(made.sheet, nullptr).find("Do not hand") == std::string::npos);
  check_plain(tests::words_of(made.sheet.sections[0]));
  check_has(tests::words_of(made.sheet.sections[1]), "Passes: ");
  // What was promised stands on the owner's page.
  for (const auto* use : {&made.findings.cold, &made.findings.usual, &made.findings.hot})
    CHECK(use->cycles >= use->wanted);
}

TEST_CASE("job sheet: texts of the file reach no markup", "[report][sheet]") {
  const std::string attack = "<script>alert('x')</script>";
  const std::string job =
      tests::changed(tests::plain_job_json(), {{"/title", "\"" + attack + "\""},
                                               {"/notes", "\"first\\n" + attack + "\""},
                                               {"/doors/0/name", "\"" + attack + "\""},
                                               {"/parts/0/title", "\"" + attack + "\""},
                                               {"/parts/0/source/note", "\"" + attack + "\""}});
  const Made made = made_of(tests::study_of(job));
  const std::string html = report::sheet_html(made.sheet, nullptr);
  CHECK(html.find("<script") == std::string::npos);
  check_has(html, "<h1>&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt;</h1>");
  check_has(html, "<p>first &lt;script&gt;");
}

TEST_CASE("job sheet: waits are rounded up to what one counts", "[report][sheet]") {
  struct Row {
    double seconds;
    const char* text;
  };
  for (const auto& [seconds, text] :
       {Row{0.3, "5 seconds"}, Row{5, "5 seconds"}, Row{12, "15 seconds"}, Row{46, "1 minute"},
        Row{61, "1.5 minutes"}, Row{107, "2 minutes"}, Row{601, "15 minutes"}, Row{3600, "1 hour"},
        Row{3601, "1.5 hours"}, Row{7000, "2 hours"}}) {
    CHECK(report::generous_wait(seconds) == text);
  }
}

TEST_CASE("job sheet: the sum of the input is of what is used", "[report][sheet]") {
  const std::string job = tests::plain_job_json();
  const std::string sum = report::input_sum(tests::study_of(job));
  CHECK(report::input_sum(tests::study_of(job)) == sum);
  CHECK(sum.size() == 19);
  // Any figure that is used counts, a part that lies unused does not.
  CHECK(report::input_sum(tests::study_of(tests::changed(job, {tests::Change{"/pulse/on_s", "0.31"}}))) !=
        sum);
  const std::string spare =
      R"({"id": "spare", "kind": "relay", "title": "Spare", "source": {"kind": "invented", "note": ""}, "contact_mohm": 1, "rated_A": 40})";
  CHECK(report::input_sum(tests::study_of(tests::changed(job, {tests::Change{"/parts/-", spare}}))) == sum);
  // A part counts the same from the catalogue and from the job itself.
  const auto& from_catalogue = tests::catalogue_study(example("four-door-saloon.json"));
  model::Job own = from_catalogue.job;
  for (const auto& part : report::used_parts(from_catalogue)) own.parts.push_back(*part);
  const auto travelling = model::check_job(own, "own", model::Catalogue());
  REQUIRE(travelling.ok());
  CHECK(report::input_sum(travelling.value()) == report::input_sum(from_catalogue));
}

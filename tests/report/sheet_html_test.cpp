// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/sheet_html.h"

#include <catch2/catch.hpp>

#include "support/sheet_words.h"

using namespace latchwright;

namespace {

/// Draws every picture as the same little drawing.
class LittleWriter final : public report::PictureWriter {
 public:
  bool accepts(const std::string&, std::string&) const override { return true; }
  void write(const std::vector<report::Picture>&, const std::string&, bool) override {}
  std::string svg(const report::Picture&) override { return "<svg viewBox=\"0 0 1 1\"></svg>"; }
  std::string sheet_pdf(const report::JobSheet&, report::Paper) override { return ""; }
};

std::size_t count_of(const std::string& text, std::string_view what) {
  std::size_t count = 0;
  for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + what.size())) ++count;
  return count;
}

}  // namespace

TEST_CASE("sheet html: what is markup elsewhere is text here", "[report][sheet]") {
  CHECK(report::escaped("a<b>&\"c'") == "a&lt;b&gt;&amp;&quot;c&#39;");
  // Control characters, DEL and U+FFFF have no place in XML.
  CHECK(report::escaped(std::string_view("a\x01\tb\x7F", 5)) == "a  b ");
  CHECK(report::escaped("a\xEF\xBF\xBF"
                        "b") == "a b");
  CHECK(report::escaped("80 °C, 1.5 mm²") == "80 °C, 1.5 mm²");
}

TEST_CASE("sheet html: injected markup survives only escaped", "[report][sheet]") {
  const std::string attack =
      "\"><script src='//x.example'>alert(1)</script><img onerror=\"x\"/><!--</style>&amp;";
  auto sheet = tests::small_sheet(attack);
  sheet.stop = "stop " + attack;
  sheet.date = attack;
  sheet.origin += attack;
  sheet.sections[0].blocks.emplace_back(report::SheetPicture{[&] {
    report::Picture picture;
    picture.title = "picture " + attack;
    return picture;
  }()});
  LittleWriter writer;
  for (report::PictureWriter* used :
       {static_cast<report::PictureWriter*>(&writer), static_cast<report::PictureWriter*>(nullptr)}) {
    const std::string html = report::sheet_html(sheet, used);
    CHECK(count_of(html, "<script") == 0);
    CHECK(count_of(html, "<img") == 0);
    CHECK(count_of(html, "<!--") == 0);
    CHECK(count_of(html, "</style>") == 1);
    for (const char* where : {"title ", "table ", "first ", "row 2 ", "box ", "heading ", "paragraph ",
                              "notice ", "line ", "item ", "label ", "picture ", "stop "}) {
      CAPTURE(where);
      CHECK(html.find(where + report::escaped(attack)) != std::string::npos);
    }
  }
}

TEST_CASE("sheet html: nothing from elsewhere", "[report][sheet]") {
  const std::string html = report::sheet_html(tests::small_sheet(), nullptr);
  for (const char* away :
       {"http", "//", "src=", "url(", "@import", "<script", "<link", "<iframe", "javascript"}) {
    CAPTURE(away);
    CHECK(html.find(away) == std::string::npos);
  }
  CHECK(html.starts_with("<!DOCTYPE html>\n<html lang=\"en\">"));
  CHECK(html.find("<meta charset=\"utf-8\"/>") != std::string::npos);
}

TEST_CASE("sheet html: boxes are empty and say what goes into them", "[report][sheet]") {
  const std::string html = report::sheet_html(tests::small_sheet(), nullptr);
  CHECK(count_of(html, "<td class=\"box\" data-label=\"box text\"></td>") == 3);
  CHECK(count_of(html, "<td class=\"right\" data-label=\"figure\">1.25 A</td>") == 1);
}

TEST_CASE("sheet html: without what draws it says that pictures are left out", "[report][sheet]") {
  auto sheet = tests::small_sheet();
  report::Picture picture;
  picture.title = "Margins of a test";
  sheet.sections[1].blocks.emplace_back(report::SheetPicture{picture});
  const std::string bare = report::sheet_html(sheet, nullptr);
  CHECK(bare.find("Margins of a test: this picture is left out") != std::string::npos);
  CHECK(bare.find("<figure role") == std::string::npos);
  LittleWriter writer;
  const std::string drawn = report::sheet_html(sheet, &writer);
  CHECK(drawn.find("aria-label=\"Margins of a test\"><svg") != std::string::npos);
  CHECK(drawn.find("left out") == std::string::npos);
}

TEST_CASE("sheet html: what must not be handed over says so before its title and on every page",
          "[report][sheet]") {
  auto sheet = tests::small_sheet();
  CHECK(report::sheet_html(sheet, nullptr).find("notice stop") == std::string::npos);
  sheet.stop = "Do not hand this over";
  const std::string html = report::sheet_html(sheet, nullptr);
  CHECK(count_of(html, "✕ Do not hand this over") == sheet.sections.size());
  CHECK(html.find("✕ Do not hand this over") < html.find("<h1>"));
}

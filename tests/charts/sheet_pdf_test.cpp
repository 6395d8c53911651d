// SPDX-License-Identifier: GPL-3.0-or-later
#include <QHashFunctions>
#include <QImage>
#include <QProcess>
#include <QRegularExpression>
#include <QStandardPaths>
#include <QXmlStreamReader>
#include <catch2/catch.hpp>

#include "charts/sheet_pages.h"
#include "charts/write_pictures.h"
#include "report/picture_writer.h"
#include "report/sheet_html.h"
#include "sample_pictures.h"

using namespace latchwright;
using charts::draw_sheet_pdf;
using charts::SheetPages;
using report::Paper;

namespace {

report::JobSheet sheet_of(int rows, const std::string& text = "text") {
  using namespace report;
  JobSheet sheet;
  sheet.title = "Title " + text;
  sheet.origin = "Latchwright 0.0.0, input 0123-4567-89ab-cdef";
  SheetTable table{"Caption of the table", {{"First column"}, {"Figure", true}}, {}, {"Empty box"}};
  for (int k = 0; k < rows; ++k)
    table.rows.push_back({"row " + std::to_string(k) + " " + text, std::to_string(k) + ".25 A"});
  sheet.sections = {
      {"customer",
       "For the owner",
       {SheetHeading{"A heading"}, SheetParagraph{"Paragraph " + text}, SheetForm{{"A label"}}}},
      {"installer",
       "For the fitter",
       {SheetNotice{SheetNotice::Kind::mind, "A notice", {"Its line"}}, table, SheetList{{"An item"}, true},
        SheetPicture{tests::cycling_picture()}}}};
  return sheet;
}

/// Empty where the tool is not there.
QString pdf_words(const QByteArray& pdf, const QStringList& options = {}) {
  const QString tool = QStandardPaths::findExecutable("pdftotext");
  if (tool.isEmpty()) return {};
  QProcess process;
  process.start(tool, QStringList{"-layout"} + options + QStringList{"-", "-"});
  process.write(pdf);
  process.closeWriteChannel();
  REQUIRE(process.waitForFinished());
  // Ligatures ("fi") as the letters that they stand for.
  return QString::fromUtf8(process.readAllStandardOutput()).normalized(QString::NormalizationForm_KC);
}

int pages_in(const QByteArray& pdf) { return static_cast<int>(pdf.count("/Type /Page\n")); }

/// The lowest dark pixel row of a page above its foot, in mm from the page's top.
double lowest_ink_mm(const SheetPages& pages, int page) {
  constexpr double scale = 0.25;
  QImage image((pages.size() * scale).toSize(), QImage::Format_RGB32);
  image.fill(Qt::white);
  QPainter painter(&image);
  painter.scale(scale, scale);
  pages.paint(painter, page);
  painter.end();
  const double dots_a_mm = SheetPages::dots_per_inch / 25.4 * scale;
  for (int y = static_cast<int>(image.height() - 21 * dots_a_mm); y > 0; --y) {
    for (int x = 0; x < image.width(); ++x) {
      if (qGray(image.pixel(x, y)) < 128) return y / dots_a_mm;
    }
  }
  return 0;
}

}  // namespace

TEST_CASE("sheet pdf: every text, a page a section") {
  const QByteArray pdf = draw_sheet_pdf(sheet_of(3), Paper::a4);
  CHECK(pdf.startsWith("%PDF"));
  CHECK(pages_in(pdf) == 2);
  CHECK(SheetPages(sheet_of(3), Paper::a4).count() == 2);
  const QString words = pdf_words(pdf);
  if (words.isEmpty()) return;
  for (const char* text :
       {"Title text", "For the owner", "A heading", "Paragraph text", "A label", "For the fitter", "A notice",
        "Its line", "Caption of the table", "First column", "Figure", "Empty box", "row 2 text", "2.25 A",
        "1. An item", "page 1 of 2", "page 2 of 2", "input 0123-4567-89ab-cdef"}) {
    CAPTURE(text);
    CHECK(words.contains(QString::fromUtf8(text)));
  }
  CHECK(words.contains(QString::fromStdString(tests::cycling_picture().title)));
}

TEST_CASE("sheet pdf: both papers at their size") {
  // ISO 216: A4 is 210 x 297 mm; letter is 8.5 x 11 in. In points of 1/72 in.
  const auto check_size = [](Paper paper, double width, double height, double within) {
    const QString pdf = QString::fromLatin1(draw_sheet_pdf(sheet_of(3), paper));
    const auto box = QRegularExpression("/MediaBox \\[0 0 ([\\d.]+) ([\\d.]+)\\]").match(pdf);
    REQUIRE(box.hasMatch());
    CHECK(box.captured(1).toDouble() == Approx(width).margin(within));
    CHECK(box.captured(2).toDouble() == Approx(height).margin(within));
  };
  check_size(Paper::letter, 612, 792, 0.01);
  check_size(Paper::a4, 210 / 25.4 * 72, 297 / 25.4 * 72, 0.6);
}

TEST_CASE("sheet pdf: a long table goes over pages with its head, and no row gets lost") {
  const QByteArray pdf = draw_sheet_pdf(sheet_of(100), Paper::a4);
  // Rows with a box to write in are at least 8.5 mm high: at most some 30 a page.
  CHECK(pages_in(pdf) >= 5);
  const QString words = pdf_words(pdf);
  if (words.isEmpty()) return;
  for (int k = 0; k < 100; ++k) {
    CAPTURE(k);
    CHECK(words.contains(QStringLiteral("row %1 text").arg(k)));
  }
  const auto with_rows = words.split('\f').filter(QRegularExpression("row \\d+ text"));
  CHECK(with_rows.size() >= 4);
  for (const QString& page : with_rows) CHECK(page.contains("First column"));
}

TEST_CASE("sheet pdf: nothing runs into the foot of a page") {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    const SheetPages pages(sheet_of(60), paper);
    const double height_mm = pages.size().height() / SheetPages::dots_per_inch * 25.4;
    for (int page = 0; page < pages.count(); ++page) {
      CAPTURE(page);
      CHECK(lowest_ink_mm(pages, page) > 0);
      CHECK(lowest_ink_mm(pages, page) <= height_mm - 21);
    }
  }
}

TEST_CASE("sheet pdf: what must not be handed over says so first, and on every page") {
  auto sheet = sheet_of(40);
  sheet.stop = "Do not hand this installation over like this";
  const QString words = pdf_words(draw_sheet_pdf(sheet, Paper::a4));
  if (words.isEmpty()) return;
  CHECK(words.trimmed().startsWith("✕ Do not hand this installation over like this"));
  for (const QString& page : words.split('\f', Qt::SkipEmptyParts).mid(1)) {
    CHECK(page.contains("not to be handed over like this"));
  }
}

TEST_CASE("sheet pdf: markup and endless words are letters like others") {
  const std::string word(400, 'W');
  const QByteArray pdf = draw_sheet_pdf(sheet_of(3, "<b>bold</b> &amp; " + word), Paper::a4);
  const QString words = pdf_words(pdf);
  if (!words.isEmpty()) CHECK(words.contains("<b>bold</b> &amp;"));
  CHECK(pages_in(pdf) >= 2);
}

TEST_CASE("sheet pdf: the same sheet, the same bytes") {
  const QByteArray pdf = draw_sheet_pdf(sheet_of(5), Paper::a4);
  const QByteArray pictures = charts::draw_pictures({tests::cycling_picture()}, charts::FileKind::pdf, {});
  // In another process hashes have another order.
  for (int k = 0; k < 8; ++k) {
    QHashSeed::resetRandomGlobalSeed();
    CHECK((draw_sheet_pdf(sheet_of(5), Paper::a4) == pdf));
    CHECK((charts::draw_pictures({tests::cycling_picture()}, charts::FileKind::pdf, {}) == pictures));
  }
  CHECK((draw_sheet_pdf(sheet_of(5, "other"), Paper::a4) != pdf));
}

TEST_CASE("sheet html: with real drawings it is XML from one piece") {
  const auto writer = report::make_picture_writer();
  const std::string html = report::sheet_html(sheet_of(3, "<&>\"'"), writer.get());
  QXmlStreamReader xml(QString::fromStdString(html));
  int drawings = 0, words_in_drawings = 0;
  QString words;
  while (!xml.atEnd()) {
    xml.readNext();
    if (xml.isStartElement() && xml.name() == u"svg") ++drawings;
    if (xml.isStartElement() && xml.name() == u"text") ++words_in_drawings;
    if (xml.isCharacters()) words += xml.text().toString() + ' ';
  }
  INFO(xml.errorString().toStdString());
  CHECK_FALSE(xml.hasError());
  CHECK(drawings == 1);
  CHECK(words_in_drawings > 5);
  CHECK(words.contains("Title <&>\"'"));
  CHECK(words.contains(QString::fromStdString(tests::cycling_picture().title)));
  QString rest = QString::fromStdString(html);
  rest.remove(QStringLiteral("xmlns=\"http://www.w3.org/2000/svg\""));
  CHECK_FALSE(rest.contains("http"));
}

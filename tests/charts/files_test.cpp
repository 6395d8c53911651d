// SPDX-License-Identifier: GPL-3.0-or-later
#include <QBuffer>
#include <QImageReader>
#include <QProcess>
#include <QStandardPaths>
#include <QTemporaryDir>
#include <QXmlStreamReader>
#include <catch2/catch.hpp>
#include <fstream>
#include <iterator>
#include <set>

#include "base/failure.h"
#include "charts/write_pictures.h"
#include "qt_text.h"
#include "report/picture_writer.h"
#include "sample_pictures.h"

using namespace latchwright;
using charts::draw_pictures;
using charts::FileKind;

namespace {

const std::vector<report::Picture> three{tests::cycling_picture(), tests::time_current_picture(),
                                         tests::margins_picture()};

std::string bytes_of(const QString& path) {
  std::ifstream file(path.toStdString(), std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

std::set<QRgb> colors_in(const QImage& image) {
  std::set<QRgb> found;
  for (int y = 0; y < image.height(); y += 2) {
    for (int x = 0; x < image.width(); x += 2) found.insert(image.pixel(x, y));
  }
  return found;
}

}  // namespace

TEST_CASE("files: kinds by the ending") {
  CHECK(charts::file_kind("a.png") == FileKind::png);
  CHECK(charts::file_kind("folder.d/a.SVG") == FileKind::svg);
  CHECK(charts::file_kind("a.b.pdf") == FileKind::pdf);
  for (const char* path : {"a.jpg", "png", "a", "", "a.pdf.bak", "a.png/"})
    CHECK_FALSE(charts::file_kind(path));
}

TEST_CASE("files: png of the right size and not blank") {
  QImage image = QImage::fromData(draw_pictures(three, FileKind::png, {}), "PNG");
  CHECK(image.size() == QSize(2560, 3 * 1600));
  for (int k = 0; k < 3; ++k) CHECK(colors_in(image.copy(0, k * 1600, 2560, 1600)).size() > 20);
  CHECK(image.pixelColor(2, 2) == QColor(Qt::white));
  const QImage dark = charts::draw_image(three[0], 640, 400, 1.5, {true, units::UnitSystem::metric});
  CHECK(dark.size() == QSize(960, 600));
  CHECK(dark.pixelColor(2, 2).lightness() < 60);
  CHECK(colors_in(dark).size() > 20);
}

TEST_CASE("files: svg is XML with the words as text") {
  QXmlStreamReader xml(draw_pictures(three, FileKind::svg, {}));
  QString words, title;
  int images = 0;
  while (!xml.atEnd()) {
    xml.readNext();
    if (xml.isStartElement() && xml.name() == u"image") ++images;
    if (xml.isStartElement() && xml.name() == u"title") title = xml.readElementText();
    if (xml.isStartElement() && xml.name() == u"text") words += xml.readElementText() + '\n';
  }
  CHECK_FALSE(xml.hasError());
  CHECK(images == 0);
  CHECK(title.contains("Which opens first: fuse, thermistor or wire"));
  for (const auto& picture : three) {
    CHECK(words.contains(QString::fromStdString(picture.title)));
    CHECK(words.contains(QString::fromStdString(picture.across.title)));
  }
  CHECK(words.contains("winding and thermistor, °C"));
  CHECK(words.contains("tailgate, winding class: 155 °C"));
  CHECK(words.contains("fuse protects the wire"));
}

TEST_CASE("files: svg of long lines stays small and keeps their peaks") {
  report::Picture picture = tests::small_picture();
  picture.lines.clear();
  for (std::size_t line = 0; line < 3; ++line) {
    picture.lines.push_back(tests::line("line " + std::to_string(line), {}, {}, line));
    for (long k = 0; k < 20000; ++k) {
      picture.lines[line].x.push_back(static_cast<double>(k) * 1e-3);
      picture.lines[line].y.push_back(30.0 * static_cast<double>(line) +
                                      static_cast<double>(k * 7919 % 1000) * 0.01);
    }
  }
  const QByteArray svg = draw_pictures({picture}, FileKind::svg, {});
  CHECK(svg.size() < 400000);
  CHECK(svg.size() > 50000);
}

TEST_CASE("files: pdf with a page a picture and letters that can be read") {
  const QByteArray pdf = draw_pictures(three, FileKind::pdf, {});
  CHECK(pdf.startsWith("%PDF"));
  CHECK(pdf.count("/Type /Page\n") == 3);
  CHECK_FALSE(pdf.contains("CreationDate"));
  CHECK(pdf.contains("/FontFile2"));
  const QString tool = QStandardPaths::findExecutable("pdftotext");
  if (tool.isEmpty()) return;
  QProcess process;
  process.start(tool, {"-layout", "-", "-"});
  process.write(pdf);
  process.closeWriteChannel();
  REQUIRE(process.waitForFinished());
  // Ligatures ("fi") as the letters that they stand for.
  const QString words =
      QString::fromUtf8(process.readAllStandardOutput()).normalized(QString::NormalizationForm_KC);
  for (const auto& picture : three) CHECK(words.contains(QString::fromStdString(picture.title)));
}

TEST_CASE("files: the same pictures give the same bytes") {
  for (const FileKind kind : {FileKind::png, FileKind::svg, FileKind::pdf}) {
    CHECK(draw_pictures(three, kind, {}) == draw_pictures(three, kind, {}));
  }
  CHECK(draw_pictures({three[0]}, FileKind::svg, {}) != draw_pictures({three[1]}, FileKind::svg, {}));
}

TEST_CASE("files: whole or not at all") {
  const QTemporaryDir folder;
  const QString path = folder.filePath("picture.svg");
  const std::vector<report::Picture> one{tests::small_picture()};
  charts::write_pictures(one, path.toStdString(), {}, false);
  const std::string first = bytes_of(path);
  CHECK(first == draw_pictures(one, FileKind::svg, {}).toStdString());
  CHECK_THROWS_AS(charts::write_pictures(three, path.toStdString(), {}, false), base::UsageError);
  CHECK(bytes_of(path) == first);
  charts::write_pictures(three, path.toStdString(), {}, true);
  CHECK(bytes_of(path) != first);
  const std::string elsewhere = folder.filePath("no-such-folder/picture.png").toStdString();
  CHECK_THROWS_AS(charts::write_pictures(one, elsewhere, {}, false), base::UsageError);
  CHECK_THROWS_WITH(charts::write_pictures(one, folder.filePath("picture.jpg").toStdString(), {}, false),
                    Catch::Contains(".png, .svg or .pdf"));
  CHECK(QDir(folder.path()).entryList(QDir::Files) == QStringList{"picture.svg"});
}

TEST_CASE("files: the command line's writer") {
  const QTemporaryDir folder;
  const auto writer = report::make_picture_writer();
  REQUIRE(writer != nullptr);
  std::string why;
  CHECK(writer->accepts("a.svg", why));
  CHECK_FALSE(writer->accepts("a.gif", why));
  CHECK(why.find(".png, .svg or .pdf") != std::string::npos);
  const QString path = folder.filePath("picture.pdf");
  writer->write({tests::small_picture()}, path.toStdString(), false);
  CHECK(bytes_of(path).starts_with("%PDF"));
}

TEST_CASE("files: a million samples draw") {
  report::Picture picture = tests::small_picture();
  picture.lines.resize(1);
  picture.lines[0].x.clear();
  picture.lines[0].y.clear();
  for (long k = 0; k < 1000000; ++k) {
    picture.lines[0].x.push_back(static_cast<double>(k) * 2e-5);
    picture.lines[0].y.push_back(20 + static_cast<double>(k * 7919 % 1000) * 0.03);
  }
  picture.lines[0].y[654321] = 100;  // one sample at 13.1 s
  const QImage image = charts::draw_image(picture, 1280, 800, 1, {});
  // The spike is drawn: ink of the line's colour well above the rest, at two thirds of the width.
  bool found = false;
  for (int x = image.width() / 2; x < image.width() * 4 / 5; ++x) {
    const QColor color = image.pixelColor(x, 300);
    found = found || (color.blue() > color.red() + 60);
  }
  CHECK(found);
}

// SPDX-License-Identifier: GPL-3.0-or-later
#include "charts/write_pictures.h"

#include <QBuffer>
#include <QCoreApplication>
#include <QGraphicsLayout>
#include <QGraphicsScene>
#include <QHashFunctions>
#include <QPageLayout>
#include <QPainter>
#include <QPdfWriter>
#include <QStringList>
#include <QSvgGenerator>
#include <algorithm>
#include <cctype>
#include <cmath>

#include "base/failure.h"
#include "charts/palette.h"
#include "charts/picture_chart.h"
#include "charts/tidy_svg.h"
#include "io/files.h"

namespace latchwright::charts {

namespace {

constexpr QSize picture_size(1280, 800);
constexpr int png_scale = 2;
constexpr double pdf_width = 1120;  // on which the letters have a reader's size when it fills A4 across

/// For a picture so wide.
QFont file_font(double width) {
  // The same on every machine with the same fonts, whatever its desktop is set to.
  QFont font(QStringLiteral("DejaVu Sans"));
  font.setStyleHint(QFont::SansSerif);
  font.setPixelSize(width < 1000 ? 12 : 14);
  font.setHintingPreference(QFont::PreferNoHinting);
  return font;
}

QString joined(const std::vector<report::Picture>& pictures, std::string report::Picture::*text) {
  QStringList all;
  for (const auto& picture : pictures) {
    const QString one = QString::fromStdString(picture.*text);
    if (!one.isEmpty() && !all.contains(one)) all.push_back(one);
  }
  return all.join(QStringLiteral("; "));
}

QImage blank(QSize size, double scale, const Style& style) {
  QImage image(size, QImage::Format_RGB32);
  if (image.isNull()) throw base::UsageError("the picture is too large to be drawn");
  image.fill(ground(style.dark).paper);
  const int dots_per_meter = qRound(96 * scale / 0.0254);
  image.setDotsPerMeterX(dots_per_meter);
  image.setDotsPerMeterY(dots_per_meter);
  return image;
}

QByteArray draw_png(const std::vector<report::Picture>& pictures, const Style& style) {
  const QSize one = picture_size * png_scale;
  QImage image = blank({one.width(), one.height() * static_cast<int>(pictures.size())}, png_scale, style);
  QPainter painter(&image);
  for (std::size_t k = 0; k < pictures.size(); ++k) {
    const QRectF target(QPointF(0, one.height() * static_cast<double>(k)), one);
    paint_picture(painter, target, pictures[k], picture_size, style);
  }
  painter.end();
  QByteArray bytes;
  QBuffer buffer(&bytes);
  buffer.open(QIODevice::WriteOnly);
  image.save(&buffer, "PNG");
  return bytes;
}

QByteArray draw_svg(const std::vector<report::Picture>& pictures, const Style& style) {
  QByteArray bytes;
  QBuffer buffer(&bytes);
  buffer.open(QIODevice::WriteOnly);
  const QSize whole(picture_size.width(), picture_size.height() * static_cast<int>(pictures.size()));
  QSvgGenerator svg;
  svg.setOutputDevice(&buffer);
  svg.setResolution(96);
  svg.setSize(whole);
  svg.setViewBox(QRect(QPoint(0, 0), whole));
  svg.setTitle(joined(pictures, &report::Picture::title));
  svg.setDescription(joined(pictures, &report::Picture::condition));
  QPainter painter(&svg);
  for (std::size_t k = 0; k < pictures.size(); ++k) {
    const QRectF target(QPointF(0, picture_size.height() * static_cast<double>(k)), picture_size);
    paint_picture(painter, target, pictures[k], picture_size, style);
  }
  painter.end();
  return tidy_svg(bytes);
}

QByteArray draw_pdf(const std::vector<report::Picture>& pictures, const Style& style) {
  const SteadyHashes steady;
  QByteArray bytes;
  QBuffer buffer(&bytes);
  buffer.open(QIODevice::WriteOnly);
  QPdfWriter pdf(&buffer);
  pdf.setTitle(joined(pictures, &report::Picture::title));
  pdf.setCreator(QStringLiteral("Latchwright"));
  pdf.setResolution(300);
  pdf.setPageLayout(QPageLayout(QPageSize(QPageSize::A4), QPageLayout::Landscape, QMarginsF(8, 8, 8, 8)));
  QPainter painter(&pdf);
  for (std::size_t k = 0; k < pictures.size(); ++k) {
    if (k > 0) pdf.newPage();
    const QRectF page(QPointF(0, 0), QSizeF(pdf.width(), pdf.height()));
    paint_picture(painter, page, pictures[k], {pdf_width, pdf_width * page.height() / page.width()}, style);
  }
  painter.end();
  blank_date(bytes);
  return bytes;
}

}  // namespace

void paint_picture(QPainter& painter, const QRectF& target, const report::Picture& picture,
                   const QSizeF& size, const Style& style) {
  QGraphicsScene scene;
  auto* chart = make_picture_chart(picture, style, file_font(size.width())).release();
  scene.addItem(chart);
  chart->resize(size);
  // What a window would do when it is idle.
  QCoreApplication::sendPostedEvents(chart, QEvent::LayoutRequest);
  chart->layout()->activate();
  painter.setRenderHints(QPainter::Antialiasing | QPainter::TextAntialiasing);
  scene.render(&painter, target, QRectF(QPointF(0, 0), size), Qt::IgnoreAspectRatio);
}

QSizeF page_picture_size(const report::Picture& picture, const Style& style) {
  // Beside words and legend there is room for a plot that one can read off.
  constexpr double width = 860, usual_height = 470, more_than_least = 110;
  const auto chart = make_picture_chart(picture, style, file_font(width));
  return {width, std::max(usual_height, chart->leastHeight(width) + more_than_least)};
}

QByteArray draw_svg_element(const report::Picture& picture, const Style& style) {
  const QSize size = page_picture_size(picture, style).toSize();
  QByteArray bytes;
  QBuffer buffer(&bytes);
  buffer.open(QIODevice::WriteOnly);
  QSvgGenerator svg;
  svg.setOutputDevice(&buffer);
  svg.setResolution(96);
  svg.setSize(size);
  svg.setViewBox(QRect(QPoint(0, 0), size));
  QPainter painter(&svg);
  paint_picture(painter, QRectF(QPointF(0, 0), size), picture, size, style);
  painter.end();
  const QByteArray whole = tidy_svg(bytes);
  // From the groups on: the head has a size in mm, a title, and names that are not used.
  const qsizetype content = whole.indexOf("<g "), end = whole.lastIndexOf("</svg>");
  base::require(content > 0 && end > content, "a drawing has content");
  return QByteArrayLiteral("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 ") +
         QByteArray::number(size.width()) + ' ' + QByteArray::number(size.height()) + "\">\n" +
         whole.mid(content, end - content) + "</svg>";
}

SteadyHashes::SteadyHashes() { QHashSeed::setDeterministicGlobalSeed(); }
SteadyHashes::~SteadyHashes() { QHashSeed::resetRandomGlobalSeed(); }

void blank_date(QByteArray& pdf) {
  const qsizetype start = pdf.indexOf("/CreationDate");
  const qsizetype end = start < 0 ? -1 : pdf.indexOf('\n', start);
  if (end < 0) return;
  // A date is longer away from Greenwich ("+14'00'" for "Z"): always as much room, and places in the file by that.
  constexpr qsizetype room = 48;
  const qsizetype longer = room - (end - start);
  pdf.replace(start, end - start, QByteArray(room, ' '));
  const qsizetype table = pdf.lastIndexOf("\nxref\n"), trailer = pdf.lastIndexOf("trailer");
  base::require(table > start && trailer > table, "a PDF ends with its table of places");
  constexpr qsizetype entry = 20, digits = 10;
  for (qsizetype at = pdf.indexOf('\n', table + 6) + 1; at + entry <= trailer; at += entry) {
    const qsizetype place = pdf.mid(at, digits).toLongLong();
    if (place > start) pdf.replace(at, digits, QByteArray::number(place + longer).rightJustified(digits, '0'));
  }
  const qsizetype last = pdf.lastIndexOf("startxref\n") + 10, stop = pdf.indexOf('\n', last);
  pdf.replace(last, stop - last, QByteArray::number(table + 1));
}

std::optional<FileKind> file_kind(const std::string& path) {
  std::string ending = path.substr(std::min(path.rfind('.'), path.size()));
  std::transform(ending.begin(), ending.end(), ending.begin(),
                 [](unsigned char c) { return std::tolower(c); });
  if (ending == ".png") return FileKind::png;
  if (ending == ".svg") return FileKind::svg;
  if (ending == ".pdf") return FileKind::pdf;
  return std::nullopt;
}

QByteArray draw_pictures(const std::vector<report::Picture>& pictures, FileKind kind, const Style& style) {
  base::require(!pictures.empty(), "a file of pictures has at least one");
  switch (kind) {
    case FileKind::png:
      return draw_png(pictures, style);
    case FileKind::svg:
      return draw_svg(pictures, style);
    case FileKind::pdf:
      return draw_pdf(pictures, style);
  }
  throw base::InternalError("a kind of file without a painter");
}

void write_pictures(const std::vector<report::Picture>& pictures, const std::string& path, const Style& style,
                    bool overwrite) {
  const auto kind = file_kind(path);
  if (!kind) throw base::UsageError(path + ": pictures go into files that end in .png, .svg or .pdf");
  const QByteArray bytes = draw_pictures(pictures, *kind, style);
  io::save_text(path, bytes.toStdString(), overwrite);
}

QImage draw_image(const report::Picture& picture, int width, int height, double scale, const Style& style) {
  QImage image = blank(QSize(qRound(width * scale), qRound(height * scale)), scale, style);
  QPainter painter(&image);
  paint_picture(painter, image.rect(), picture, QSizeF(width, height), style);
  return image;
}

}  // namespace latchwright::charts

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QByteArray>
#include <QImage>
#include <QPainter>
#include <QRectF>
#include <QSizeF>
#include <optional>
#include <string>
#include <vector>

#include "charts/chart.h"

namespace latchwright::charts {

/// Kinds of file that pictures go into, by the file name's ending.
enum class FileKind { png, svg, pdf };
/// None for another ending.
std::optional<FileKind> file_kind(const std::string& path);

/// The pictures one below the other as the bytes of such a file. Needs a QApplication (offscreen will do).
QByteArray draw_pictures(const std::vector<report::Picture>& pictures, FileKind kind, const Style& style);

/// Writes them whole or not at all. Throws base::UsageError saying what stood in the way.
void write_pictures(const std::vector<report::Picture>& pictures, const std::string& path, const Style& style,
                    bool overwrite);

/// One picture as an <svg> element to stand inside a page of HTML: no prolog, no size of its own, one XML namespace.
QByteArray draw_svg_element(const report::Picture& picture, const Style& style);

/// Draws a picture into the target as if it were a chart so many pixels wide; letters and lines grow with it.
void paint_picture(QPainter& painter, const QRectF& target, const report::Picture& picture, const QSizeF& size,
                   const Style& style);
/// How large a picture is that stands between the texts of a page: letters have a reader's size on A4 upright.
QSizeF page_picture_size(const report::Picture& picture, const Style& style);

/// While it lives, new hashes are in the same order in every process: Qt's PDF engine keeps its fonts in one and writes
/// them in its order.
class SteadyHashes {
 public:
  SteadyHashes();
  ~SteadyHashes();
  SteadyHashes(const SteadyHashes&) = delete;
  SteadyHashes& operator=(const SteadyHashes&) = delete;
};

/// Qt writes the time of day into a PDF: blanks in its place, so that the same content is the same file.
void blank_date(QByteArray& pdf);

/// One picture as an image of width x height times `scale` pixels; letters and lines grow with the scale.
QImage draw_image(const report::Picture& picture, int width, int height, double scale, const Style& style);

}  // namespace latchwright::charts

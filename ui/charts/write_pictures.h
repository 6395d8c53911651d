// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QByteArray>
#include <QImage>
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

/// One picture as an image of width x height times `scale` pixels; letters and lines grow with the scale.
QImage draw_image(const report::Picture& picture, int width, int height, double scale, const Style& style);

}  // namespace latchwright::charts

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "report/job_sheet.h"
#include "report/picture.h"

namespace latchwright::report {

/// Draws pictures into files: the one way from the command line to what draws, which is no part of src/.
class PictureWriter {
 public:
  virtual ~PictureWriter() = default;
  /// Whether the file name's ending is one that it can write (.png, .svg, .pdf); says which in `why` where
  /// not.
  virtual bool accepts(const std::string& path, std::string& why) const = 0;
  /// All pictures, one below the other, into one file, whole or not at all. An existing file is only replaced
  /// with `overwrite`. Throws base::UsageError saying what stood in the way.
  virtual void write(const std::vector<Picture>& pictures, const std::string& path, bool overwrite) = 0;
  /// One picture as an svg element, to stand inside a page: as wide as that leaves it, no prolog, no names from elsewhere.
  virtual std::string svg(const Picture& picture) = 0;
  /// The bytes of the sheet's pages as a PDF; the same sheet gives the same bytes.
  virtual std::string sheet_pdf(const JobSheet& sheet, Paper paper) = 0;
};

/// What draws, or null where this build has nothing that does. Defined in ui/charts; by cli/no_pictures.cpp
/// in a build without Qt.
std::unique_ptr<PictureWriter> make_picture_writer();

}  // namespace latchwright::report

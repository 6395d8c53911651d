// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <vector>

#include "cli/options.h"
#include "report/picture_writer.h"

namespace latchwright::cli {

/// Makes what draws; null where this build has nothing that does. Called only where --plot asks for a
/// picture.
using MakePictureWriter = std::unique_ptr<report::PictureWriter> (*)();

/// What --plot asks for.
class Plot {
 public:
  /// Refuses a file name that no picture can go into, and --plot at all where this build cannot draw, before
  /// the work starts. Throws base::UsageError.
  Plot(const Options& options, MakePictureWriter make_writer);

  bool wanted() const { return writer_ != nullptr; }
  /// Into the file of --plot. Throws base::UsageError.
  void write(const std::vector<report::Picture>& pictures);

 private:
  std::string path_;
  bool overwrite_;
  std::unique_ptr<report::PictureWriter> writer_;
};

}  // namespace latchwright::cli

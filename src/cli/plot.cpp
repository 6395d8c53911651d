// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/plot.h"

#include <fmt/format.h>

#include "base/failure.h"

namespace latchwright::cli {

Plot::Plot(const Options& options, MakePictureWriter make_writer)
    : path_(options.plot), overwrite_(options.force) {
  if (path_.empty()) return;
  writer_ = make_writer();
  if (!writer_) {
    throw base::UsageError(
        "--plot: this program was built without Qt and cannot draw (configure with LATCHWRIGHT_QT=ON); --csv "
        "writes the figures");
  }
  std::string why;
  if (!writer_->accepts(path_, why)) throw base::UsageError(fmt::format("--plot: {}: {}", path_, why));
}

void Plot::write(const std::vector<report::Picture>& pictures) {
  if (wanted()) writer_->write(pictures, path_, overwrite_);
}

}  // namespace latchwright::cli

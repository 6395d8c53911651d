// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "base/issue.h"
#include "model/catalogue.h"
#include "model/study.h"

namespace latchwright::io {

/// The built-in parts and then the user's part files, later ones winning on the same id. Faults of every file at
/// once, dangling references included.
base::Checked<model::Catalogue> load_catalogue(const std::vector<std::string>& user_files);

/// The same without the broken parts of the user's files, and without what refers to them; their faults go to
/// `left_out`. A file that cannot be read as one of parts is a fault still.
base::Checked<model::Catalogue> load_sound_catalogue(const std::vector<std::string>& user_files,
                                                     base::Issues& left_out);

/// A job file to a checked study; every fault at once.
base::Checked<model::Study> load_job(const std::string& path, const model::Catalogue& parts);

/// Writes `text` to `path` whole or not at all: to a temporary beside it, flushed, then renamed. An existing file is
/// only replaced with `overwrite`. Throws base::UsageError saying what stood in the way.
void save_text(const std::string& path, const std::string& text, bool overwrite);

}  // namespace latchwright::io

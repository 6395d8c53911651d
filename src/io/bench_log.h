// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

#include "base/issue.h"
#include "model/measurement.h"

namespace latchwright::io {

inline constexpr std::size_t most_log_bytes = 128u << 20;   ///< of one file
inline constexpr std::size_t most_log_samples = 4'000'000;  ///< of one log
inline constexpr std::size_t most_log_faults = 12;          ///< lines told of one file

/// A log as loggers write it (docs/files.md, "Bench logs") in SI units. Faults, each with its line: columns
/// that are missing, stand twice or have an unknown unit; fields that are no numbers or out of range; times
/// that do not rise. `file` is for fault texts and the log's name.
base::Checked<model::BenchLog> parse_bench_log(std::string_view text, const std::string& file);

/// Reads and parses a file.
base::Checked<model::BenchLog> read_bench_log(const std::string& path);

}  // namespace latchwright::io

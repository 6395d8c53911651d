// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cli/options.h"
#include "cli/plot.h"
#include "model/study.h"

namespace latchwright::cli {

/// Exit codes of the program.
inline constexpr int exit_good = 0;
inline constexpr int exit_fails = 1;
inline constexpr int exit_bad_input = 2;
inline constexpr int exit_unsolved = 3;
inline constexpr int exit_cancelled = 130;  ///< as shells count an interrupt

// One function a verb; each returns the exit code.
int run_new(const Options& options);
int run_check(const Options& options, Plot& plot);
int run_size(const Options& options, Plot& plot);
int run_stall(const Options& options, Plot& plot);
int run_cycle(const Options& options, Plot& plot);
int run_curves(const Options& options, Plot& plot);
int run_map(const Options& options, Plot& plot);
int run_parts(const Options& options);
int run_spread(const Options& options, Plot& plot);
int run_join(const Options& options, Plot& plot);
int run_triage(const Options& options);
int run_bench(const Options& options, Plot& plot);
int run_fit(const Options& options, Plot& plot);
int run_sheet(const Options& options, MakePictureWriter make_writer);

/// Parses, runs the verb, and maps every failure to its exit code and its line on standard error.
int run_program(int argc, const char* const* argv, MakePictureWriter make_writer);

/// A job loaded for a verb: the study of the doors that take part, and where each stood in the file.
struct LoadedJob {
  model::Study study;
  std::vector<std::size_t> file_index;  ///< of each door
  model::Job whole;                     ///< as the file has it, with all doors
};

/// Reads parts and job, open references and all; faults go to standard error, one line each, and the result is empty.
std::optional<LoadedJob> load_open_for(const Options& options);

/// The same, where an unfinished job is a fault too, one line per open reference.
std::optional<LoadedJob> load_for(const Options& options);

/// A pointer into the study's doors as one into the file's.
std::string into_file(const std::string& pointer, const std::vector<std::size_t>& file_index);

/// Refuses to write over the job or a part file that the command reads, under whatever name, over a file that exists
/// (but for --force, or --replace where --force is something else), and two results into one file. Throws base::UsageError.
void guard_files(const Options& options);

}  // namespace latchwright::cli

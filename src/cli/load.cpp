// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "base/failure.h"
#include "base/text.h"
#include "base/worker_pool.h"
#include "cli/console.h"
#include "cli/verbs.h"
#include "io/files.h"

namespace latchwright::cli {

namespace {

/// Indices of the doors asked for, in the file's order.
std::vector<std::size_t> chosen_doors(const Options& options, const model::Job& job) {
  std::vector<std::string> names;
  for (const auto& door : job.doors) names.push_back(door.name);
  for (const auto& wanted : options.doors) {
    if (std::find(names.begin(), names.end(), wanted) != names.end()) continue;
    const std::string near = base::nearest_word(wanted, names);
    throw base::UsageError(fmt::format("--door: {} has no door \"{}\"{}", options.job,
                                       base::printable(wanted),
                                       near.empty() ? fmt::format(" (it has {})", fmt::join(names, ", "))
                                                    : "; did you mean \"" + near + "\"?"));
  }
  std::vector<std::size_t> chosen;
  for (std::size_t k = 0; k < names.size(); ++k) {
    const bool wanted = options.doors.empty() || std::find(options.doors.begin(), options.doors.end(),
                                                           names[k]) != options.doors.end();
    if (wanted) chosen.push_back(k);
  }
  return chosen;
}

}  // namespace

std::string into_file(const std::string& pointer, const std::vector<std::size_t>& file_index) {
  constexpr std::string_view start = "/doors/";
  if (!pointer.starts_with(start)) return pointer;
  const std::size_t end = std::min(pointer.find('/', start.size()), pointer.size());
  const auto door = static_cast<std::size_t>(std::stoul(pointer.substr(start.size(), end - start.size())));
  return std::string(start) + std::to_string(file_index.at(door)) + pointer.substr(end);
}

std::optional<LoadedJob> load_open_for(const Options& options) {
  base::Issues left_out;
  const auto catalogue = options.skip_broken ? io::load_sound_catalogue(options.parts_files, left_out)
                                             : io::load_catalogue(options.parts_files);
  complain_of(left_out);
  if (!left_out.empty()) complain("the parts named above are left out; the others are used\n");
  if (!catalogue.ok()) complain_of(catalogue.issues());
  // The job's own faults are worth telling even when a part file is broken.
  const auto loaded = io::load_job(options.job, catalogue.ok() ? catalogue.value() : model::Catalogue());
  if (!loaded.ok() && catalogue.ok()) complain_of(loaded.issues());
  if (!catalogue.ok() || !loaded.ok()) return std::nullopt;

  LoadedJob job{loaded.value(), chosen_doors(options, loaded.value().job), loaded.value().job};
  model::Study& study = job.study;
  if (job.file_index.size() < study.job.doors.size()) {
    model::Job reduced = study.job;
    reduced.doors.clear();
    for (const std::size_t k : job.file_index) reduced.doors.push_back(study.job.doors[k]);
    auto checked = model::check_job(reduced, options.job, catalogue.value());
    base::require(checked.ok(), "a job with fewer doors is as lawful as before");
    study = std::move(checked.value());
  }
  return job;
}

std::optional<LoadedJob> load_for(const Options& options) {
  auto job = load_open_for(options);
  if (!job || job->study.complete()) return job;
  // Pointers as the file has them, where only some doors take part.
  for (const auto& open : job->study.not_chosen) {
    complain(fmt::format("{}: {}: is not chosen yet ({})\n", options.job,
                         into_file(open.pointer, job->file_index), open.what));
  }
  complain(fmt::format("Put parts there, or let them be chosen: latchwright size {} -o chosen.json\n",
                       options.job));
  return std::nullopt;
}

}  // namespace latchwright::cli

// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <filesystem>
#include <utility>

#include "base/failure.h"
#include "cli/verbs.h"

namespace latchwright::cli {

void guard_files(const Options& options) {
  std::vector<std::string> inputs = options.parts_files;
  if (!options.job.empty()) inputs.push_back(options.job);
  inputs.insert(inputs.end(), options.logs.begin(), options.logs.end());
  inputs.insert(inputs.end(), options.free_logs.begin(), options.free_logs.end());
  inputs.insert(inputs.end(), options.results.begin(), options.results.end());
  const std::pair<const char*, const std::string&> outputs[] = {
      {"--csv", options.csv}, {"--plot", options.plot}, {"-o", options.output}};
  for (const auto& [option, output] : outputs) {
    if (output.empty()) continue;
    for (const auto& input : inputs) {
      std::error_code problem;  // one of the two is not there: they are not the same
      if (std::filesystem::equivalent(output, input, problem) && !problem) {
        throw base::UsageError(fmt::format(
            "{}: {} is the same file as {}, which is read here; nothing was written", option, output, input));
      }
    }
    // Said before the work, and before another output is written; saving looks again.
    std::error_code problem;
    if (!options.force && std::filesystem::is_regular_file(output, problem)) {
      throw base::UsageError(fmt::format("{}: exists already; nothing was written ({} replaces it)", output,
                                         options.verb == "fit" ? "--replace" : "--force"));
    }
  }
  const auto place = [](const std::string& file) {
    return std::filesystem::absolute(file).lexically_normal();
  };
  for (const auto& one : outputs) {
    for (const auto& other : outputs) {
      if (&one >= &other || one.second.empty() || other.second.empty()) continue;
      if (place(one.second) != place(other.second)) continue;
      throw base::UsageError(
          fmt::format("{} and {}: both name {}; nothing was written", one.first, other.first, other.second));
    }
  }
}

}  // namespace latchwright::cli

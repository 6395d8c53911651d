// SPDX-License-Identifier: GPL-3.0-or-later
// latchwright_compare_cvode: random studies by the engine and by CVODE, held against each other. Exit code 1:
// some figure is beyond docs/model.md section 9, or more than 5 % of the studies are near an edge.
//
//   latchwright_compare_cvode [--studies N] [--seed S] [--first N] [--json FILE] [--jobs FOLDER]
//   latchwright_compare_cvode --extremes FILE
//
// --extremes: parts at the ends of what is lawful, a table of their figures instead;
// --json: the largest deviation of each figure; --jobs: the job file of every study that disagrees.
#include <fmt/format.h>

#include <cstdio>
#include <exception>
#include <fstream>
#include <stdexcept>

#include "io/json.h"
#include "reference/compare/compare.h"
#include "reference/compare/extreme_studies.h"

using namespace latchwright;

namespace {

struct Asked {
  std::size_t studies = 40, first = 0;
  std::uint64_t seed = 1;
  std::string json, jobs, extremes;
};

Asked read(int count, char** words) {
  Asked asked;
  for (int k = 1; k + 1 < count; k += 2) {
    const std::string option = words[k], value = words[k + 1];
    if (option == "--studies") {
      asked.studies = std::stoul(value);
    } else if (option == "--seed") {
      asked.seed = std::stoull(value);
    } else if (option == "--first") {
      asked.first = std::stoul(value);
    } else if (option == "--json") {
      asked.json = value;
    } else if (option == "--jobs") {
      asked.jobs = value;
    } else if (option == "--extremes") {
      asked.extremes = value;
    } else {
      throw std::runtime_error("unknown option " + option);
    }
  }
  if (count % 2 == 0) throw std::runtime_error(std::string("no value for ") + words[count - 1]);
  return asked;
}

void save(const std::string& path, const std::string& text) {
  std::ofstream out(path, std::ios::binary);
  out << text;
  if (!out.flush()) throw std::runtime_error("cannot write " + path);
}

int run(const Asked& asked) {
  if (!asked.extremes.empty()) {
    bool good = true;
    save(asked.extremes, tests::extremes_json(good));
    return good ? 0 : 1;
  }
  tests::Tally tally;
  for (std::size_t k = asked.first; k < asked.first + asked.studies; ++k) {
    const tests::StudyCase study = tests::random_study(asked.seed, k);
    const tests::Outcome outcome = tests::compare(study);
    tally.add(study, outcome);
    for (const auto& held : outcome.wrong) fmt::print("{}\n", held.text());
    if (!outcome.wrong.empty() && !asked.jobs.empty()) {
      const std::string job = io::write_json(model::write_job(study.study.job));
      save(fmt::format("{}/seed-{}-study-{}.json", asked.jobs, asked.seed, k), job);
    }
  }
  if (!asked.json.empty()) save(asked.json, tally.json());
  fmt::print("{} studies, {} figures: {} wrong, {} studies near an edge\n", tally.studies(), tally.figures(),
             tally.wrong().size(), tally.near_edges().size());
  return tally.good() ? 0 : 1;
}

}  // namespace

int main(int count, char** words) {
  try {
    return run(read(count, words));
  } catch (const std::exception& failure) {
    std::fprintf(stderr, "%s\n", failure.what());
    return 2;
  }
}

// SPDX-License-Identifier: GPL-3.0-or-later
// latchwright_random_jobs: accepted jobs drawn over all that the field tables permit, each through a stall
// and a short cycle. Exit code 1: a figure that cannot be, energy not found again, a study that could not go
// on, or too many that take more than the budget (lawful_run.h).
//
//   latchwright_random_jobs [--jobs N] [--seed S] [--first K] [--workers W] [--save FOLDER] [--write FOLDER]
//
// --jobs: accepted ones; --save: the job file of every one with a finding; --write: the job files of all,
// without a run.
#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <exception>
#include <fstream>
#include <stdexcept>

#include "base/worker_pool.h"
#include "io/json.h"
#include "load/lawful_job.h"
#include "load/lawful_run.h"

using namespace latchwright;

namespace {

struct Asked {
  std::size_t jobs = 1000, first = 0;
  std::uint64_t seed = 1;
  unsigned workers = base::available_workers();
  std::string save, write;
};

Asked read(int count, char** words) {
  Asked asked;
  if (count % 2 == 0) throw std::runtime_error(std::string("no value for ") + words[count - 1]);
  for (int k = 1; k + 1 < count; k += 2) {
    const std::string option = words[k], value = words[k + 1];
    if (option == "--jobs") {
      asked.jobs = std::stoul(value);
    } else if (option == "--seed") {
      asked.seed = std::stoull(value);
    } else if (option == "--first") {
      asked.first = std::stoul(value);
    } else if (option == "--workers") {
      asked.workers = static_cast<unsigned>(std::max(1ul, std::stoul(value)));
    } else if (option == "--write") {
      asked.write = value;
    } else if (option == "--save") {
      asked.save = value;
    } else {
      throw std::runtime_error("unknown option " + option);
    }
  }
  return asked;
}

void write_job(const std::string& folder, std::uint64_t seed, std::size_t index) {
  const std::string path = fmt::format("{}/seed-{}-job-{}.json", folder, seed, index);
  std::ofstream out(path, std::ios::binary);
  out << io::write_json(tests::lawful_job(seed, index));
  if (!out.flush()) throw std::runtime_error("cannot write " + path);
}

/// A figure and the job that gave the largest.
struct Largest {
  double value = 0;
  std::size_t job = 0;
  void take(double other, std::size_t of) {
    if (other <= value) return;
    value = other;
    job = of;
  }
};

class Counts {
 public:
  explicit Counts(const Asked& asked) : asked_(asked) {}

  void take(std::size_t index, const tests::LawfulRun& run) {
    ++drawn_;
    if (!run.accepted) {
      if (refused_++ < 3) fmt::print("job {} is refused: {}\n", index, run.refused);
      return;
    }
    ++accepted_;
    stall_.take(run.stall_s, index);
    cycles_.take(run.cycles_s, index);
    imbalance_.take(run.imbalance, index);
    if (run.imbalance > tests::owed_balance) ++off_balance_;
    if (!run.over_budget.empty()) {
      ++over_budget_;
      fmt::print("job {} is over the budget: {}\n", index, run.over_budget);
      save(index);
    }
    if (!run.unsolved.empty()) {
      ++unsolved_;
      fmt::print("job {} is given up: {}\n", index, run.unsolved);
    }
    if (!run.wrong.empty()) ++wrong_;
    for (const auto& text : run.wrong) fmt::print("job {}: {}\n", index, text);
    if (!run.unsolved.empty() || !run.wrong.empty()) save(index);
  }

  void print() const {
    const auto seed = asked_.seed;
    fmt::print(
        "seed {}: {} jobs accepted of {} drawn; {} with figures that cannot be, {} that could not go on, "
        "{} over the budget\n",
        seed, accepted_, drawn_, wrong_, unsolved_, over_budget_);
    fmt::print("longest stall {:.3f} s (job {}), longest cycles {:.3f} s (job {}), energies summed\n",
               stall_.value, stall_.job, cycles_.value, cycles_.job);
    fmt::print("largest share of energy not found again {:.2g} (job {}); {} jobs beyond the {:.0e} owed\n",
               imbalance_.value, imbalance_.job, off_balance_, tests::owed_balance);
  }

  std::size_t accepted() const { return accepted_; }
  bool good() const {
    const auto few = [this](std::size_t count, double most) {
      return static_cast<double>(count) <= std::max(1.0, most * static_cast<double>(accepted_));
    };
    return wrong_ == 0 && unsolved_ == 0 && few(over_budget_, tests::most_over_budget) &&
           few(off_balance_, tests::most_missing);
  }
  /// The draw is worth little where the checker refuses most of it.
  bool draws_well() const { return 2 * accepted_ >= drawn_; }

 private:
  void save(std::size_t index) const {
    if (!asked_.save.empty()) write_job(asked_.save, asked_.seed, index);
  }

  const Asked& asked_;
  std::size_t drawn_ = 0, accepted_ = 0, refused_ = 0, wrong_ = 0, unsolved_ = 0, over_budget_ = 0,
              off_balance_ = 0;
  Largest stall_, cycles_, imbalance_;
};

int run(const Asked& asked) {
  for (std::size_t k = 0; !asked.write.empty() && k < asked.jobs; ++k)
    write_job(asked.write, asked.seed, asked.first + k);
  if (!asked.write.empty()) return 0;
  Counts counts(asked);
  constexpr std::size_t at_once = 200;
  for (std::size_t next = asked.first; counts.accepted() < asked.jobs; next += at_once) {
    const std::size_t size = std::min(at_once, asked.jobs - counts.accepted());
    std::vector<tests::LawfulRun> runs(size);
    base::for_each_index(size, asked.workers,
                         [&](std::size_t k) { runs[k] = tests::run_lawful(asked.seed, next + k); });
    for (std::size_t k = 0; k < size; ++k) counts.take(next + k, runs[k]);
    std::fflush(stdout);
    if (size < at_once) next -= at_once - size;
    if (!counts.draws_well()) throw std::runtime_error("the checker refuses more than half of what is drawn");
  }
  counts.print();
  return counts.good() ? 0 : 1;
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

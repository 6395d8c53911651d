// SPDX-License-Identifier: GPL-3.0-or-later
// Reads a job, examines it and prints the weakest link: weakest_link JOB
#include <exception>
#include <iostream>

#include "base/progress.h"
#include "base/worker_pool.h"
#include "io/files.h"
#include "report/check_words.h"
#include "verdict/examine.h"

using namespace latchwright;

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "usage: weakest_link JOB\n";
    return 2;
  }
  try {
    // The built-in parts; files of your own parts would go into the list.
    const auto catalogue = io::load_catalogue({});
    const auto study = io::load_job(argv[1], catalogue.value());
    if (!study.ok()) {
      for (const auto& issue : study.issues()) std::cerr << issue.line() << '\n';
      return 2;
    }
    if (!study.value().complete()) {
      for (const auto& open : study.value().not_chosen) std::cerr << open.pointer << ": is not chosen yet\n";
      return 2;
    }
    base::NoProgress progress;
    const auto examination = verdict::examine(study.value(), base::available_workers(), progress);
    const auto& weakest = examination.worst[examination.weakest];
    std::cout << report::title_of(weakest.id) << ", " << report::where_of(study.value(), weakest) << ' '
              << report::at_text(weakest) << ": " << verdict::word_of(weakest.verdict) << '\n'
              << report::have_and_need(weakest) << '\n'
              << weakest.why << '\n';
    if (weakest.change) std::cout << "Cure: " << weakest.change->text << '\n';
    return examination.pass ? 0 : 1;
  } catch (const std::exception& error) {
    std::cerr << "weakest_link: " << error.what() << '\n';
    return 3;
  }
}

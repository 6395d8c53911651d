// SPDX-License-Identifier: GPL-3.0-or-later
// latchwright_desk_times JOB: milliseconds from an edit to its verdict, to the cures, and from a moved
// condition to what happens there, by the clock on the wall; from the program's start to the first window and
// to the first verdict. latchwright_desk_times JOB --start-only ends after the first paint, for a clock
// around the whole process.
#include <QApplication>
#include <algorithm>
#include <cstdio>
#include <vector>

#include "show/waiting.h"

using namespace latchwright;
using namespace latchwright::desk;

namespace {

void print(const char* what, std::vector<double> ms) {
  std::sort(ms.begin(), ms.end());
  const auto quick = std::lower_bound(ms.begin(), ms.end(), 100.0) - ms.begin();
  std::printf("%-44s median %6.1f ms, worst %6.1f ms; %td of %zu below 100 ms\n", what, ms[ms.size() / 2],
              ms.back(), quick, ms.size());
}

}  // namespace

int main(int argc, char** argv) {
  QElapsedTimer clock;
  clock.start();
  QApplication program(argc, argv);
  if (argc < 2) {
    std::fputs("latchwright_desk_times JOB [--start-only]\n", stderr);
    return 2;
  }
  const QTemporaryDir scratch;
  Preferences preferences(scratch.filePath(QStringLiteral("settings.ini")));
  apply_theme(program, Theme::light);
  Window window(preferences, scratch.filePath(QStringLiteral("rescue")));
  window.resize(1280, 800);
  window.show();
  window.begin(QString::fromLocal8Bit(argv[1]));
  QCoreApplication::processEvents();
  const double shown = static_cast<double>(clock.nsecsElapsed()) * 1e-6;
  if (argc > 2) return 0;
  if (!wait_until([&] { return window.computing().verdictTime() >= 0; })) return 1;
  const double judged = static_cast<double>(clock.nsecsElapsed()) * 1e-6;
  std::printf("%-44s %6.1f ms\n%-44s %6.1f ms\n", "start to the window with its job", shown,
              "start to the first verdict", judged);
  if (!wait_for_results(window)) return 1;

  std::vector<double> verdict, cures, told, whole, held;
  for (int k = 0; k < 40; ++k) {
    const double on_s = 0.4 + 0.01 * k;
    QElapsedTimer edited;
    edited.start();
    window.document().edit({{"/pulse/on_s", model::Raw(on_s)}}, QStringLiteral("pulse"));
    held.push_back(static_cast<double>(edited.nsecsElapsed()) * 1e-6);
    if (!wait_for_results(window)) return 1;
    verdict.push_back(window.computing().verdictTime());
    cures.push_back(window.computing().curesTime());
  }
  for (const auto& link : report::links_of(*window.document().study())) {
    for (const double ambient : {-20.0, 23.0, 80.0}) {
      auto look = window.strip().look();
      look.ambient_C = ambient;
      window.strip().setLook(look);
      QElapsedTimer moved;
      moved.start();
      window.chooseLink(link);
      if (!wait_until([&] { return window.computing().lookTime() >= 0; })) return 1;
      told.push_back(window.computing().lookTime());
      if (!wait_for_results(window)) return 1;
      whole.push_back(static_cast<double>(moved.nsecsElapsed()) * 1e-6);
    }
  }
  print("edit holds the window", held);
  print("edit to verdict", verdict);
  print("edit to cures", cures);
  print("moved condition to what happens there", told);
  print("moved condition to all pictures drawn", whole);
  return 0;
}

// SPDX-License-Identifier: GPL-3.0-or-later
// latchwright_desk_soak JOB SECONDS [SEED]: edits, undoes, looks, draws, opens, cancels and saves without
// end, and tells how much memory the program holds, once a minute. Ends with 1 where memory grows by more
// than a tenth after the first quarter. JOB: what is opened, with the other jobs of its folder.
#include <unistd.h>
#include <QApplication>
#include <QDir>
#include <QFile>
#include <QPushButton>
#include <cstdio>
#include <fstream>
#include <random>

#include <QTest>

#include "show/waiting.h"

using namespace latchwright;
using namespace latchwright::desk;

namespace {

/// MiB of memory that the process holds (resident set).
double held_MiB() {
  std::ifstream statm("/proc/self/statm");
  long whole = 0, resident = 0;
  statm >> whole >> resident;
  return static_cast<double>(resident) * static_cast<double>(sysconf(_SC_PAGESIZE)) / (1 << 20);
}

class Fingers {
 public:
  Fingers(Window& window, QStringList jobs, unsigned seed)
      : window_(window), jobs_(std::move(jobs)), random_(seed) {}
  long edits = 0, refused = 0, looks = 0, saves = 0, undone = 0, opens = 0, cancels = 0;

  /// One thing that a user does.
  void act() {
    const auto& study = *window_.document().study();
    const auto door = std::to_string(pick(study.doors.size()));
    switch (pick(14)) {
      case 0:
        return edit("/pulse/on_s", share(0.2, 1.2));
      case 1:
        return edit("/use/gap_s", share(0, 8));
      case 2:
        return edit("/doors/" + door + "/branch_length_m", share(1, 8));
      case 3:
        return edit("/feed/length_m", share(1, 6));
      case 4:
        return edit("/doors/" + door + "/stroke_mm", share(-5, 24));  // some are out of range
      case 5:
        return edit("/climate/hot_C", share(10, 90));  // some are out of order
      case 6: {
        static const char* const wires[] = {"wire-0.75", "wire-1.0", "wire-1.5", "wire-2.5"};
        window_.document().edit({{"/doors/" + door + "/wire", model::Raw(wires[pick(4)])}},
                                QStringLiteral("wire"));
        ++edits;
        return;
      }
      case 7:
        for (std::size_t k = pick(6); k > 0; --k) window_.document().undoStack().undo(), ++undone;
        return;
      case 8:
        for (std::size_t k = pick(4); k > 0; --k) window_.document().undoStack().redo();
        return;
      case 9: {
        const auto links = report::links_of(study);
        window_.chooseLink(links[pick(links.size())]);
        ++looks;
        return;
      }
      case 10: {
        auto look = window_.strip().look();
        look.ambient_C = share(-30, 90);
        look.voltage_V = share(8, 16);
        window_.strip().setLook(look);
        window_.chooseLink(window_.run().chosen());
        ++looks;
        return;
      }
      case 11:
        // As after "Discard": what was changed is gone.
        window_.document().open(jobs_[static_cast<qsizetype>(pick(static_cast<std::size_t>(jobs_.size())))]);
        ++opens;
        return;
      case 12:
        if (auto* cancel = cancel_button(); cancel && cancel->isVisible()) cancel->click(), ++cancels;
        // What was cancelled begins again with the next change.
        return edit("/pulse/on_s", share(0.2, 1.2));
      default:
        window_.document().saveAnyway();
        ++saves;
    }
  }
  bool often() { return pick(4) == 0; }

 private:
  std::size_t pick(std::size_t count) {
    return std::uniform_int_distribution<std::size_t>(0, count - 1)(random_);
  }
  double share(double low, double high) { return std::uniform_real_distribution<double>(low, high)(random_); }
  void edit(const std::string& pointer, double value) {
    const bool taken =
        window_.document().edit({{pointer, model::Raw(value)}}, QStringLiteral("a number")).empty();
    taken ? ++edits : ++refused;
    if (!taken && often()) window_.document().dropRefused(pointer);
  }

  QPushButton* cancel_button() const {
    for (auto* button : window_.findChildren<QPushButton*>()) {
      if (button->text() == Window::tr("Cancel")) return button;
    }
    return nullptr;
  }

  Window& window_;
  QStringList jobs_;
  std::mt19937 random_;
};

}  // namespace

int main(int argc, char** argv) {
  QApplication program(argc, argv);
  if (argc < 3) {
    std::fputs("latchwright_desk_soak JOB SECONDS [SEED]\n", stderr);
    return 2;
  }
  const double seconds = std::atof(argv[2]);
  const QTemporaryDir scratch;
  const QString first = QFileInfo(QString::fromLocal8Bit(argv[1])).fileName();
  QStringList jobs;
  for (const QFileInfo& file :
       QFileInfo(QString::fromLocal8Bit(argv[1])).dir().entryInfoList({QStringLiteral("*.json")})) {
    jobs.append(scratch.filePath(file.fileName()));
    QFile::copy(file.filePath(), jobs.back());
    QFile(jobs.back()).setPermissions(QFile::ReadOwner | QFile::WriteOwner);
  }
  Preferences preferences(scratch.filePath(QStringLiteral("settings.ini")));
  Window window(preferences, scratch.filePath(QStringLiteral("rescue")));
  window.resize(1280, 800);
  window.show();
  window.begin(scratch.filePath(first));
  Fingers fingers(window, jobs, argc > 3 ? static_cast<unsigned>(std::atoi(argv[3])) : 1);
  QElapsedTimer clock;
  clock.start();
  double quarter = 0, next_s = 0;
  const auto now = [&] { return static_cast<double>(clock.elapsed()) * 1e-3; };
  while (now() < seconds) {
    fingers.act();
    // Sometimes the user waits for the result, sometimes the next edit comes before.
    if (fingers.often()) {
      if (!wait_for_results(window)) return 1;
    } else {
      QTest::qWait(5);
    }
    if (now() >= next_s) {
      std::printf(
          "%6.0f s  %7.1f MiB  %ld edits, %ld refused, %ld undone, %ld looks, %ld saves, %ld opens, %ld "
          "cancels, %zu bytes to undo\n",
          now(), held_MiB(), fingers.edits, fingers.refused, fingers.undone, fingers.looks, fingers.saves,
          fingers.opens, fingers.cancels, window.document().undoBytes());
      std::fflush(stdout);
      next_s += 60;
    }
    if (quarter == 0 && now() > seconds / 4) quarter = held_MiB();
  }
  const double end = held_MiB();
  std::printf("after a quarter %.1f MiB, at the end %.1f MiB, %ld edits\n", quarter, end, fingers.edits);
  window.recovery().forget();
  return end > 1.1 * quarter ? 1 : 0;
}

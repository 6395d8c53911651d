// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QCoreApplication>
#include <QElapsedTimer>
#include <QTemporaryDir>
#include <QTimer>

#include "desk/window.h"

namespace latchwright::desk {

/// Lets events run, asleep between them as a user's program is, until done() says so; false after a minute.
template <class Done>
bool wait_until(Done done) {
  constexpr int longest_ms = 60000;
  QElapsedTimer since;
  since.start();
  QTimer alarm;  // wakes the loop when nothing else does
  alarm.start(longest_ms);
  while (!done()) {
    if (since.elapsed() >= longest_ms) return false;
    QCoreApplication::processEvents(QEventLoop::WaitForMoreEvents);
  }
  return true;
}

/// Until verdict, cures and look are those of the job as it stands; false after a minute.
inline bool wait_for_results(Window& window) {
  return wait_until([&] {
    const auto& verdict = window.computing().verdict();
    const bool judged = verdict.current && (!verdict.examined || verdict.cures_known);
    return judged && window.computing().lookIsCurrent() && !window.computing().isBusy();
  });
}

}  // namespace latchwright::desk

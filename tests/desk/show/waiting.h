// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QCoreApplication>
#include <QElapsedTimer>
#include <QTemporaryDir>
#include <QTest>

#include "desk/window.h"

namespace latchwright::desk {

/// Lets events run until verdict, cures and look are those of the job as it stands; false after a minute.
inline bool wait_for_results(Window& window) {
  return QTest::qWaitFor(
      [&] {
        const auto& verdict = window.computing().verdict();
        const bool judged = verdict.current && (!verdict.examined || verdict.cures_known);
        return judged && window.computing().lookIsCurrent() && !window.computing().isBusy();
      },
      60000);
}

}  // namespace latchwright::desk

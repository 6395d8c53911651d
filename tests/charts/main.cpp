// SPDX-License-Identifier: GPL-3.0-or-later
#include <QApplication>

#include "support/catch_runner.h"

int main(int argc, char** argv) {
  // Qt Charts needs an application; the tests need no display.
  qputenv("QT_QPA_PLATFORM", "offscreen");
  const QApplication application(argc, argv);
  return latchwright::tests::run_catch(argc, argv);
}

// SPDX-License-Identifier: GPL-3.0-or-later
#define CATCH_CONFIG_RUNNER
#include <QApplication>
#include <catch2/catch.hpp>

int main(int argc, char** argv) {
  // Qt Charts needs an application; the tests need no display.
  qputenv("QT_QPA_PLATFORM", "offscreen");
  const QApplication application(argc, argv);
  return Catch::Session().run(argc, argv);
}

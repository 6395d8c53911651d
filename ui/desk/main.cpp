// SPDX-License-Identifier: GPL-3.0-or-later
#include <QApplication>
#include <QCommandLineParser>
#include <QIcon>
#include <clocale>
#include <csignal>
#include <cstdio>

#include "desk/window.h"
#include "report/result_head.h"

namespace desk = latchwright::desk;

int main(int argc, char** argv) {
  // Where files may not grow on (ulimit -f), saving then fails and says so, instead of the window being gone.
  static_cast<void>(std::signal(SIGXFSZ, SIG_IGN));
  QApplication program(argc, argv);
  // Qt takes over the user's locale; figures that libraries read and write keep their points. What people
  // read and type goes by Qt's own locale. There is no other thread yet.
  // NOLINTNEXTLINE(concurrency-mt-unsafe)
  static_cast<void>(std::setlocale(LC_NUMERIC, "C"));
  Q_INIT_RESOURCE(desk);  // of a static library
  program.setOrganizationName(QStringLiteral("latchwright"));
  program.setApplicationName(QStringLiteral("desk"));
  program.setApplicationDisplayName(QStringLiteral("Latchwright"));
  program.setApplicationVersion(QString::fromStdString(latchwright::report::program_version()));
  program.setDesktopFileName(QStringLiteral("latchwright-desk"));
  program.setWindowIcon(QIcon(QStringLiteral(":/latchwright.svg")));

  QCommandLineParser parser;
  parser.setApplicationDescription(QApplication::translate(
      "main", "The window of Latchwright: checks 12 V power door lock installations."));
  parser.addHelpOption();
  parser.addVersionOption();
  parser.addPositionalArgument(QStringLiteral("FILE"), QApplication::translate("main", "job to open"),
                               QStringLiteral("[FILE]"));
  parser.process(program);
  if (parser.positionalArguments().size() > 1) {
    static_cast<void>(std::fputs("latchwright-desk: one job file at a time\n", stderr));
    return 2;
  }

  desk::Preferences preferences;
  desk::apply_theme(program, desk::theme_for(preferences.theme()));
  desk::Window window(preferences);
  window.show();
  window.begin(parser.positionalArguments().isEmpty() ? QString() : parser.positionalArguments().front());
  return QApplication::exec();
}

// SPDX-License-Identifier: GPL-3.0-or-later
// latchwright_desk_screenshots JOB FOLDER: the window as pictures, light and dark, in two sizes, with the
// link that is weakest and with others chosen, the bench, the job sheet, chances and map; the dialogs beside it.
#include <QApplication>
#include <QDir>
#include <cstdio>

#include <QTest>
#include "desk/choose_dialog.h"
#include "desk/parts_browser.h"
#include "desk/sheet_page.h"
#include "desk/spread_page.h"
#include "desk/spread_page_chances.h"
#include "desk/spread_page_map.h"

#include "show/waiting.h"

using namespace latchwright;
using namespace latchwright::desk;

namespace {

void save(QWidget& widget, const QString& folder, const QString& name) {
  QTest::qWait(100);  // layouts settle
  const QString file = folder + QLatin1Char('/') + name + QStringLiteral(".png");
  if (!widget.grab().save(file)) std::fprintf(stderr, "cannot write %s\n", qPrintable(file));
}

}  // namespace

int main(int argc, char** argv) {
  QApplication program(argc, argv);
  if (argc != 3) {
    std::fputs("latchwright_desk_screenshots JOB FOLDER\n", stderr);
    return 2;
  }
  const QString job = QString::fromLocal8Bit(argv[1]), folder = QString::fromLocal8Bit(argv[2]);
  QDir().mkpath(folder);
  const QTemporaryDir scratch;
  Preferences preferences(scratch.filePath(QStringLiteral("settings.ini")));
  for (const bool dark : {false, true}) {
    apply_theme(program, dark ? Theme::dark : Theme::light);
    const QString theme = dark ? QStringLiteral("dark") : QStringLiteral("light");
    for (const QSize size : {QSize(1280, 800), QSize(1920, 1080)}) {
      Window window(preferences, scratch.filePath(QStringLiteral("rescue")));
      window.resize(size);
      window.show();
      window.begin(job);
      const QString place = QStringLiteral("%1-%2x%3").arg(theme).arg(size.width()).arg(size.height());
      if (!wait_for_results(window)) return 1;
      if (!dark && size.width() == 1280) {
        save(window, folder, QStringLiteral("cautions-") + place);
        // Seen once, they stay away.
        window.findChild<CautionsBar*>()->findChild<QPushButton*>()->click();
      }
      const std::pair<const char*, report::Link> links[] = {{"fuse", {report::LinkKind::main_fuse, 0}},
                                                            {"feed", {report::LinkKind::feed, 0}},
                                                            {"relay", {report::LinkKind::relay, 0}},
                                                            {"run", {report::LinkKind::door_run, 4}},
                                                            {"thermistor", {report::LinkKind::thermistor, 1}},
                                                            {"motor", {report::LinkKind::motor, 4}},
                                                            {"rod", {report::LinkKind::rod, 4}},
                                                            {"battery", {report::LinkKind::battery, 0}}};
      auto look = window.strip().look();
      look.ambient_C = 80;
      look.voltage_V = 14.4;
      window.strip().setLook(look);
      for (const auto& [name, link] : links) {
        window.chooseLink(link);
        if (!wait_for_results(window)) return 1;
        save(window, folder, QString::fromLatin1(name) + QLatin1Char('-') + place);
      }
      window.showBench(true);
      if (!wait_until([&] { return window.bench().sheet().isCurrent() && window.bench().triage().isCurrent(); })) return 1;
      save(window, folder, QStringLiteral("bench-") + place);
      window.showSheet(true);
      if (!wait_until([&] { return window.sheet().isCurrent(); })) return 1;
      save(window, folder, QStringLiteral("sheet-") + place);
      window.showSheet(false);
      // A few installations, as of a first look.
      window.showChances(true);
      ChancesPane& chances = window.chances().chances();
      chances.samples().setValue(60);
      chances.run();
      if (!wait_until([&] { return chances.isCurrent(); })) return 1;
      save(window, folder, QStringLiteral("chances-") + place);
      window.chances().tabs().setCurrentIndex(1);
      window.chances().map().run();
      if (!wait_until([&] { return window.chances().map().isCurrent(); })) return 1;
      save(window, folder, QStringLiteral("map-") + place);
      window.showChances(false);
    }
    Document document;
    if (!document.setPartFiles({}).empty() || !document.open(job).empty()) return 1;
    PartsBrowser parts(document, units::UnitSystem::metric);
    parts.show();
    save(parts, folder, QStringLiteral("parts-") + theme);
  }
  return 0;
}

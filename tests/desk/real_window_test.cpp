// SPDX-License-Identifier: GPL-3.0-or-later
#include <QApplication>
#include <QScreen>
#include <QSignalSpy>
#include <QTemporaryDir>
#include <QTest>
#include <set>

#include "desk/link_button.h"
#include "desk/window.h"

// The window on a real screen (Xvfb): shown, driven by keys, and seen on the screen itself.
namespace latchwright::desk {

class RealWindowTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void keysWalkTheRunOnARealScreen() {
    QCOMPARE(QGuiApplication::platformName(), QStringLiteral("xcb"));
    const QTemporaryDir folder;
    Preferences preferences(folder.filePath(QStringLiteral("settings.ini")));
    Window window(preferences, folder.filePath(QStringLiteral("rescue")));
    window.resize(1280, 800);
    window.show();
    QVERIFY(QTest::qWaitForWindowExposed(&window));
    window.begin(QStringLiteral(LATCHWRIGHT_SOURCE_DIR "/docs/examples/five-door-estate.json"));
    constexpr int patience = 240000;
    QTRY_VERIFY_WITH_TIMEOUT(window.computing().verdict().cures_known, patience);
    window.activateWindow();
    window.run().setFocus();

    // A job that opens shows its weakest link: the main fuse. Right: the feed, with its own pictures.
    QCOMPARE(window.run().chosen(), (report::Link{report::LinkKind::main_fuse, 0}));
    QTRY_VERIFY_WITH_TIMEOUT(QApplication::focusWidget() != nullptr, patience);
    QTest::keyClick(QApplication::focusWidget(), Qt::Key_Right);
    QTest::keyClick(QApplication::focusWidget(), Qt::Key_Return);
    QCOMPARE(window.run().chosen(), (report::Link{report::LinkKind::feed, 0}));
    QTRY_VERIFY_WITH_TIMEOUT(window.computing().lookIsCurrent(), patience);
    QVERIFY(!window.computing().look().pictures.empty());

    // What stands on the screen, not what the widgets would draw.
    QCoreApplication::processEvents();
    QTest::qWait(200);
    const QImage seen = window.screen()->grabWindow(window.winId()).toImage();
    QVERIFY(seen.width() >= 1280);
    std::set<QRgb> colours;
    for (int y = 0; y < seen.height(); y += 4) {
      for (int x = 0; x < seen.width(); x += 4) colours.insert(seen.pixel(x, y));
    }
    QVERIFY(colours.size() > 50);
    QVERIFY(window.close());
  }
};

}  // namespace latchwright::desk

QTEST_MAIN(latchwright::desk::RealWindowTest)
#include "real_window_test.moc"

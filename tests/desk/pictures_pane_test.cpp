// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/pictures_pane.h"

#include <QApplication>
#include <QLineEdit>
#include <QScrollBar>
#include <QTest>
#include <QVBoxLayout>
#include <QWheelEvent>

using namespace latchwright;
using namespace latchwright::desk;

namespace {

report::Picture picture(const std::string& key, double end = 1) {
  report::Picture made;
  made.key = key;
  made.title = "Picture " + key;
  made.across.title = "time";
  made.across.unit = "s";
  made.up.title = "current";
  made.up.unit = "A";
  report::PictureLine line;
  line.name = "line";
  line.x = {0, 1, 2};
  line.y = {0, end, 2 * end};
  made.lines.push_back(line);
  return made;
}

std::vector<report::Picture> pictures(const QStringList& keys) {
  std::vector<report::Picture> made;
  for (const QString& key : keys) made.push_back(picture(key.toStdString()));
  return made;
}

}  // namespace

class PicturesPaneTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void standsInColumns();
  void keepsViewsOfTheSameKeys();
  void staleIsOnlyAMark();
  void asksToSave();
  void wheelScrolls();
  void tabGoesThroughThePictures();
  void hintWithoutPictures();
};

void PicturesPaneTest::standsInColumns() {
  for (const int width : {500, 880, 920, 1400}) {
    for (int count = 1; count <= 5; ++count) {
      PicturesPane pane;
      pane.resize(width, 700);
      pane.show();
      pane.setPictures(pictures(QStringList{"a", "b", "c", "d", "e"}.mid(0, count)), {});
      QTest::qWait(0);
      const auto& views = pane.views();
      QCOMPARE(views.size(), std::size_t(count));
      QCOMPARE(pane.columns(), width > 900 && count > 1 ? 2 : 1);
      const int rows = (count + pane.columns() - 1) / pane.columns();
      for (std::size_t k = 0; k < views.size(); ++k) {
        QVERIFY(views[k]->isVisible());
        QVERIFY(views[k]->height() >= 15 * pane.fontMetrics().height());
        QVERIFY(views[k]->parentWidget()->rect().contains(views[k]->geometry()));
        for (std::size_t j = 0; j < k; ++j) QVERIFY(!views[k]->geometry().intersects(views[j]->geometry()));
      }
      // Few pictures use the room that there is.
      const QRect sheet = views[0]->parentWidget()->rect();
      QVERIFY(sheet.height() >= 700 - 1 || rows > 2);
      QVERIFY(sheet.width() <= width && sheet.width() > width - 40);
      const auto* bar = pane.findChild<QScrollArea*>()->verticalScrollBar();
      QCOMPARE(bar->maximum() > 0, sheet.height() > 700);
    }
  }
}

void PicturesPaneTest::keepsViewsOfTheSameKeys() {
  PicturesPane pane;
  pane.resize(600, 500);
  pane.show();
  pane.setPictures(pictures({"a", "b", "c"}), {});
  const auto before = pane.views();
  auto* bar = pane.findChild<QScrollArea*>()->verticalScrollBar();
  bar->setValue(bar->maximum());
  const int scrolled = bar->value();
  QVERIFY(scrolled > 0);
  auto moved = pictures({"a", "b", "c"});
  moved[1] = picture("b", 7);
  pane.setPictures(moved, {});
  QVERIFY(pane.views() == before);
  QCOMPARE(pane.views()[1]->picture()->lines[0].y[1], 7.0);
  QCOMPARE(bar->value(), scrolled);
  // Another set: what comes again keeps its view, the rest goes, and it is seen from the top.
  pane.setPictures(pictures({"c", "d"}), {});
  QCOMPARE(pane.views()[0], before[2]);
  QCOMPARE(pane.findChildren<charts::PictureView*>().size(), 2);
  QCOMPARE(bar->value(), 0);
}

void PicturesPaneTest::staleIsOnlyAMark() {
  PicturesPane pane;
  pane.resize(600, 500);
  pane.show();
  pane.setPictures(pictures({"a"}), {});
  const QRect before = pane.views()[0]->geometry();
  const auto mark = [&]() -> const QLabel* {
    for (const QLabel* label : pane.findChildren<QLabel*>()) {
      if (label->text() == QStringLiteral("computing…")) return label;
    }
    return nullptr;
  };
  QVERIFY(!mark()->isVisible());
  pane.setStale(true);
  QVERIFY(mark()->isVisible());
  QVERIFY(pane.rect().contains(mark()->geometry()));
  QVERIFY(mark()->width() * mark()->height() < pane.width() * pane.height() / 20);
  QVERIFY(pane.views()[0]->isVisible());
  QCOMPARE(pane.views()[0]->geometry(), before);
  QCOMPARE(pane.views()[0]->picture()->key, std::string("a"));
  pane.setStale(false);
  QVERIFY(!mark()->isVisible());
}

void PicturesPaneTest::asksToSave() {
  PicturesPane pane;
  pane.resize(600, 500);
  pane.setPictures(pictures({"a", "b"}), {});
  pane.setPictures(pictures({"a", "b"}), {});
  std::vector<std::string> asked;
  connect(&pane, &PicturesPane::saveRequested, this,
          [&](const report::Picture& each) { asked.push_back(each.key); });
  Q_EMIT pane.views()[1]->saveRequested();
  Q_EMIT pane.views()[0]->saveRequested();
  const std::vector<std::string> expected{"b", "a"};
  QVERIFY(asked == expected);
}

void PicturesPaneTest::wheelScrolls() {
  PicturesPane pane;
  pane.resize(600, 500);
  pane.show();
  pane.setPictures(pictures({"a", "b", "c"}), {});
  QTest::qWait(0);
  QWidget* under = pane.views()[0]->viewport();
  const QPointF at(50, 50);
  QWheelEvent wheel(at, under->mapToGlobal(at), QPoint(), QPoint(0, -120), Qt::NoButton, Qt::NoModifier,
                    Qt::NoScrollPhase, false);
  QCoreApplication::sendEvent(under, &wheel);
  QVERIFY(pane.findChild<QScrollArea*>()->verticalScrollBar()->value() > 0);
}

void PicturesPaneTest::tabGoesThroughThePictures() {
  QWidget window;
  auto* layout = new QVBoxLayout(&window);
  auto* before = new QLineEdit;
  auto* pane = new PicturesPane;
  auto* after = new QLineEdit;
  for (QWidget* each :
       {static_cast<QWidget*>(before), static_cast<QWidget*>(pane), static_cast<QWidget*>(after)}) {
    layout->addWidget(each);
  }
  window.resize(600, 700);
  window.show();
  window.activateWindow();
  QVERIFY(QTest::qWaitForWindowActive(&window));
  pane->setPictures(pictures({"a"}), {});
  pane->setPictures(pictures({"b", "c"}), {});
  before->setFocus();
  QList<QWidget*> met;
  for (int k = 0; k < 5 && QApplication::focusWidget() != after; ++k) {
    QTest::keyClick(QApplication::focusWidget(), Qt::Key_Tab);
    met << QApplication::focusWidget();
  }
  QVERIFY(met.contains(pane->views()[0]));
  QVERIFY(met.indexOf(pane->views()[0]) < met.indexOf(pane->views()[1]));
  QCOMPARE(met.back(), static_cast<QWidget*>(after));
}

void PicturesPaneTest::hintWithoutPictures() {
  PicturesPane pane;
  pane.resize(600, 500);
  pane.show();
  pane.setHint(QStringLiteral("Choose parts first."));
  const auto is_hinted = [&] {
    for (const QLabel* label : pane.findChildren<QLabel*>()) {
      if (label->text() == QStringLiteral("Choose parts first.")) return label->isVisible();
    }
    return false;
  };
  QVERIFY(is_hinted());
  pane.setPictures(pictures({"a"}), {});
  QVERIFY(!is_hinted());
  pane.setPictures({}, {});
  QVERIFY(is_hinted());
  QVERIFY(pane.views().empty());
}

QTEST_MAIN(PicturesPaneTest)
#include "pictures_pane_test.moc"

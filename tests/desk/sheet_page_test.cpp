// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/sheet_page.h"

#include <QFile>
#include <QSignalSpy>
#include <QTemporaryDir>
#include <QTest>

#include "base/failure.h"
#include "desk/window.h"
#include "documents.h"

using namespace latchwright;
using namespace latchwright::desk;

namespace {

constexpr int patience = 240000;  // ms; the sanitizers are slow

struct SheetScene {
  Document document;
  std::unique_ptr<SheetPage> page;

  explicit SheetScene(const char* job) {
    QVERIFY(document.setPartFiles({}).empty());
    QVERIFY(document.open(tests::example(job)).empty());
    page = std::make_unique<SheetPage>(document);
    page->resize(1280, 760);
    page->show();
    page->activateWindow();
    QVERIFY(QTest::qWaitForWindowActive(page.get()));
  }
  bool isThere() const { return page->isCurrent(); }
};

QByteArray content_of(const QString& path) {
  QFile file(path);
  return file.open(QIODevice::ReadOnly) ? file.readAll() : QByteArray();
}

/// Pixels of a widget that are no paper.
int ink_in(QWidget& widget) {
  const QImage image = widget.grab().toImage();
  int dark = 0;
  for (int y = 0; y < image.height(); ++y) {
    for (int x = 0; x < image.width(); ++x) dark += qGray(image.pixel(x, y)) < 128 ? 1 : 0;
  }
  return dark;
}

}  // namespace

class SheetPageTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void showsThePages();
  void saysWhatMustNotBeHandedOver();
  void followsTheJob();
  void writesBothKinds();
  void takesADateAndAPaper();
  void saysWhatIsMissing();
  void isAPageOfTheWindow();
};

void SheetPageTest::showsThePages() {
  SheetScene scene("four-door-saloon.json");
  QVERIFY(!scene.page->saveButton().isEnabled());
  QTRY_VERIFY_WITH_TIMEOUT(scene.isThere(), patience);
  QVERIFY(scene.page->saveButton().isEnabled());
  QVERIFY(scene.page->pageCount() >= 4);
  QVERIFY(scene.page->state().text().startsWith(QStringLiteral("✓ Passes")));
  int pages = 0;
  for (auto* child : scene.page->findChildren<QWidget*>()) {
    const QString name = QStringLiteral("page %1 of %2").arg(pages + 1).arg(scene.page->pageCount());
    if (child->accessibleName() != name) continue;
    ++pages;
    child->resize(600, child->heightForWidth(600));
    QVERIFY2(ink_in(*child) > 500, qPrintable(name));
    // A4 upright, ISO 216: 297 to 210.
    QVERIFY(qAbs(child->heightForWidth(2100) - 2970) <= 2);
  }
  QCOMPARE(pages, scene.page->pageCount());
}

void SheetPageTest::saysWhatMustNotBeHandedOver() {
  SheetScene scene("five-door-estate.json");
  QTRY_VERIFY_WITH_TIMEOUT(scene.isThere(), patience);
  QVERIFY(scene.page->state().text().startsWith(
      QStringLiteral("✕ Do not hand this installation over like this: 3 of its 64 checks fail")));
}

void SheetPageTest::followsTheJob() {
  SheetScene scene("four-door-saloon.json");
  QTRY_VERIFY_WITH_TIMEOUT(scene.isThere(), patience);
  const std::string before = scene.page->shown()->origin;
  QVERIFY(tests::set(scene.document, "/title", model::Raw("Another title")).empty());
  QVERIFY(!scene.page->isCurrent());
  QVERIFY(!scene.page->saveButton().isEnabled());
  QTRY_VERIFY_WITH_TIMEOUT(scene.isThere(), patience);
  QCOMPARE(scene.page->shown()->title, std::string("Another title"));
  QVERIFY(scene.page->shown()->origin != before);
}

void SheetPageTest::writesBothKinds() {
  QTemporaryDir folder;
  SheetScene scene("four-door-saloon.json");
  QSignalSpy written(scene.page.get(), &SheetPage::written);
  QVERIFY_EXCEPTION_THROWN(scene.page->write(folder.filePath(QStringLiteral("early.pdf"))), base::UsageError);
  QTRY_VERIFY_WITH_TIMEOUT(scene.isThere(), patience);
  scene.page->write(folder.filePath(QStringLiteral("sheet.pdf")));
  scene.page->write(folder.filePath(QStringLiteral("sheet.html")));
  QVERIFY_EXCEPTION_THROWN(scene.page->write(folder.filePath(QStringLiteral("sheet.txt"))), base::UsageError);
  QVERIFY_EXCEPTION_THROWN(scene.page->write(QStringLiteral("/nowhere/at/all/sheet.pdf")), base::UsageError);
  QCOMPARE(written.count(), 2);
  const QByteArray pdf = content_of(folder.filePath(QStringLiteral("sheet.pdf")));
  QVERIFY(pdf.startsWith("%PDF"));
  QCOMPARE(static_cast<int>(pdf.count("/Type /Page\n")), scene.page->pageCount());
  const QByteArray html = content_of(folder.filePath(QStringLiteral("sheet.html")));
  QVERIFY(html.startsWith("<!DOCTYPE html>"));
  QVERIFY(html.contains("<svg "));
  QVERIFY(html.contains(scene.page->shown()->origin.c_str()));
}

void SheetPageTest::takesADateAndAPaper() {
  SheetScene scene("four-door-saloon.json");
  QTRY_VERIFY_WITH_TIMEOUT(scene.isThere(), patience);
  QVERIFY(scene.page->shown()->date.empty());
  scene.page->dated().click();
  QVERIFY(scene.page->isCurrent());
  QCOMPARE(QString::fromStdString(scene.page->shown()->date), QDate::currentDate().toString(Qt::ISODate));
  scene.page->dated().click();
  QVERIFY(scene.page->shown()->date.empty());
  QTemporaryDir folder;
  scene.page->paper().setCurrentIndex(1);
  scene.page->write(folder.filePath(QStringLiteral("sheet.pdf")));
  // Letter is 8.5 x 11 in.
  const QByteArray pdf = content_of(folder.filePath(QStringLiteral("sheet.pdf")));
  QVERIFY(pdf.contains("/MediaBox [0 0 612.000000 792.000000]") || pdf.contains("/MediaBox [0 0 612 792]"));
}

void SheetPageTest::saysWhatIsMissing() {
  SheetScene scene("taxi-open.json");
  QVERIFY(scene.page->state().text().contains(QStringLiteral("leaves parts open")));
  QVERIFY(!scene.page->saveButton().isEnabled());
  QCOMPARE(scene.page->pageCount(), 0);
  // A sheet of the job before does not stay beside an unfinished one.
  QVERIFY(scene.document.open(tests::example("four-door-saloon.json")).empty());
  QTRY_VERIFY_WITH_TIMEOUT(scene.isThere(), patience);
  QVERIFY(scene.document.open(tests::example("taxi-open.json")).empty());
  QVERIFY(!scene.page->shown());
  QCOMPARE(scene.page->pageCount(), 0);
}

void SheetPageTest::isAPageOfTheWindow() {
  QTemporaryDir folder;
  Preferences preferences(folder.filePath(QStringLiteral("settings.ini")));
  Window window(preferences, folder.filePath(QStringLiteral("rescue")));
  window.resize(1280, 800);
  window.show();
  window.begin({});
  window.activateWindow();
  QVERIFY(QTest::qWaitForWindowActive(&window));
  // Without a job there is nothing to make a sheet of.
  QTest::keyClick(&window, Qt::Key_J, Qt::ControlModifier);
  QVERIFY(!window.isAtSheet());
  QVERIFY(window.document().open(tests::example("four-door-saloon.json")).empty());
  QTest::keyClick(&window, Qt::Key_J, Qt::ControlModifier);
  QVERIFY(window.isAtSheet());
  QVERIFY(!window.run().isVisible());
  QTRY_VERIFY_WITH_TIMEOUT(window.sheet().isCurrent(), patience);
  // From page to page, and back.
  QTest::keyClick(&window, Qt::Key_B, Qt::ControlModifier);
  QVERIFY(window.isAtBench());
  QVERIFY(!window.isAtSheet());
  QTest::keyClick(&window, Qt::Key_J, Qt::ControlModifier);
  QVERIFY(window.isAtSheet());
  QVERIFY(!window.isAtBench());
  QTest::keyClick(QApplication::focusWidget(), Qt::Key_Escape);
  QVERIFY(!window.isAtSheet());
  QVERIFY(window.run().isVisible());
  window.recovery().forget();
}

QTEST_MAIN(SheetPageTest)
#include "sheet_page_test.moc"

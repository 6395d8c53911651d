// SPDX-License-Identifier: GPL-3.0-or-later
// A table on the clipboard: what a spreadsheet takes from it is what stood in the window, and no formula.
#include "desk/table_copy.h"

#include <QStandardItemModel>
#include <QTest>

using namespace latchwright;

class TableCopyTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void hasALineOfHeadingsAndOneForEachRow();
  void keepsColumns();
  void pastesNoFormula_data();
  void pastesNoFormula();
};

void TableCopyTest::hasALineOfHeadingsAndOneForEachRow() {
  QStandardItemModel model(2, 2);
  model.setHorizontalHeaderLabels({QStringLiteral("door"), QStringLiteral("trip, s")});
  model.setItem(0, 0, new QStandardItem(QStringLiteral("front left")));
  model.setItem(0, 1, new QStandardItem(QStringLiteral("5.56")));
  model.setItem(1, 0, new QStandardItem(QStringLiteral("rear")));
  QCOMPARE(desk::table_text(model), QStringLiteral("door\ttrip, s\nfront left\t5.56\nrear\t\n"));
}

void TableCopyTest::keepsColumns() {
  QStandardItemModel model(1, 1);
  model.setHorizontalHeaderLabels({QStringLiteral("door")});
  model.setItem(0, 0, new QStandardItem(QStringLiteral("front\tleft\r\nof two")));
  QCOMPARE(desk::table_text(model), QStringLiteral("door\nfront left  of two\n"));
}

void TableCopyTest::pastesNoFormula_data() {
  QTest::addColumn<QString>("cell");
  QTest::addColumn<QString>("pasted");
  const auto same = [](const char* cell) {
    QTest::newRow(cell) << QString::fromUtf8(cell) << QString::fromUtf8(cell);
  };
  const auto quoted = [](const char* cell) {
    QTest::newRow(cell) << QString::fromUtf8(cell) << QLatin1Char('\'') + QString::fromUtf8(cell);
  };
  same("-12.5");
  same("-12.5 °C");
  same("+3e-6");
  same("-");
  same("left = right");
  quoted("=1+1");
  quoted("+cmd|' /C calc'!A0");
  quoted("-2+3");
  quoted("-1 =A1");
  quoted("@SUM(A1)");
}

void TableCopyTest::pastesNoFormula() {
  QFETCH(const QString, cell);
  QStandardItemModel model(1, 1);
  model.setHorizontalHeaderLabels({QStringLiteral("door")});
  model.setItem(0, 0, new QStandardItem(cell));
  QFETCH(const QString, pasted);
  QCOMPARE(desk::table_text(model), QStringLiteral("door\n%1\n").arg(pasted));
}

QTEST_MAIN(TableCopyTest)
#include "table_copy_test.moc"

// SPDX-License-Identifier: GPL-3.0-or-later
#include <QClipboard>
#include <QComboBox>
#include <QGuiApplication>
#include <QLabel>
#include <QPushButton>
#include <QTableView>
#include <QTableWidget>
#include <QTemporaryDir>
#include <QTest>

#include "desk/parts_browser.h"
#include "desk/parts_model.h"
#include "desk/record_form.h"
#include "desk_job.h"
#include "model/part_fields.h"

using namespace latchwright;
using namespace latchwright::desk;
using desk_tests::number_at;
using desk_tests::text_at;
using desk_tests::type_in;
using units::UnitSystem;

namespace {

const char* const good_file = R"({ "latchwright_parts": 1, "parts": [
  { "id": "relay-test", "kind": "relay", "title": "Relay of the test",
    "source": {"kind": "measured", "note": "Invented."}, "contact_mohm": 4, "rated_A": 25 } ] })";
const char* const bad_file = R"({ "latchwright_parts": 1, "parts": [
  { "id": "relay-bad", "kind": "relay", "title": "Bad", "source": {"kind": "measured"},
    "contact_mohm": 4, "rated_A": 5000 } ] })";

}  // namespace

class PartsBrowserTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void init() {
    document_ = std::make_unique<Document>();
    QVERIFY(document_->begin(desk_tests::small_job()).empty());
    open(UnitSystem::metric);
  }
  void cleanup() {
    browser_.reset();
    document_.reset();
  }

  void listsEveryPart() {
    QCOMPARE(static_cast<std::size_t>(rows()), document_->catalogue().entries().size());
    // Beside the id: kind, title, figures, origin and file, each said.
    for (int row = 0; row < rows(); ++row) {
      for (int column = 0; column < PartsModel::column_count; ++column) QVERIFY(!text(row, column).isEmpty());
    }
  }

  void filtersByKindAndWords() {
    auto* kinds = browser_->findChild<QComboBox*>(QStringLiteral("kinds"));
    kinds->setCurrentIndex(kinds->findData(QStringLiteral("wire")));
    Q_EMIT kinds->activated(kinds->currentIndex());
    QCOMPARE(static_cast<std::size_t>(rows()), document_->catalogue().ids_of("wire").size());
    auto* words = browser_->findChild<QLineEdit*>(QStringLiteral("words"));
    words->setText(QStringLiteral("XLPE 2.5"));
    QVERIFY(rows() > 0 && rows() < 10);
    for (int row = 0; row < rows(); ++row) {
      const QString all =
          text(row, PartsModel::id) + text(row, PartsModel::title) + text(row, PartsModel::figures);
      QVERIFY(all.contains(QStringLiteral("xlpe"), Qt::CaseInsensitive) &&
              all.contains(QStringLiteral("2.5")));
    }
    words->setText(QStringLiteral("xlpe nosuchword"));
    QCOMPARE(rows(), 0);
    words->clear();
    kinds->setCurrentIndex(0);
    Q_EMIT kinds->activated(0);
    words->setText(QStringLiteral("fuse-medium-30"));
    QCOMPARE(rows(), 1);
  }

  void sortsFiguresByNumber() {
    auto* kinds = browser_->findChild<QComboBox*>(QStringLiteral("kinds"));
    kinds->setCurrentIndex(kinds->findData(QStringLiteral("fuse")));
    Q_EMIT kinds->activated(kinds->currentIndex());
    for (const Qt::SortOrder order : {Qt::AscendingOrder, Qt::DescendingOrder}) {
      list()->sortByColumn(PartsModel::figures, order);
      double last = order == Qt::AscendingOrder ? 0 : 1e9;
      for (int row = 0; row < rows(); ++row) {
        const auto part = document_->catalogue().find(text(row, PartsModel::id).toStdString());
        const double rating = std::get<model::Fuse>(part->body).rating_A;
        QVERIFY(order == Qt::AscendingOrder ? rating >= last : rating <= last);
        last = rating;
      }
    }
    list()->sortByColumn(PartsModel::id, Qt::AscendingOrder);
    QVERIFY(text(0, PartsModel::id) < text(rows() - 1, PartsModel::id));
  }

  void onePartInFull() {
    browser_->choosePart("wire-1.5");
    bool seen = false;
    for (const auto* table : browser_->findChildren<QTableWidget*>()) {
      for (int row = 0; table->isVisible() && row < table->rowCount(); ++row) {
        if (table->item(row, 0)->text() != QStringLiteral("insulation class")) continue;
        seen = true;
        QCOMPARE(table->item(row, 1)->text(), QStringLiteral("100"));  // class B, parts/wires.json
        QCOMPARE(table->item(row, 2)->text(), QStringLiteral("°C"));
        QCOMPARE(table->item(row, 3)->text(), QStringLiteral("standard"));
        QVERIFY(
            table->item(row, 0)->toolTip().contains(QStringLiteral("temperature class of the insulation")));
        QVERIFY(table->item(row, 0)->toolTip().contains(QStringLiteral("ISO 6722-1")));
      }
    }
    QVERIFY(seen);
  }

  void usUnitsShowAwg() {
    open(UnitSystem::us);
    // ASTM B258 (from memory): 14 AWG is 2.08 mm².
    browser_->choosePart("wire-2.0");
    const int row = list()->currentIndex().row();
    QVERIFY2(text(row, PartsModel::figures).contains(QStringLiteral("14 AWG")),
             qPrintable(text(row, PartsModel::figures)));
    // 100 °C = 212 °F.
    QVERIFY(text(row, PartsModel::figures).contains(QStringLiteral("212 °F")));
  }

  void putsItThere() {
    browser_->chooseFor(QStringLiteral("wire"), QStringLiteral("/doors/1/wire"));
    QVERIFY(!browser_->findChild<QComboBox*>(QStringLiteral("kinds"))->isEnabled());
    QCOMPARE(static_cast<std::size_t>(rows()), document_->catalogue().ids_of("wire").size());
    QCOMPARE(browser_->chosenPart()->id, std::string("wire-1.5"));
    browser_->choosePart("wire-2.5");
    QTest::mouseClick(button("put"), Qt::LeftButton);
    QCOMPARE(text_at(*document_, "/doors/1/wire"), std::string("wire-2.5"));
    QCOMPARE(browser_->result(), static_cast<int>(QDialog::Accepted));
    QVERIFY(!browser_->isVisible());
    QCOMPARE(document_->undoStack().count(), 1);
    document_->undoStack().undo();
    QCOMPARE(text_at(*document_, "/doors/1/wire"), std::string("wire-1.5"));
  }

  void enterPutsOnlyFromTheList() {
    browser_->chooseFor(QStringLiteral("relay"), QStringLiteral("/feed/relay"));
    auto* words = browser_->findChild<QLineEdit*>(QStringLiteral("words"));
    words->setFocus();
    QTest::keyClicks(words, QStringLiteral("relay-20"));
    QTest::keyClick(words, Qt::Key_Return);
    QCOMPARE(text_at(*document_, "/feed/relay"), std::string("relay-40"));
    QVERIFY(browser_->isVisible());
    browser_->choosePart("relay-20");
    QTest::keyClick(list(), Qt::Key_Return);
    QCOMPARE(text_at(*document_, "/feed/relay"), std::string("relay-20"));
    QCOMPARE(document_->undoStack().count(), 1);
  }

  void onlyLookingHasNoPut() { QVERIFY(!button("put")->isVisible()); }

  void partFilesComeAndGo() {
    QTemporaryDir folder;
    const QString good = write(folder, "good.json", good_file), bad = write(folder, "bad.json", bad_file);
    const auto before = document_->catalogue().entries().size();
    QVERIFY(!browser_->addPartFiles({bad}));
    const auto* faults = browser_->findChild<QTableWidget*>(QStringLiteral("faults"));
    QVERIFY(faults->isVisible());
    QCOMPARE(faults->rowCount(), 1);
    QCOMPARE(faults->item(0, 0)->text(), QStringLiteral("bad.json"));
    QCOMPARE(faults->item(0, 1)->text(), QStringLiteral("/parts/0/rated_A"));
    QVERIFY(faults->item(0, 2)->text().contains(QStringLiteral("0.1 to 1000 A")));
    QCOMPARE(document_->catalogue().entries().size(), before);
    QVERIFY(document_->partFiles().empty());

    QVERIFY(browser_->addPartFiles({good}));
    QVERIFY(!faults->isVisible());
    QCOMPARE(document_->catalogue().entries().size(), before + 1);
    browser_->choosePart("relay-test");
    const int row = list()->currentIndex().row();
    QCOMPARE(text(row, PartsModel::file), QStringLiteral("good.json"));
    QCOMPARE(text(row, PartsModel::origin), QStringLiteral("measured"));
    browser_->choosePart("relay-40");
    QCOMPARE(text(list()->currentIndex().row(), PartsModel::file), QStringLiteral("built-in"));
    QTest::mouseClick(button("remove_file"), Qt::LeftButton);
    QCOMPARE(document_->catalogue().entries().size(), before);
    QVERIFY(!button("remove_file")->isEnabled());
  }

  void fileInUseStays() {
    QTemporaryDir folder;
    QVERIFY(browser_->addPartFiles({write(folder, "good.json", good_file)}));
    QVERIFY(document_->edit({{"/feed/relay", model::Raw("relay-test")}}, "relay").empty());
    QTest::mouseClick(button("remove_file"), Qt::LeftButton);
    QVERIFY(browser_->findChild<QTableWidget*>(QStringLiteral("faults"))->isVisible());
    QCOMPARE(document_->partFiles().size(), std::size_t{1});
    QVERIFY(document_->catalogue().find("relay-test") != nullptr);
  }

  void partIsCopiedIntoTheJobAndChanged() {
    browser_->choosePart("act-heavy-2w");
    auto* id = browser_->findChild<QLineEdit*>(QStringLiteral("new_id"));
    QCOMPARE(id->text(), QStringLiteral("act-heavy-2w-own"));
    id->setText(QStringLiteral("mine"));
    QTest::mouseClick(button("copy_part"), Qt::LeftButton);
    QCOMPARE(text_at(*document_, "/parts/0/id"), std::string("mine"));
    QCOMPARE(document_->undoStack().count(), 1);
    QCOMPARE(browser_->chosenPart()->id, std::string("mine"));
    QCOMPARE(text(list()->currentIndex().row(), PartsModel::file), QStringLiteral("this job"));
    QVERIFY(text_at(*document_, "/parts/0/source/note").find("Copied from act-heavy-2w.") == 0);

    type_in(editor("/parts/0/motor/resistance_ohm"), "2.1");
    QCOMPARE(number_at(*document_, "/parts/0/motor/resistance_ohm"), 2.1);
    type_in(editor("/parts/0/motor/resistance_ohm"), "0.001");
    QVERIFY(editor("/parts/0/motor/resistance_ohm")->fault().contains(QStringLiteral("0.05 to 500 ohm")));
    QTest::keyClick(desk_tests::line_of(editor("/parts/0/motor/resistance_ohm")), Qt::Key_Escape);
    QVERIFY(browser_->isVisible());
    QVERIFY(document_->refused().empty());
  }

  void ownPartIsRenamedWithItsReferences() {
    copyAs("relay-40", "mine");
    QVERIFY(document_->edit({{"/feed/relay", model::Raw("mine")}}, "relay").empty());
    type_in(editor("/parts/0/id"), "better");
    QCOMPARE(text_at(*document_, "/parts/0/id"), std::string("better"));
    QCOMPARE(text_at(*document_, "/feed/relay"), std::string("better"));
    QCOMPARE(browser_->chosenPart()->id, std::string("better"));
    type_in(editor("/parts/0/id"), "not an id");
    QVERIFY(!editor("/parts/0/id")->fault().isEmpty());
    QCOMPARE(document_->refused().size(), std::size_t{1});
    QCOMPARE(text_at(*document_, "/feed/relay"), std::string("better"));
  }

  void ownPartInUseCannotBeRemoved() {
    copyAs("relay-40", "mine");
    QVERIFY(button("remove_part")->isEnabled());
    QVERIFY(document_->edit({{"/feed/relay", model::Raw("mine")}}, "relay").empty());
    QVERIFY(!button("remove_part")->isEnabled());
    QVERIFY2(button("remove_part")->toolTip().contains(QStringLiteral("feed: relay")),
             qPrintable(button("remove_part")->toolTip()));
    document_->undoStack().undo();
    QTest::mouseClick(button("remove_part"), Qt::LeftButton);
    QVERIFY(model::value_at(document_->tree(), "/parts") == nullptr);
    QVERIFY(document_->study()->catalogue->find("mine") == nullptr);
    browser_->choosePart("relay-40");
    QVERIFY(!button("remove_part")->isEnabled());
  }

  void badIdIsToldAndNothingIsCopied() {
    browser_->choosePart("relay-40");
    const std::string before = document_->text();
    browser_->findChild<QLineEdit*>(QStringLiteral("new_id"))->setText(QStringLiteral("no id"));
    QTest::mouseClick(button("copy_part"), Qt::LeftButton);
    QCOMPARE(document_->text(), before);
    const auto* faults = browser_->findChild<QTableWidget*>(QStringLiteral("faults"));
    QVERIFY(faults->isVisible());
    QVERIFY(faults->item(0, 2)->text().contains(QStringLiteral("not an id")));
    QVERIFY(document_->refused().empty());
  }

  void tableIsCopied() {
    browser_->findChild<QLineEdit*>(QStringLiteral("words"))->setText(QStringLiteral("relay-40"));
    list()->setFocus();
    QTest::keyClick(list(), Qt::Key_C, Qt::ControlModifier);
    const QStringList lines =
        QGuiApplication::clipboard()->text().split(QLatin1Char('\n'), Qt::SkipEmptyParts);
    QCOMPARE(lines.size(), 2);
    QCOMPARE(lines[0], QStringLiteral("id\tkind\ttitle\tfigures\torigin\tfile"));
    QVERIFY(lines[1].startsWith(QStringLiteral("relay-40\trelay\t")));
    QCOMPARE(lines[1].count(QLatin1Char('\t')), 5);
  }

  void worksWithoutAJob() {
    Document empty;
    PartsBrowser browser(empty, UnitSystem::metric);
    browser.choosePart("relay-40");
    QVERIFY(browser.chosenPart() != nullptr);
    QVERIFY(!browser.findChild<QPushButton*>(QStringLiteral("copy_part"))->isEnabled());
  }

 private:
  void open(UnitSystem units) {
    browser_ = std::make_unique<PartsBrowser>(*document_, units);
    browser_->show();
    browser_->activateWindow();
    QVERIFY(QTest::qWaitForWindowActive(browser_.get()));
  }
  void copyAs(const char* part, const char* id) {
    browser_->choosePart(part);
    browser_->findChild<QLineEdit*>(QStringLiteral("new_id"))->setText(QLatin1String(id));
    QTest::mouseClick(button("copy_part"), Qt::LeftButton);
    QCOMPARE(browser_->chosenPart()->id, std::string(id));
  }
  QTableView* list() const { return browser_->findChild<QTableView*>(QStringLiteral("parts")); }
  int rows() const { return list()->model()->rowCount(); }
  QString text(int row, int column) const { return list()->model()->index(row, column).data().toString(); }
  QPushButton* button(const char* name) const {
    return browser_->findChild<QPushButton*>(QLatin1String(name));
  }
  FieldEditor* editor(const char* pointer) const {
    for (const auto* form : browser_->findChildren<RecordForm*>()) {
      if (!form->isVisible()) continue;
      if (FieldEditor* found = form->editorAt(pointer)) return found;
    }
    return nullptr;
  }
  static QString write(const QTemporaryDir& folder, const char* name, const char* content) {
    QFile file(folder.filePath(QLatin1String(name)));
    if (!file.open(QIODevice::WriteOnly)) return {};
    file.write(content);
    return file.fileName();
  }

  std::unique_ptr<Document> document_;
  std::unique_ptr<PartsBrowser> browser_;
};

QTEST_MAIN(PartsBrowserTest)
#include "parts_browser_test.moc"

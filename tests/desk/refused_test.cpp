// SPDX-License-Identifier: GPL-3.0-or-later

#include <QSignalSpy>
#include <QTest>

#include "desk/documents.h"
#include "model/starting_job.h"
#include "support/scratch_folder.h"

// Values that the job cannot take.
using namespace latchwright;
using desk::Document;
using model::Raw;
using namespace tests;

class RefusedTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void refusedPair() {
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    QSignalSpy refused(&document, &Document::refusedChanged), study(&document, &Document::studyChanged);
    // low 13 is above usual 12.6: refused, the reason names the other place.
    const auto faults = set(document, "/supply/low_V", Raw(13));
    QCOMPARE(faults.size(), 1u);
    QCOMPARE(faults[0].pointer, "/supply/usual_V");
    QCOMPARE(refused.count(), 1);
    QCOMPARE(study.count(), 0);
    QCOMPARE(number_at(document, "/supply/low_V"), 9.0);
    QCOMPARE(*document.refused().at("/supply/low_V").value->number(), 13.0);
    QVERIFY(why(document, "/supply/low_V").contains("/supply/usual_V"));
    QVERIFY(!document.isChanged());
    // usual 13.5 makes both lawful, in one step.
    QVERIFY(set(document, "/supply/usual_V", Raw(13.5)).empty());
    QVERIFY(document.refused().empty());
    QCOMPARE(refused.count(), 2);
    QCOMPARE(number_at(document, "/supply/low_V"), 13.0);
    QCOMPARE(number_at(document, "/supply/usual_V"), 13.5);
    QCOMPARE(document.undoStack().count(), 1);
    document.undoStack().undo();
    QCOMPARE(number_at(document, "/supply/low_V"), 9.0);
    QCOMPARE(number_at(document, "/supply/usual_V"), 12.6);
  }

  void a24VoltCarTypedFromTheTop() {
    // Each of the first three is refused alone, all are lawful with the last.
    Document document;
    QVERIFY(document.begin(model::starting_job(2, "van")).empty());
    // Nonsense elsewhere does not stand in their way.
    QVERIFY(!set(document, "/pulse/on_s", Raw(99)).empty());
    QVERIFY(!set(document, "/supply/low_V", Raw(18)).empty());
    QVERIFY(!set(document, "/supply/usual_V", Raw(25.2)).empty());
    QVERIFY(!set(document, "/supply/charge_V", Raw(28.8)).empty());
    QCOMPARE(document.refused().size(), 4u);
    QVERIFY(set(document, "/supply/high_V", Raw(30)).empty());
    QCOMPARE(document.refused().size(), 1u);
    QVERIFY(document.refused().contains("/pulse/on_s"));
    QCOMPARE(number_at(document, "/supply/usual_V"), 25.2);
  }

  void nonsenseDoesNotHoldUpAPair() {
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    QVERIFY(!set(document, "/pulse/on_s", Raw(99)).empty());
    QVERIFY(why(document, "/pulse/on_s").contains("0.02 to 10 s"));
    QVERIFY(!set(document, "/supply/low_V", Raw(13)).empty());
    QVERIFY(set(document, "/supply/usual_V", Raw(13.5)).empty());
    QCOMPARE(number_at(document, "/supply/low_V"), 13.0);
    QCOMPARE(document.refused().size(), 1u);
    QVERIFY(document.refused().contains("/pulse/on_s"));
    QCOMPARE(number_at(document, "/pulse/on_s"), 0.7);
  }

  void nonsenseDoesNotHoldUpValuesThatNeedEachOther() {
    // Neither list is lawful without the other.
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    QVERIFY(!set(document, "/pulse/on_s", Raw(99)).empty());
    const std::string rod = "/doors/4/rod_force";
    QVERIFY(!set(document, rod + "/x_mm", Raw(Raw::List{Raw(0), Raw(10), Raw(20)})).empty());
    QVERIFY(set(document, rod + "/N", Raw(Raw::List{Raw(12), Raw(30), Raw(-4)})).empty());
    QCOMPARE(document.study()->job.doors[4].rod_force.x.size(), 3u);
    QCOMPARE(document.refused().size(), 1u);
    QVERIFY(document.refused().contains("/pulse/on_s"));
  }

  void reasonsFollowTheJob() {
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    QVERIFY(!set(document, "/supply/low_V", Raw(14)).empty());
    QVERIFY(why(document, "/supply/low_V").contains("12.6 V"));
    QVERIFY(set(document, "/supply/usual_V", Raw(13)).empty());
    QVERIFY(why(document, "/supply/low_V").contains("13 V must not be below"));
    document.undoStack().undo();
    QVERIFY(why(document, "/supply/low_V").contains("12.6 V must not be below"));
  }

  void refusedValuesAreGivenUp() {
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    QVERIFY(!set(document, "/pulse/on_s", Raw(99)).empty());
    QVERIFY(!set(document, "/pulse/on_s", Raw("x")).empty());
    QCOMPARE(*document.refused().at("/pulse/on_s").value->text(), "x");
    // A lawful one, even the job's own, clears it.
    QSignalSpy refused(&document, &Document::refusedChanged);
    QVERIFY(set(document, "/pulse/on_s", Raw(0.7)).empty());
    QVERIFY(document.refused().empty());
    QCOMPARE(refused.count(), 1);
    QCOMPARE(document.undoStack().count(), 0);
    QVERIFY(!set(document, "/use/cycles", Raw(1.5)).empty());
    document.dropRefused("/use/cycles");
    QVERIFY(document.refused().empty());
    QCOMPARE(refused.count(), 3);
    // Another job has none.
    QVERIFY(!set(document, "/use/cycles", Raw(1.5)).empty());
    QVERIFY(document.open(example("taxi-open.json")).empty());
    QVERIFY(document.refused().empty());
  }

  void refusedValuesFollowTheirDoor() {
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    QVERIFY(!set(document, "/doors/2/stroke_mm", Raw(999)).empty());
    QVERIFY(!set(document, "/doors/0/stroke_mm", Raw(888)).empty());
    QVERIFY(set(document, "/doors", without_door(document, 0)).empty());
    QCOMPARE(document.refused().size(), 1u);
    QCOMPARE(*document.refused().at("/doors/1/stroke_mm").value->number(), 999.0);
    document.undoStack().undo();
    QVERIFY(document.refused().contains("/doors/2/stroke_mm"));
    QVERIFY(set(document, "/doors/2/name", Raw("another name")).empty());
    QVERIFY(document.refused().contains("/doors/2/stroke_mm"));
    QVERIFY(set(document, "/doors", without_door(document, 2)).empty());
    QVERIFY(document.refused().empty());
  }

  void aRefusedRecordIsMendedByOneOfItsFigures() {
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    const Raw table(Raw::Object{
        {"shape", Raw("table")}, {"x_mm", Raw(Raw::List{Raw(0), Raw(18)})}, {"N", Raw(Raw::List{Raw(5)})}});
    QVERIFY(!set(document, "/doors/0/rod_force", table).empty());
    QVERIFY(why(document, "/doors/0/rod_force").contains("/doors/0/rod_force/N"));
    QVERIFY(set(document, "/doors/0/rod_force/N", Raw(Raw::List{Raw(5), Raw(6)})).empty());
    QVERIFY(document.refused().empty());
    QVERIFY(document.study()->job.doors[0].rod_force.shape == model::RodShape::table);
    QCOMPARE(document.undoStack().count(), 1);
  }

  void aFigureOfTheOldRecordGivesUpTheRefusedOne() {
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    QVERIFY(!set(document, "/doors/0/rod_force", Raw(Raw::Object{{"shape", Raw("steady")}})).empty());
    QVERIFY(set(document, "/doors/0/rod_force/cold_factor", Raw(1.5)).empty());
    QVERIFY(document.refused().empty());
    QCOMPARE(number_at(document, "/doors/0/rod_force/peak_N"), 20.0);
  }

  void editsTogetherAreTakenOrRefusedTogether() {
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    const std::string before = document.text();
    const auto faults = document.edit({{"/pulse/on_s", Raw(0.4)}, {"/use/gap_s", Raw(-1)}}, "both");
    QCOMPARE(faults.size(), 1u);
    QCOMPARE(faults[0].pointer, "/use/gap_s");
    QCOMPARE(document.text(), before);
    QCOMPARE(document.refused().size(), 2u);
    QVERIFY(document.edit({{"/pulse/on_s", Raw(0.4)}, {"/use/gap_s", Raw(2)}}, "both").empty());
    QVERIFY(document.refused().empty());
    QCOMPARE(document.undoStack().count(), 1);
  }

  void placesThatAreNotThere() {
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    const std::string before = document.text();
    QCOMPARE(set(document, "/doors/9/stroke_mm", Raw(18)).size(), 1u);
    QVERIFY(document.refused().empty());
    QVERIFY(!set(document, "/pulse/no_such_key", Raw(18)).empty());
    QVERIFY(why(document, "/pulse/no_such_key").contains("unknown key"));
    QCOMPARE(document.text(), before);
  }

  void partsThatUndoNoLongerFinds() {
    const tests::ScratchFolder folder;
    write_wire(folder.file("parts.json"), "my-wire");
    Document document;
    QVERIFY(document.setPartFiles({folder.file("parts.json")}).empty());
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    const std::string first = document.text();
    QVERIFY(set(document, "/feed/wire", Raw("my-wire")).empty());
    document.saveAs(QString::fromStdString(folder.file("job.json")), false);
    QVERIFY(set(document, "/feed/wire", Raw("wire-2.5")).empty());
    const std::string last = document.text();
    QVERIFY(document.setPartFiles({}).empty());
    // Going back is not possible: the job stays lawful, the value stands refused, and nothing counts as
    // saved.
    document.undoStack().undo();
    QCOMPARE(document.text(), last);
    QVERIFY(why(document, "/feed/wire").contains("my-wire"));
    QVERIFY(document.isChanged());
    QCOMPARE(document.undoStack().count(), 1);
    // The step before it still leads to where it began.
    document.undoStack().undo();
    QCOMPARE(document.text(), first);
    QVERIFY(document.isChanged());
    document.undoStack().redo();
    QCOMPARE(document.text(), first);
    QVERIFY(why(document, "/feed/wire").contains("my-wire"));
    // With its part back, a refused value is taken by the next edit.
    QVERIFY(document.setPartFiles({folder.file("parts.json")}).empty());
    QVERIFY(why(document, "/feed/wire").contains("can be taken now"));
    QVERIFY(set(document, "/pulse/on_s", Raw(0.6)).empty());
    QCOMPARE(*model::value_at(document.tree(), "/feed/wire")->text(), "my-wire");
  }
};

QTEST_MAIN(RefusedTest)
#include "refused_test.moc"

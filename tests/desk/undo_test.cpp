// SPDX-License-Identifier: GPL-3.0-or-later

#include <QSignalSpy>
#include <QTest>
#include <random>

#include "desk/documents.h"
#include "io/json.h"
#include "support/scratch_folder.h"

// Steps that are done, undone, joined, and what they keep.
using namespace latchwright;
using desk::Document;
using desk::Edit;
using model::Raw;
using namespace tests;

namespace {

Raw door(const std::string& name) {
  return Raw(Raw::Object{{"name", Raw(name)},
                         {"branch_length_m", Raw(2.5)},
                         {"stroke_mm", Raw(18)},
                         {"rod_force", Raw(Raw::Object{{"shape", Raw("steady")}, {"peak_N", Raw(20)}})}});
}

/// One random edit, mostly lawful.
std::vector<Edit> random_edit(std::mt19937& random, const Document& document) {
  const auto below = [&](std::size_t end) { return static_cast<std::size_t>(random() % end); };
  const Raw::List& doors = *model::value_at(document.tree(), "/doors")->list();
  const std::string at = "/doors/" + std::to_string(below(doors.size()));
  switch (below(11)) {
    case 0:
      return {{"/pulse/on_s", Raw(0.2 + 0.001 * static_cast<double>(below(1000)))}};
    case 1:
      return {{"/supply/usual_V", Raw(8.0 + 0.1 * static_cast<double>(below(80)))}};
    case 2:
      return {{"/supply/low_V", Raw(8.0 + 0.1 * static_cast<double>(below(80)))}};
    case 3:
      return {{at + "/stroke_mm", Raw(10.0 + static_cast<double>(below(20)) / 7)}};
    case 4:
      return {{at + "/fuse", below(2) ? std::optional<Raw>(Raw()) : std::nullopt}};
    case 5:
      return {{at + "/name", Raw("door " + std::to_string(below(6)))}};
    case 6:
      return {{"/supply/jump_V", below(2) ? std::optional<Raw>(Raw(26)) : std::nullopt}};
    case 7: {
      Raw::List more = doors;
      more.insert(more.begin() + static_cast<std::ptrdiff_t>(below(more.size() + 1)),
                  door("added " + std::to_string(below(1000))));
      return {{"/doors", Raw(std::move(more))}};
    }
    case 8:
      return {{"/doors", without_door(document, below(doors.size()))}};
    case 9: {
      Raw::List other = doors;
      std::swap(other.front(), other[below(other.size())]);
      return {{"/doors", Raw(std::move(other))}};
    }
    default:
      return {{at + "/rod_force",
               Raw(Raw::Object{{"shape", Raw("table")},
                               {"x_mm", Raw(Raw::List{Raw(0), Raw(5), Raw(40)})},
                               {"N", Raw(Raw::List{Raw(3), Raw(static_cast<double>(below(9))), Raw(-1)})}})}};
  }
}

}  // namespace

class UndoTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void undoAndRedo() {
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    const std::string first = document.text();
    const auto old_study = document.study();
    bool changed_as_told = false;
    connect(&document, &Document::studyChanged, [&] { changed_as_told = document.isChanged(); });
    QSignalSpy study(&document, &Document::studyChanged), named(&document, &Document::nameChanged);

    QVERIFY(document.edit({{"/pulse/on_s", Raw(0.4)}}, "pulse").empty());
    QCOMPARE(study.count(), 1);
    QVERIFY(changed_as_told);
    QVERIFY(named.count() >= 1);
    QCOMPARE(document.undoStack().undoText(), "pulse");
    QCOMPARE(document.study()->job.pulse.on_s, 0.4);
    QCOMPARE(old_study->job.pulse.on_s, 0.7);  // handed out: never changes

    document.undoStack().undo();
    QCOMPARE(study.count(), 2);
    QVERIFY(!changed_as_told);
    QCOMPARE(document.text(), first);
    QCOMPARE(document.study()->job.pulse.on_s, 0.7);
    document.undoStack().redo();
    QCOMPARE(document.study()->job.pulse.on_s, 0.4);
    QVERIFY(document.isChanged());
  }

  void editsThatChangeNothingMakeNoStep() {
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    QSignalSpy study(&document, &Document::studyChanged);
    QVERIFY(set(document, "/pulse/on_s", Raw(0.7)).empty());
    QVERIFY(set(document, "/supply/jump_V", {}).empty());
    QVERIFY(document.edit({}, "nothing").empty());
    QCOMPARE(document.undoStack().count(), 0);
    QCOMPARE(study.count(), 0);
  }

  void absentAndNullFuses() {
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    QVERIFY(model::value_at(document.tree(), "/doors/4/fuse") == nullptr);
    QVERIFY(document.study()->complete());
    QVERIFY(set(document, "/doors/4/fuse", Raw()).empty());
    QVERIFY(model::value_at(document.tree(), "/doors/4/fuse")->is_null());
    QCOMPARE(document.study()->not_chosen.size(), 1u);
    QVERIFY(set(document, "/doors/4/fuse", {}).empty());
    QVERIFY(document.study()->complete());
    document.undoStack().undo();
    QVERIFY(model::value_at(document.tree(), "/doors/4/fuse")->is_null());
    document.undoStack().undo();
    QVERIFY(model::value_at(document.tree(), "/doors/4/fuse") == nullptr);
  }

  void sliderStepsMerge() {
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    for (const double on_s : {0.6, 0.5, 0.45}) QVERIFY(set(document, "/pulse/on_s", Raw(on_s), true).empty());
    QCOMPARE(document.undoStack().count(), 1);
    QVERIFY(set(document, "/use/gap_s", Raw(2), true).empty());
    QCOMPARE(document.undoStack().count(), 2);
    // A typed value is a step of its own.
    QVERIFY(set(document, "/use/gap_s", Raw(3)).empty());
    QVERIFY(set(document, "/use/gap_s", Raw(4), true).empty());
    QCOMPARE(document.undoStack().count(), 4);
    document.undoStack().setIndex(0);
    QCOMPARE(number_at(document, "/pulse/on_s"), 0.7);
    document.undoStack().redo();
    QCOMPARE(number_at(document, "/pulse/on_s"), 0.45);

    // There and back again: no step is left, and nothing is changed.
    document.undoStack().undo();
    QVERIFY(set(document, "/pulse/on_s", Raw(0.9), true).empty());
    QVERIFY(document.isChanged());
    QSignalSpy study(&document, &Document::studyChanged);
    QVERIFY(set(document, "/pulse/on_s", Raw(0.7), true).empty());
    QCOMPARE(study.count(), 1);
    QCOMPARE(document.undoStack().count(), 0);
    QVERIFY(!document.isChanged());
    QCOMPARE(number_at(document, "/pulse/on_s"), 0.7);
  }

  void sliderStepsDoNotMergeOverASave() {
    const tests::ScratchFolder folder;
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    QVERIFY(set(document, "/pulse/on_s", Raw(0.6), true).empty());
    document.saveAs(QString::fromStdString(folder.file("a.json")), false);
    QVERIFY(set(document, "/pulse/on_s", Raw(0.5), true).empty());
    QCOMPARE(document.undoStack().count(), 2);
    QVERIFY(document.isChanged());
    document.undoStack().undo();
    QVERIFY(!document.isChanged());
  }

  void structuralEdits() {
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    const std::string first = document.text();
    Raw::List doors = *model::value_at(document.tree(), "/doors")->list();
    doors.push_back(door("sliding door"));
    QVERIFY(set(document, "/doors", Raw(doors)).empty());
    QCOMPARE(document.study()->job.doors.size(), 6u);
    std::swap(doors[0], doors[5]);
    QVERIFY(set(document, "/doors", Raw(doors)).empty());
    QCOMPARE(document.study()->job.doors[0].name, "sliding door");
    QVERIFY(set(document, "/parts", Raw(Raw::List{model::write_job(document.study()->job)})).size() > 0);
    document.dropRefused("/parts");
    document.undoStack().setIndex(0);
    QCOMPARE(document.text(), first);
    document.undoStack().setIndex(2);
    QCOMPARE(document.study()->job.doors[0].name, "sliding door");
    QCOMPARE(document.study()->job.doors[5].name, "front left");
  }

  void undoAllTheWayBack() {
    int refusals = 0;
    for (unsigned seed = 1; seed <= 12; ++seed) {
      std::mt19937 random(seed);
      Document document;
      QVERIFY(document.open(example(examples[seed % 4])).empty());
      std::vector<std::string> texts{document.text()};
      for (int k = 0; k < 120; ++k) {
        if (random() % 10 == 0 && document.undoStack().canUndo()) {
          document.undoStack().undo();
          texts.pop_back();
          QCOMPARE(document.text(), texts.back());
          continue;
        }
        const int before = document.undoStack().index();
        const bool refused = !document.edit(random_edit(random, document), "edit").empty();
        refusals += refused ? 1 : 0;
        if (document.undoStack().index() > before) texts.push_back(document.text());
        QCOMPARE(document.text(), texts.back());
        // What stands in the window is what its text means.
        QVERIFY(checked(document, document.tree()).job.doors == document.study()->job.doors);
        const auto again = io::parse_json(document.text(), "again");
        QVERIFY(checked(document, again.value()).job.doors == document.study()->job.doors);
      }
      QVERIFY(texts.size() > 30);
      QCOMPARE(document.undoStack().index() + 1, static_cast<int>(texts.size()));
      for (std::size_t k = texts.size() - 1; k-- > 0;) {
        document.undoStack().undo();
        QCOMPARE(document.text(), texts[k]);
      }
      QVERIFY(!document.isChanged());
      for (std::size_t k = 1; k < texts.size(); ++k) {
        document.undoStack().redo();
        QCOMPARE(document.text(), texts[k]);
      }
      document.undoStack().setIndex(0);
      QCOMPARE(document.text(), texts.front());
    }
    QVERIFY2(refusals > 100, QByteArray::number(refusals));
  }

  void memoryStaysFlat() {
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    constexpr int edits = 10'000;
    for (int k = 0; k < edits; ++k) {
      const char* pointer = k % 2 ? "/pulse/on_s" : "/doors/3/rod_force/peak_N";
      QVERIFY(set(document, pointer, Raw(k % 2 ? 0.5 + k * 1e-5 : 21 + k * 1e-4)).empty());
    }
    QCOMPARE(document.undoStack().count(), edits);
    QVERIFY(document.undoBytes() > edits * sizeof(double));
    QVERIFY2(document.undoBytes() < edits * 1024u, QByteArray::number(qulonglong(document.undoBytes())));
    // A long drag is one step.
    const std::size_t before = document.undoBytes();
    for (int k = 0; k < 2'000; ++k) QVERIFY(set(document, "/use/gap_s", Raw(2 + k * 1e-3), true).empty());
    QCOMPARE(document.undoStack().count(), edits + 1);
    QVERIFY(document.undoBytes() < before + 1024);
    // Taking one door of five out keeps that door, not all of them twice.
    const std::size_t flat = document.undoBytes();
    QVERIFY(set(document, "/doors", without_door(document, 2)).empty());
    QVERIFY(document.undoBytes() < flat + 4096);
    document.undoStack().clear();
    QCOMPARE(document.undoBytes(), 0u);
  }
};

QTEST_MAIN(UndoTest)
#include "undo_test.moc"

// SPDX-License-Identifier: GPL-3.0-or-later

#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <QSignalSpy>
#include <QTest>
#include <fstream>

#include "base/failure.h"
#include "desk/documents.h"
#include "io/json.h"
#include "model/starting_job.h"
#include "support/change_cases.h"
#include "support/scratch_folder.h"

// Opening, beginning, saving, part files.
using namespace latchwright;
using desk::Document;
using model::Raw;
using namespace tests;

namespace {

/// What saving says, or nothing where it saved.
template <class Save>
std::string fault_of(Save save) {
  try {
    save();
  } catch (const base::UsageError& error) {
    return error.what();
  }
  return "";
}

/// Keys of one tree that another lacks or holds otherwise.
std::vector<std::string> lost_keys(const Raw& from, const Raw& to) {
  std::vector<std::string> lost;
  for (const auto& change : model::changes_between(from, to)) {
    if (change.before) lost.push_back(change.pointer);
  }
  return lost;
}

}  // namespace

class DocumentTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void beginsEmpty() {
    Document document;
    QVERIFY(!document.hasJob());
    QVERIFY(document.study() == nullptr);
    QVERIFY(!document.isChanged());
    QVERIFY(document.builtinFaults().empty());
    QVERIFY(document.catalogue().find("wire-1.0") != nullptr);
    QCOMPARE(document.shownName(), "unnamed job");
    QCOMPARE(set(document, "/pulse/on_s", Raw(1)).size(), 1u);
    QVERIFY(fault_of([&] { document.save(); }).find("no file yet") != std::string::npos);
    QVERIFY(!fault_of([&] { document.saveAs("/nowhere/x.json", false); }).empty());
  }

  void opensTheExamples() {
    for (const char* name : examples) {
      Document document;
      QSignalSpy study(&document, &Document::studyChanged), named(&document, &Document::nameChanged);
      QVERIFY(document.open(example(name)).empty());
      QCOMPARE(study.count(), 1);
      QVERIFY(named.count() >= 1);
      QCOMPARE(document.shownName(), name);
      QVERIFY(!document.isChanged());
      QVERIFY(QFileInfo(document.path()).isAbsolute());
      // Nothing of the file is lost, and the tree means what the file means.
      const Raw file = io::read_json_file(example(name).toStdString()).value();
      QCOMPARE(lost_keys(file, document.tree()), std::vector<std::string>());
      const model::Study by_file = checked(document, file), by_tree = checked(document, document.tree());
      QVERIFY(by_file.job.doors == by_tree.job.doors);
      QCOMPARE(io::write_json(model::write_job(by_file.job)), io::write_json(model::write_job(by_tree.job)));
      QVERIFY(document.study()->job.doors == by_file.job.doors);
      // Defaults stand in it.
      for (const char* pointer :
           {"/supply/high_V", "/spread/length", "/limits/clear_s", "/doors/0/joints_mohm"}) {
        QVERIFY2(model::value_at(document.tree(), pointer) != nullptr, pointer);
      }
    }
  }

  void relativePathsBecomeAbsolute() {
    const tests::ScratchFolder folder;
    QFile::copy(example("taxi-open.json"), QString::fromStdString(folder.file("job.json")));
    const QString before = QDir::currentPath();
    QDir::setCurrent(QString::fromStdString(folder.path()));
    Document document;
    QVERIFY(document.open("job.json").empty());
    QDir::setCurrent(before);
    QCOMPARE(document.path(), QString::fromStdString(folder.file("job.json")));
    document.save();
  }

  void faultsOfAFileLeaveTheJob() {
    const tests::ScratchFolder folder;
    const std::string path = folder.file("bad.json");
    std::ofstream(path) << R"({"latchwright_job": 1, "pulse": {"on_s": "long"}, "doors": []})";
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    const std::string before = document.text();
    QSignalSpy study(&document, &Document::studyChanged);
    const auto faults = document.open(QString::fromStdString(path));
    QCOMPARE(faults.size(), 3u);
    for (const auto& fault : faults) QCOMPARE(fault.file, path);
    QVERIFY(
        std::any_of(faults.begin(), faults.end(), [](const auto& f) { return f.pointer == "/pulse/on_s"; }));
    QCOMPARE(document.open(QString::fromStdString(folder.file("missing.json"))).size(), 1u);
    QCOMPARE(document.begin(Raw(Raw::Object{})).empty(), false);
    QCOMPARE(document.text(), before);
    QCOMPARE(document.shownName(), "five-door-estate.json");
    QCOMPARE(study.count(), 0);
  }

  void figuresWithManyDigitsStay() {
    // More than the 15 digits that the writer of jobs rounds to.
    Raw job = model::starting_job(1, "van");
    model::set_value(job, "/feed/length_m", Raw(2.0000000000000004));
    Document document;
    QVERIFY(document.begin(job).empty());
    QCOMPARE(number_at(document, "/feed/length_m"), 2.0000000000000004);
    QVERIFY(set(document, "/pulse/on_s", Raw(0.6)).empty());
    document.undoStack().undo();
    QVERIFY(number_at(document, "/feed/length_m") == 2.0000000000000004);
  }

  void beginsChangedOrNot() {
    const tests::ScratchFolder folder;
    Document document;
    QVERIFY(document.begin(model::starting_job(3, "hatch")).empty());
    QVERIFY(!document.isChanged());
    QCOMPARE(document.shownName(), "hatch with 3 doors");
    QVERIFY(document.path().isEmpty());
    bool changed_as_told = false;
    connect(&document, &Document::studyChanged, [&] { changed_as_told = document.isChanged(); });
    QVERIFY(document.begin(model::starting_job(2, "van"), true).empty());
    QVERIFY(changed_as_told);
    QVERIFY(set(document, "/title", {}).empty());
    QCOMPARE(document.shownName(), "unnamed job");
    document.undoStack().undo();
    QVERIFY(document.isChanged());
    document.saveAs(QString::fromStdString(folder.file("new.json")), false);
    QVERIFY(!document.isChanged());
    QCOMPARE(document.shownName(), "new.json");
  }

  void theNameFollowsTheTitle() {
    Document document;
    QVERIFY(document.begin(model::starting_job(3, "hatch")).empty());
    QVERIFY(set(document, "/pulse/on_s", Raw(0.6)).empty());
    QSignalSpy named(&document, &Document::nameChanged);
    QVERIFY(set(document, "/title", Raw("the red one")).empty());
    QCOMPARE(named.count(), 1);
    QCOMPARE(document.shownName(), "the red one");
    document.undoStack().undo();
    QCOMPARE(named.count(), 2);
  }

  void savedAndOpenedAgainIsEqual() {
    const tests::ScratchFolder folder;
    const QString path = QString::fromStdString(folder.file("Tür 1.json"));
    for (const char* name : examples) {
      Document document, again;
      QVERIFY(document.open(example(name)).empty());
      QVERIFY(set(document, "/title", Raw("Kombi \"grün\"")).empty());
      QVERIFY(set(document, "/doors/1/stroke_mm", Raw(19.3)).empty());
      document.saveAs(path, true);
      QVERIFY(!document.isChanged());
      QCOMPARE(document.path(), path);
      QVERIFY(again.open(path).empty());
      QCOMPARE(again.text(), document.text());
      QCOMPARE(tests::read_text(path.toStdString()), document.text());
      QVERIFY(again.study()->job.doors == document.study()->job.doors);
      document.undoStack().undo();
      QVERIFY(document.isChanged());
      document.undoStack().redo();
      QVERIFY(!document.isChanged());
    }
  }

  void savingOverOtherFiles() {
    const tests::ScratchFolder folder;
    const std::string path = folder.file("other.json");
    std::ofstream(path) << "precious";
    Document document;
    QVERIFY(document.open(example("taxi-open.json")).empty());
    const std::string fault = fault_of([&] { document.saveAs(QString::fromStdString(path), false); });
    QCOMPARE(fault, path + ": exists already; nothing was written");
    QCOMPARE(tests::read_text(path), "precious");
    QCOMPARE(document.shownName(), "taxi-open.json");
    QVERIFY(!fault_of([&] { document.saveAs(QString::fromStdString(folder.path()), true); }).empty());
    QCOMPARE(document.shownName(), "taxi-open.json");
    document.saveAs(QString::fromStdString(path), true);
    QCOMPARE(tests::read_text(path), document.text());
  }

  void changesByOtherPrograms() {
    const tests::ScratchFolder folder;
    const std::string path = folder.file("job.json");
    QFile::copy(example("taxi-open.json"), QString::fromStdString(path));
    QFile::setPermissions(QString::fromStdString(path), QFile::ReadOwner | QFile::WriteOwner);
    Document document;
    QVERIFY(document.open(QString::fromStdString(path)).empty());
    QVERIFY(set(document, "/pulse/on_s", Raw(0.44)).empty());

    // Touched, not changed.
    QFile file(QString::fromStdString(path));
    QVERIFY(file.open(QIODevice::ReadWrite));
    const QDateTime then = file.fileTime(QFileDevice::FileModificationTime);
    QVERIFY(file.setFileTime(then.addSecs(60), QFileDevice::FileModificationTime));
    file.close();
    QVERIFY(!document.isFileChangedOutside());
    document.save();
    QVERIFY(!document.isFileChangedOutside());

    // Changed, with as many bytes and the time set back.
    std::string text = tests::read_text(path);
    text.replace(text.find("0.44"), 4, "0.55");
    QVERIFY(file.open(QIODevice::ReadWrite));
    const QDateTime saved = file.fileTime(QFileDevice::FileModificationTime);
    file.write(QByteArray::fromStdString(text));
    file.flush();
    QVERIFY(file.setFileTime(saved, QFileDevice::FileModificationTime));
    file.close();
    QVERIFY(document.isFileChangedOutside());
    QVERIFY(set(document, "/pulse/on_s", Raw(0.33)).empty());
    const std::string fault = fault_of([&] { document.save(); });
    QVERIFY(fault.find("changed by another program") != std::string::npos);
    QVERIFY(fault.find(path) == 0);
    QCOMPARE(tests::read_text(path), text);
    QVERIFY(document.isChanged());
    document.saveAnyway();
    QCOMPARE(tests::read_text(path), document.text());
    QVERIFY(!document.isChanged());
    QVERIFY(!document.isFileChangedOutside());

    // Taken away: saving makes it anew.
    QFile::remove(QString::fromStdString(path));
    QVERIFY(!document.isFileChangedOutside());
    QVERIFY(set(document, "/pulse/on_s", Raw(0.22)).empty());
    document.save();
    QCOMPARE(tests::read_text(path), document.text());
  }

  void aSaveThatFailsLeavesTheJobChanged() {
    Document document;
    QVERIFY(document.open(example("taxi-open.json")).empty());
    QVERIFY(set(document, "/pulse/on_s", Raw(0.22)).empty());
    QVERIFY(!fault_of([&] { document.saveAs("/nowhere/at/all.json", false); }).empty());
    QVERIFY(document.isChanged());
    QCOMPARE(document.shownName(), "taxi-open.json");
  }

  void partFiles() {
    const tests::ScratchFolder folder;
    const std::string good = folder.file("good.json"), bad = folder.file("bad.json");
    write_wire(good, "my-wire");
    std::ofstream(bad) << "{";
    Document document;
    QVERIFY(document.open(example("five-door-estate.json")).empty());
    QVERIFY(!document.setPartFiles({good, bad}).empty());
    QVERIFY(document.catalogue().find("my-wire") == nullptr);
    QVERIFY(document.partFiles().empty());
    QCOMPARE(document.setPartFiles({folder.file("missing.json")}).size(), 1u);

    QSignalSpy study(&document, &Document::studyChanged);
    QVERIFY(document.setPartFiles({good}).empty());
    QCOMPARE(study.count(), 1);
    QVERIFY(document.catalogue().find("my-wire") != nullptr);
    QCOMPARE(document.partFiles(), std::vector<std::string>{good});
    QVERIFY(!document.isChanged());
    QVERIFY(set(document, "/feed/wire", Raw("my-wire")).empty());

    // The job needs it: it cannot go.
    const auto faults = document.setPartFiles({});
    QCOMPARE(faults.size(), 1u);
    QCOMPARE(faults[0].pointer, "/feed/wire");
    QCOMPARE(document.partFiles().size(), 1u);
    QVERIFY(document.catalogue().find("my-wire") != nullptr);
    // Another figure of it comes into the study.
    write_wire(good, "my-wire", "3");
    QVERIFY(document.setPartFiles({good}).empty());
    QCOMPARE(document.study()->feed_wire().area, 3e-6);
  }
};

QTEST_MAIN(DocumentTest)
#include "document_test.moc"

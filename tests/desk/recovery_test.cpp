// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/recovery.h"

#include <signal.h>

#include <QApplication>
#include <QDir>
#include <QProcess>
#include <QSignalSpy>
#include <QTest>
#include <cstdio>
#include <fstream>

#include "io/json.h"
#include "model/starting_job.h"
#include "model/tree_edit.h"
#include "support/change_cases.h"
#include "support/scratch_folder.h"

using namespace latchwright;
using desk::Document;
using desk::Recovery;
using model::Raw;

namespace {

const QString example = LATCHWRIGHT_SOURCE_DIR "/docs/examples/five-door-estate.json";
constexpr int patience_ms = 20'000;

/// Only the last can be read as a rescue file, and its job is no lawful one.
constexpr std::pair<const char*, const char*> broken_files[] = {
    {"cut.json", R"({"latchwright_rescue": 1, "job_path": "",)"},
    {"empty.json", ""},
    {"other.json", R"({"latchwright_job": 1})"},
    {"later.json", R"({"latchwright_rescue": 2, "job": {}})"},
    {"list.json", R"({"latchwright_rescue": 1, "job": []})"},
    {"unlawful.json",
     R"({"latchwright_rescue": 1, "job_path": "", "saved_at": "never", "job": {"pulse": 1}})"}};

void set_pulse(Document& document, double on_s) {
  const auto faults = document.edit({{"/pulse/on_s", Raw(on_s)}}, "pulse");
  if (!faults.empty()) throw std::runtime_error(faults.front().line());
}

QStringList files_in(const QString& folder) {
  return QDir(folder).entryList(QDir::Files | QDir::Hidden, QDir::Name);
}

/// This program as another window: opens a job, changes it, and waits to be ended.
int stand_by(const QString& job, const QString& folder) {
  Document document;
  Recovery recovery(document, folder);
  if (!document.open(job).empty()) return 1;
  set_pulse(document, 0.41);
  recovery.writeNow();
  std::puts("ready");
  std::fflush(stdout);
  return QCoreApplication::exec();
}

class OtherWindow {
 public:
  OtherWindow(const QString& job, const QString& folder) {
    process_.start(QCoreApplication::applicationFilePath(), {"--stand-by", job, folder});
  }
  ~OtherWindow() { die(); }
  bool ready() {
    while (!process_.canReadLine()) {
      if (!process_.waitForReadyRead(patience_ms)) return false;
    }
    return process_.readLine().trimmed() == "ready";
  }
  void die() {
    if (process_.state() == QProcess::NotRunning) return;
    ::kill(static_cast<pid_t>(process_.processId()), SIGKILL);
    process_.waitForFinished(patience_ms);
  }

 private:
  QProcess process_;
};

}  // namespace

class RecoveryTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void init() {
    scratch_ = std::make_unique<tests::ScratchFolder>();
    folder_ = QString::fromStdString(scratch_->file("deep/rescue"));
    job_ = QString::fromStdString(scratch_->file("job.json"));
    QVERIFY(QFile::copy(example, job_));
  }

  void nothingIsWrittenUnchanged() {
    Document document;
    Recovery recovery(document, folder_);
    recovery.setDelay(1);
    QVERIFY(document.open(job_).empty());
    recovery.writeNow();
    QTest::qWait(50);
    QVERIFY(!QDir(folder_).exists());
    QVERIFY(recovery.file().isEmpty());
  }

  void theFileSaysWhatWasChanged() {
    Document document;
    Recovery recovery(document, folder_);
    QVERIFY(document.open(job_).empty());
    const auto hash = document.fileHash().toStdString();
    set_pulse(document, 0.41);
    recovery.writeNow();
    const auto rescue = io::read_json_file(recovery.file().toStdString());
    QVERIFY(rescue.ok());
    QCOMPARE(*rescue.value().find("latchwright_rescue")->number(), 1.0);
    QCOMPARE(*rescue.value().find("job_path")->text(), job_.toStdString());
    QCOMPARE(*rescue.value().find("job_file_sha256")->text(), hash);
    QVERIFY(model::same(*rescue.value().find("job"), document.tree()));
    const auto saved = QDateTime::fromString(QString::fromStdString(*rescue.value().find("saved_at")->text()),
                                             Qt::ISODateWithMs);
    QVERIFY(saved.isValid());
    QVERIFY(std::abs(saved.secsTo(QDateTime::currentDateTimeUtc())) < 600);
    QCOMPARE(files_in(folder_).size(), 2);  // the file and its lock
  }

  void itIsWrittenSoonAndWhileEditsGoOn() {
    Document document;
    Recovery recovery(document, folder_);
    QVERIFY(document.open(job_).empty());
    recovery.setDelay(5);
    set_pulse(document, 0.41);
    QTRY_VERIFY_WITH_TIMEOUT(!recovery.file().isEmpty(), patience_ms);

    // Each edit puts it off, but not for ever.
    recovery.setDelay(patience_ms * 10, 30);
    QFile::remove(recovery.file());
    double on_s = 0.42;
    while (!QFile::exists(recovery.file()) && on_s < 9) {
      set_pulse(document, on_s += 0.001);
      QTest::qWait(1);
    }
    QVERIFY(QFile::exists(recovery.file()));
  }

  void savingTakesItAway() {
    Document document;
    Recovery recovery(document, folder_);
    QVERIFY(document.open(job_).empty());
    set_pulse(document, 0.41);
    recovery.writeNow();
    document.save();
    QCOMPARE(files_in(folder_), QStringList());
    // Going back to what was saved takes it away as well.
    set_pulse(document, 0.42);
    recovery.writeNow();
    QCOMPARE(files_in(folder_).size(), 2);
    document.undoStack().undo();
    QCOMPARE(files_in(folder_), QStringList());
    // So does giving up.
    set_pulse(document, 0.43);
    recovery.writeNow();
    recovery.forget();
    QCOMPARE(files_in(folder_), QStringList());
    recovery.writeNow();
    QCOMPARE(files_in(folder_), QStringList());
  }

  void endingWithoutForgettingLeavesTheJob() {
    {
      Document document;
      Recovery recovery(document, folder_);
      QVERIFY(document.begin(model::starting_job(2, "van"), true).empty());
      QVERIFY(recovery.file().isEmpty());
    }
    Document document;
    Recovery recovery(document, folder_);
    const auto left = recovery.leftBehind();
    QCOMPARE(left.size(), 1u);
    QVERIFY(left[0].job_path.isEmpty());
    QCOMPARE(left[0].title, "van with 2 doors");
    recovery.throwAway(left[0]);
    QVERIFY(recovery.leftBehind().empty());
    QCOMPARE(files_in(folder_), QStringList());
  }

  void windowsOfOneProgramDoNotMeet() {
    Document one, two;
    Recovery first(one, folder_), second(two, folder_);
    QVERIFY(one.begin(model::starting_job(2, "van"), true).empty());
    QVERIFY(two.begin(model::starting_job(3, "van"), true).empty());
    first.writeNow();
    second.writeNow();
    QVERIFY(first.file() != second.file());
    QCOMPARE(files_in(folder_).size(), 4);
    QVERIFY(first.leftBehind().empty());
    QVERIFY(second.leftBehind().empty());
    first.forget();
    QVERIFY(QFile::exists(second.file()));
  }

  void aProgramThatWasKilled() {
    OtherWindow other(job_, folder_);
    QVERIFY(other.ready());
    Document document;
    Recovery recovery(document, folder_);
    // It is still running: its job is its own.
    QCOMPARE(files_in(folder_).size(), 2);
    QVERIFY(recovery.leftBehind().empty());
    other.die();

    const auto left = recovery.leftBehind();
    QCOMPARE(left.size(), 1u);
    QCOMPARE(left[0].job_path, job_);
    QCOMPARE(left[0].title, "Green estate, four doors and tailgate, retrofit");
    QVERIFY(std::abs(left[0].when.secsTo(QDateTime::currentDateTime())) < 600);

    QVERIFY(recovery.takeBack(left[0]).empty());
    QCOMPARE(document.study()->job.pulse.on_s, 0.41);
    QVERIFY(document.isChanged());
    QCOMPARE(document.path(), job_);
    // Until it is saved it is rescued here.
    QVERIFY(!QFile::exists(left[0].file));
    QVERIFY(QFile::exists(recovery.file()));
    QVERIFY(recovery.leftBehind().empty());
    document.save();
    QCOMPARE(files_in(folder_), QStringList());
    Document again;
    QVERIFY(again.open(job_).empty());
    QCOMPARE(again.study()->job.pulse.on_s, 0.41);
  }

  void aFileChangedSinceTheCrash() {
    {
      OtherWindow other(job_, folder_);
      QVERIFY(other.ready());
    }
    Document document, editor;
    QVERIFY(editor.open(job_).empty());
    set_pulse(editor, 0.9);
    editor.save();
    Recovery recovery(document, folder_);
    QVERIFY(recovery.takeBack(recovery.leftBehind().at(0)).empty());
    QVERIFY(document.isFileChangedOutside());
  }

  void newestFirst() {
    for (int doors = 1; doors <= 3; ++doors) {
      Document document;
      const Recovery recovery(document, folder_);
      QVERIFY(document.begin(model::starting_job(doors, "van"), true).empty());
      QTest::qWait(5);
    }
    Document document;
    Recovery recovery(document, folder_);
    const auto left = recovery.leftBehind();
    QCOMPARE(left.size(), 3u);
    QCOMPARE(left[0].title, "van with 3 doors");
    QCOMPARE(left[2].title, "van with 1 door");
    // Taking one leaves the others.
    QVERIFY(recovery.takeBack(left[1]).empty());
    QCOMPARE(document.study()->job.doors.size(), 2u);
    QCOMPARE(recovery.leftBehind().size(), 2u);
  }

  void brokenFilesStayAndAreNotListed() {
    QDir().mkpath(folder_);
    for (const auto& [name, text] : broken_files) std::ofstream((folder_ + "/" + name).toStdString()) << text;
    Document document;
    Recovery recovery(document, folder_);
    const auto left = recovery.leftBehind();
    // One that can be read but is no lawful job says so, and stays as well.
    QCOMPARE(left.size(), 1u);
    QVERIFY(!recovery.takeBack(left[0]).empty());
    QVERIFY(!document.hasJob());
    QCOMPARE(files_in(folder_).size(), 6);
    QCOMPARE(recovery.takeBack({folder_ + "/cut.json", "", "", {}}).size(), 1u);
    QCOMPARE(files_in(folder_).size(), 6);
  }

  void aFolderThatCannotBe() {
    // A file stands in the way of the folder.
    std::ofstream(scratch_->file("deep")) << "x";
    Document document;
    Recovery recovery(document, folder_);
    QSignalSpy failed(&recovery, &Recovery::failed);
    QVERIFY(document.open(job_).empty());
    set_pulse(document, 0.41);
    recovery.writeNow();
    QCOMPARE(failed.count(), 1);
    QVERIFY(failed[0][0].toString().contains("deep/rescue"));
    set_pulse(document, 0.42);
    recovery.writeNow();
    QCOMPARE(failed.count(), 1);  // told once
    QVERIFY(recovery.leftBehind().empty());
    QFile::remove(QString::fromStdString(scratch_->file("deep")));
    set_pulse(document, 0.43);
    recovery.writeNow();
    QCOMPARE(files_in(folder_).size(), 2);
  }

 private:
  std::unique_ptr<tests::ScratchFolder> scratch_;
  QString folder_, job_;
};

int main(int count, char** words) {
  QApplication application(count, words);
  const QStringList arguments = QApplication::arguments();
  if (arguments.size() == 4 && arguments[1] == "--stand-by") return stand_by(arguments[2], arguments[3]);
  RecoveryTest test;
  return QTest::qExec(&test, count, words);
}

#include "recovery_test.moc"

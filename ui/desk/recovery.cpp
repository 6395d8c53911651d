// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/recovery.h"

#include <QDir>
#include <QFile>
#include <QStandardPaths>
#include <QUuid>
#include <algorithm>
#include <utility>

#include "base/failure.h"
#include "io/files.h"
#include "io/json.h"

namespace latchwright::desk {

namespace {

constexpr int rescue_version = 1;

/// Null where another running program holds it. A lock whose program has ended counts as none.
std::unique_ptr<QLockFile> take_lock(const QString& rescue_file) {
  auto lock = std::make_unique<QLockFile>(rescue_file + ".lock");
  // A job may stay open for days.
  lock->setStaleLockTime(0);
  return lock->tryLock(0) ? std::move(lock) : nullptr;
}

QString text_at(const model::Raw& tree, const char* key) {
  const model::Raw* value = tree.find(key);
  return value && value->text() ? QString::fromStdString(*value->text()) : QString();
}

std::optional<model::Raw> read_rescue(const QString& file) {
  auto raw = io::read_json_file(QFile::encodeName(file).toStdString());
  if (!raw.ok()) return std::nullopt;
  const model::Raw* mark = raw.value().find("latchwright_rescue");
  const model::Raw* job = raw.value().find("job");
  if (!mark || !mark->number() || *mark->number() != rescue_version) return std::nullopt;
  if (!job || !job->object()) return std::nullopt;
  return std::move(raw.value());
}

}  // namespace

Recovery::Recovery(Document& document, const QString& folder, QObject* parent)
    : QObject(parent), document_(&document), folder_(folder) {
  if (folder_.isEmpty()) {
    folder_ = QStandardPaths::writableLocation(QStandardPaths::AppDataLocation) + "/rescue";
  }
  folder_ = QDir(folder_).absolutePath();
  file_ = folder_ + "/" + QUuid::createUuid().toString(QUuid::WithoutBraces) + ".json";
  timer_.setSingleShot(true);
  connect(&timer_, &QTimer::timeout, this, &Recovery::write);
  connect(&document, &Document::studyChanged, this, &Recovery::follow);
  connect(&document, &Document::nameChanged, this, &Recovery::follow);
  follow();
}

Recovery::~Recovery() { writeNow(); }

void Recovery::follow() {
  if (!document_->isChanged()) return forget();
  if (!timer_.isActive()) waiting_.start();
  const auto left = std::max<qint64>(0, longest_ - waiting_.elapsed());
  timer_.start(static_cast<int>(std::min<qint64>(delay_, left)));
}

void Recovery::writeNow() {
  if (timer_.isActive()) write();
}

bool Recovery::write() {
  timer_.stop();
  if (!document_ || !document_->isChanged()) return false;
  try {
    if (!QDir().mkpath(folder_)) {
      throw base::UsageError(tr("%1: this folder cannot be made").arg(folder_).toStdString());
    }
    if (!lock_) lock_ = take_lock(file_);
    if (!lock_) throw base::UsageError(tr("%1: cannot be locked").arg(file_).toStdString());
    const QString now = QDateTime::currentDateTimeUtc().toString(Qt::ISODateWithMs);
    const model::Raw rescue(model::Raw::Object{{"latchwright_rescue", rescue_version},
                                               {"job_path", document_->path().toStdString()},
                                               {"job_file_sha256", document_->fileHash().toStdString()},
                                               {"saved_at", now.toStdString()},
                                               {"job", document_->tree()}});
    io::save_text(QFile::encodeName(file_).toStdString(), io::write_json(rescue), true);
    told_ = false;
    return true;
  } catch (const base::UsageError& error) {
    if (!std::exchange(told_, true)) Q_EMIT failed(QString::fromUtf8(error.what()));
    return false;
  }
}

void Recovery::forget() {
  timer_.stop();
  if (!lock_) return;
  QFile::remove(file_);
  lock_.reset();
}

void Recovery::setDelay(int milliseconds, int at_most) {
  delay_ = milliseconds;
  longest_ = at_most;
}

std::vector<LeftBehind> Recovery::leftBehind() const {
  std::vector<LeftBehind> found;
  const QDir folder(folder_);
  for (const QString& name : folder.entryList({"*.json"}, QDir::Files)) {
    const QString file = folder.filePath(name);
    // The lock is let go again at once: taking the job back takes it anew.
    if (!take_lock(file)) continue;
    const auto rescue = read_rescue(file);
    if (!rescue) continue;
    const QDateTime saved = QDateTime::fromString(text_at(*rescue, "saved_at"), Qt::ISODateWithMs);
    found.push_back(
        {file, text_at(*rescue, "job_path"), text_at(*rescue->find("job"), "title"), saved.toLocalTime()});
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const LeftBehind& a, const LeftBehind& b) { return a.when > b.when; });
  return found;
}

base::Issues Recovery::takeBack(const LeftBehind& job) {
  const auto lock = take_lock(job.file);
  const std::string name = QFile::encodeName(job.file).toStdString();
  if (!lock) return {{name, "", tr("another window is taking this job back").toStdString()}};
  const auto rescue = read_rescue(job.file);
  if (!rescue) return {{name, "", tr("can no longer be read as a rescued job").toStdString()}};
  auto faults = document_->begin(*rescue->find("job"), true, text_at(*rescue, "job_path"),
                                 text_at(*rescue, "job_file_sha256").toLatin1());
  if (!faults.empty()) return faults;
  // The job is in its new rescue file before the old one goes.
  if (write()) QFile::remove(job.file);
  return {};
}

void Recovery::throwAway(const LeftBehind& job) {
  if (const auto lock = take_lock(job.file)) QFile::remove(job.file);
}

}  // namespace latchwright::desk

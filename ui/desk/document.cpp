// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/document.h"

#include <QCryptographicHash>
#include <QFile>
#include <QFileInfo>
#include <QSignalBlocker>
#include <utility>

#include "base/failure.h"
#include "desk/edit_command.h"
#include "io/files.h"
#include "io/json.h"

namespace latchwright::desk {

namespace {

/// Steps that can be undone: some hours of work, some megabytes.
constexpr int most_steps = 20'000;

std::string native(const QString& path) { return QFile::encodeName(path).toStdString(); }

QByteArray hash_of(const QByteArray& content) {
  return QCryptographicHash::hash(content, QCryptographicHash::Sha256).toHex();
}

/// Empty where there is no ordinary file that can be read.
QByteArray hash_of_file(const QString& path) {
  if (!QFileInfo(path).isFile()) return {};
  QFile file(path);
  QCryptographicHash hash(QCryptographicHash::Sha256);
  if (!file.open(QIODevice::ReadOnly) || !hash.addData(&file)) return {};
  return hash.result().toHex();
}

}  // namespace

Document::Document(QObject* parent)
    : QObject(parent), catalogue_(std::make_shared<const model::Catalogue>()) {
  auto builtin = io::load_catalogue({});
  if (builtin.ok()) {
    catalogue_ = std::make_shared<const model::Catalogue>(std::move(builtin.value()));
  } else {
    builtin_faults_ = builtin.issues();
  }
  undo_.setUndoLimit(most_steps);
  told_name_ = shownName();
  connect(&undo_, &QUndoStack::indexChanged, this, &Document::announce);
  connect(&undo_, &QUndoStack::cleanChanged, this, &Document::nameChanged);
}

Document::~Document() { undo_.disconnect(this); }

base::Issues Document::setPartFiles(const std::vector<std::string>& files) {
  auto loaded = io::load_catalogue(files);
  if (!loaded.ok()) return loaded.issues();
  std::shared_ptr<const model::Study> study;
  if (hasJob()) {
    auto checked = model::check_job(tree_, fileName(), loaded.value());
    if (!checked.ok()) return checked.issues();
    study = std::make_shared<const model::Study>(std::move(checked.value()));
  }
  catalogue_ = std::make_shared<const model::Catalogue>(std::move(loaded.value()));
  part_files_ = files;
  if (!study) return {};
  study_ = std::move(study);
  refreshRefused();
  Q_EMIT studyChanged();
  return {};
}

base::Issues Document::open(const QString& path) {
  const QString whole_path = QFileInfo(path).absoluteFilePath();
  // Before reading: a file that is changed in between then counts as changed.
  const QByteArray hash = hash_of_file(whole_path);
  const auto raw = io::read_json_file(native(whole_path));
  if (!raw.ok()) return raw.issues();
  auto taken = tryOut(raw.value(), native(whole_path));
  if (!taken.ok()) return taken.issues();
  takeOver(std::move(taken.value()), whole_path, hash, false);
  return {};
}

base::Issues Document::begin(const model::Raw& job, bool changed, const QString& path,
                             const QByteArray& file_hash) {
  const QString whole_path = path.isEmpty() ? QString() : QFileInfo(path).absoluteFilePath();
  auto taken = tryOut(job, path.isEmpty() ? tr("this job").toStdString() : native(whole_path));
  if (!taken.ok()) return taken.issues();
  takeOver(std::move(taken.value()), whole_path, file_hash.isEmpty() ? hash_of_file(whole_path) : file_hash,
           changed);
  return {};
}

void Document::save() {
  if (isFileChangedOutside()) {
    throw base::UsageError(
        tr("%1: was changed by another program since it was read or saved here; nothing was written")
            .arg(path_)
            .toStdString());
  }
  saveAnyway();
}

void Document::saveAnyway() {
  if (path_.isEmpty()) throw base::UsageError(tr("the job has no file yet").toStdString());
  write(path_, true);
}

void Document::saveAs(const QString& path, bool overwrite) {
  const QString whole_path = QFileInfo(path).absoluteFilePath();
  if (!overwrite && QFileInfo::exists(whole_path)) {
    throw base::UsageError(tr("%1: exists already; nothing was written").arg(whole_path).toStdString());
  }
  write(whole_path, overwrite);
}

void Document::write(const QString& path, bool overwrite) {
  if (!hasJob()) throw base::UsageError(tr("there is no job yet").toStdString());
  const std::string written = text();
  io::save_text(native(path), written, overwrite);
  file_hash_ = hash_of(QByteArray::fromStdString(written));
  path_ = path;
  undo_.setClean();
  announce();
}

bool Document::isFileChangedOutside() const {
  if (path_.isEmpty() || !QFileInfo::exists(path_)) return false;
  // By content, not by time: a copy with the time kept is another file, a touched one is not.
  return hash_of_file(path_) != file_hash_;
}

QString Document::shownName() const {
  if (!path_.isEmpty()) return QFileInfo(path_).fileName();
  if (study_ && !study_->job.title.empty()) return QString::fromStdString(study_->job.title);
  return tr("unnamed job");
}

bool Document::isChanged() const { return hasJob() && !undo_.isClean(); }

std::string Document::text() const { return io::write_json(tree_); }

std::size_t Document::undoBytes() const {
  std::size_t bytes = 0;
  for (int k = 0; k < undo_.count(); ++k) bytes += static_cast<const EditCommand*>(undo_.command(k))->bytes();
  return bytes;
}

base::Checked<Document::Taken> Document::tryOut(const model::Raw& tree, const std::string& file) const {
  auto checked = model::check_job(tree, file, *catalogue_);
  if (!checked.ok()) return checked.issues();
  model::Raw written = model::write_job(checked.value().job);
  model::keep_figures(written, tree);
  return Taken{std::move(written), std::make_shared<const model::Study>(std::move(checked.value()))};
}

std::string Document::fileName() const {
  return path_.isEmpty() ? tr("this job").toStdString() : native(path_);
}

void Document::takeOver(Taken taken, const QString& path, const QByteArray& file_hash, bool changed) {
  path_ = path;
  file_hash_ = file_hash;
  put(std::move(taken));
  const bool had_refused = !refused_.empty();
  refused_.clear();
  {
    // One announcement at the end, when everything is in its place.
    const QSignalBlocker quiet(this);
    undo_.clear();
    if (changed) undo_.resetClean();
  }
  to_announce_ = true;
  told_name_ = shownName();
  announce();
  Q_EMIT nameChanged();
  if (had_refused) Q_EMIT refusedChanged();
}

void Document::put(Taken taken) {
  tree_ = std::move(taken.tree);
  study_ = std::move(taken.study);
  to_announce_ = true;
}

void Document::announce() {
  if (std::exchange(to_announce_, false)) Q_EMIT studyChanged();
  if (const QString name = shownName(); name != told_name_) {
    told_name_ = name;
    Q_EMIT nameChanged();
  }
}

}  // namespace latchwright::desk

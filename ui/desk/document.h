// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QByteArray>
#include <QObject>
#include <QString>
#include <QUndoStack>
#include <cstddef>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/issue.h"
#include "model/study.h"
#include "model/tree_change.h"

namespace latchwright::desk {

/// One setting of the job by its JSON pointer; no value takes the key away.
struct Edit {
  std::string pointer;
  std::optional<model::Raw> value;
};

/// A value that somebody typed and that the job cannot take: it stays in its field, with the reason, and is
/// tried again with every later edit, because two numbers may be lawful only together.
struct Refused {
  std::optional<model::Raw> value;
  std::string why;
};

/// By JSON pointer.
using RefusedValues = std::map<std::string, Refused>;

/// The job in the window: always a lawful one, as its file would hold it, with every edit undoable. Studies
/// that it hands out never change, so other threads may keep them.
class Document : public QObject {
  Q_OBJECT

 public:
  explicit Document(QObject* parent = nullptr);
  ~Document() override;

  /// Loads the catalogue: the built-in parts and these files. Faults (also of the job, which may name parts
  /// that are then missing) leave everything as it was.
  base::Issues setPartFiles(const std::vector<std::string>& files);
  const std::vector<std::string>& partFiles() const { return part_files_; }
  const model::Catalogue& catalogue() const { return *catalogue_; }
  /// Faults of the built-in parts, in whose stead the catalogue is then empty.
  const base::Issues& builtinFaults() const { return builtin_faults_; }

  /// Opens a job file. Faults leave the document as it was.
  base::Issues open(const QString& path);
  /// Begins with a job that has no file, or with `path` as its file, which is not looked into. Faults leave
  /// the document as it was. `changed`: counts as unsaved. `file_hash`: of the file that the job came from;
  /// empty: of the file as it is now.
  base::Issues begin(const model::Raw& job, bool changed = false, const QString& path = {},
                     const QByteArray& file_hash = {});
  /// Writes the job to the file that it came from. Throws base::UsageError, also where another program has
  /// changed that file: isFileChangedOutside() tells that from other reasons, saveAnyway() writes over it.
  void save();
  void saveAnyway();
  /// Writes it to another file, which is its file from then on. Throws base::UsageError.
  void saveAs(const QString& path, bool overwrite);
  /// Whether the file holds something else than what was read from it or written to it here. A file that is
  /// gone does not: saving makes it anew.
  bool isFileChangedOutside() const;

  bool hasJob() const { return study_ != nullptr; }
  /// Absolute. Empty: has no file yet.
  const QString& path() const { return path_; }
  /// SHA-256 of the file's content as last read or written here, as hex digits; empty: there was none.
  const QByteArray& fileHash() const { return file_hash_; }
  /// "five-door-estate.json", or the title, or "unnamed job".
  QString shownName() const;
  bool isChanged() const;
  const model::Raw& tree() const { return tree_; }
  /// The job's text as saving would write it.
  std::string text() const;
  /// Null before the first job.
  const std::shared_ptr<const model::Study>& study() const { return study_; }

  /// Takes edits as one undoable step named `what` ("pulse"); returns faults (then the edits stand refused).
  /// `merge`: follows a slider: joins the last step if that followed a slider too and was of the same
  /// pointer.
  base::Issues edit(const std::vector<Edit>& edits, const QString& what, bool merge = false);
  const RefusedValues& refused() const { return refused_; }
  /// Gives up a refused value; the field shows the job's again.
  void dropRefused(const std::string& pointer);

  QUndoStack& undoStack() { return undo_; }
  /// Bytes that the undoable steps keep.
  std::size_t undoBytes() const;

 Q_SIGNALS:
  /// The study is another one (edit, undo, open, begin, part files).
  void studyChanged();
  void refusedChanged();
  /// Path, name or whether it is changed.
  void nameChanged();

 private:
  friend class EditCommand;
  /// A tree that the checker took, and what it made of it.
  struct Taken {
    model::Raw tree;
    std::shared_ptr<const model::Study> study;
  };

  base::Checked<Taken> tryOut(const model::Raw& tree, const std::string& file) const;
  std::string fileName() const;
  void takeOver(Taken taken, const QString& path, const QByteArray& file_hash, bool changed);
  void write(const QString& path, bool overwrite);
  /// Changes the job to a lawful one; studyChanged follows when the undo stack has its new place.
  void put(Taken taken);
  void announce();

  // document_edit.cpp
  /// The tree with the edits and refused values in it; the pointers that find no place in it.
  model::Raw withEdits(const RefusedValues& refused, const std::vector<Edit>& edits,
                       std::vector<std::string>* lost = nullptr) const;
  base::Issues refuse(const std::vector<Edit>& edits, const std::vector<std::string>& lost,
                      base::Issues faults);
  /// Takes in what refused values have become lawful by now; gives the others their reasons anew.
  void takeIn(Taken& taken, RefusedValues& waiting) const;
  void take(Taken taken, RefusedValues refused, const QString& what, bool slider);
  /// Gives the refused values their reasons anew after a change that tries none of them.
  void refreshRefused();
  /// Undoes or redoes a step. False, and its values refused, where the catalogue no longer allows it.
  bool step(const model::TreeChanges& changes, bool forwards);

  std::shared_ptr<const model::Catalogue> catalogue_;
  base::Issues builtin_faults_;
  std::vector<std::string> part_files_;
  model::Raw tree_;
  std::shared_ptr<const model::Study> study_;
  QString path_;
  QByteArray file_hash_;
  RefusedValues refused_;
  QString told_name_;
  bool to_announce_ = false;
  QUndoStack undo_;
};

}  // namespace latchwright::desk

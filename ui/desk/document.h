// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QObject>
#include <QString>
#include <QUndoStack>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/issue.h"
#include "model/study.h"

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

/// The job in the window: always a lawful one, as its file would hold it, with every edit undoable. Studies
/// that it hands out never change, so other threads may keep them.
class Document : public QObject {
  Q_OBJECT

 public:
  explicit Document(QObject* parent = nullptr);
  ~Document() override;

  /// Loads the catalogue: the built-in parts and these files. Faults leave the catalogue as it was.
  base::Issues setPartFiles(const std::vector<std::string>& files);
  const std::vector<std::string>& partFiles() const { return part_files_; }
  const model::Catalogue& catalogue() const { return *catalogue_; }

  /// Opens a job file. Faults leave the document as it was.
  base::Issues open(const QString& path);
  /// Begins with a job that has no file. Faults leave the document as it was. `changed`: counts as unsaved.
  base::Issues begin(const model::Raw& job, bool changed = false);
  /// Writes the job to the file that it came from. Throws base::UsageError.
  void save();
  /// Writes it to another file, which is its file from then on. Throws base::UsageError.
  void saveAs(const QString& path, bool overwrite);

  bool hasJob() const { return study_ != nullptr; }
  /// Empty: has no file yet.
  const QString& path() const { return path_; }
  /// "five-door-estate.json", or the title, or "unnamed job".
  QString shownName() const;
  bool isChanged() const;
  const model::Raw& tree() const { return tree_; }
  /// The job's text as saving would write it.
  std::string text() const;
  /// Null before the first job.
  const std::shared_ptr<const model::Study>& study() const { return study_; }

  /// Takes edits as one undoable step named `what` ("pulse"); returns faults (then the edits stand refused).
  /// `merge`: follows a slider: joins the last step if that was of the same pointer.
  base::Issues edit(const std::vector<Edit>& edits, const QString& what, bool merge = false);
  /// By pointer.
  const std::map<std::string, Refused>& refused() const { return refused_; }
  /// Gives up a refused value; the field shows the job's again.
  void dropRefused(const std::string& pointer);

  QUndoStack& undoStack() { return undo_; }

 Q_SIGNALS:
  /// The study is another one (edit, undo, open, begin, part files).
  void studyChanged();
  void refusedChanged();
  /// Path, name or whether it is changed.
  void nameChanged();

 private:
  friend class EditCommand;
  std::shared_ptr<const model::Catalogue> catalogue_;
  std::vector<std::string> part_files_;
  model::Raw tree_;
  std::shared_ptr<const model::Study> study_;
  QString path_;
  std::map<std::string, Refused> refused_;
  QUndoStack undo_;
};

}  // namespace latchwright::desk

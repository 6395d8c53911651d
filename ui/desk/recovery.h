// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QDateTime>
#include <QObject>
#include <QString>
#include <QTimer>
#include <optional>
#include <vector>

#include "desk/document.h"

namespace latchwright::desk {

/// A job that a window left behind when it ended without closing.
struct LeftBehind {
  QString file;      ///< the rescue file
  QString job_path;  ///< where the job came from; empty: it had no file
  QString title;
  QDateTime when;
};

/// Keeps unsaved changes in a rescue file of this program's data folder, a few seconds after each edit, so
/// that a crash loses little. Saving, or closing without wanting the changes, takes the file away. Several
/// windows and programs do not meet: each rescue file has its own lock.
class Recovery : public QObject {
  Q_OBJECT

 public:
  /// folder: empty: the program's data folder.
  explicit Recovery(Document& document, const QString& folder = {}, QObject* parent = nullptr);
  ~Recovery() override;

  /// Rescue files whose program is no longer running, newest first.
  std::vector<LeftBehind> leftBehind() const;
  /// Takes such a job into the document, as unsaved, keeping where it came from. Empty: done.
  base::Issues takeBack(const LeftBehind& job);
  void throwAway(const LeftBehind& job);

  /// Writes now what waits to be written (tests, and before a risky step).
  void writeNow();
  /// The document is saved or given up: nothing to rescue.
  void forget();
  void setDelay(int milliseconds);
};

}  // namespace latchwright::desk

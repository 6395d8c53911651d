// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QDateTime>
#include <QElapsedTimer>
#include <QLockFile>
#include <QObject>
#include <QPointer>
#include <QString>
#include <QTimer>
#include <memory>
#include <optional>
#include <vector>

#include "desk/document.h"

namespace latchwright::desk {

/// A job that a window left behind when it ended without closing.
struct LeftBehind {
  QString file;      ///< the rescue file
  QString job_path;  ///< where the job came from; empty: it had no file
  QString title;
  QDateTime when;  ///< local time
};

/// Keeps unsaved changes in a rescue file of this program's data folder, a few seconds after each edit, so
/// that a crash loses little. Saving, or closing without wanting the changes, takes the file away. Several
/// windows and programs do not meet: each rescue file has its own lock. A rescue file that cannot be read is
/// not listed and stays where it is: somebody may still get something out of it.
class Recovery : public QObject {
  Q_OBJECT

 public:
  /// folder: empty: the program's data folder. The document's unsaved changes are left behind when this ends
  /// without forget().
  explicit Recovery(Document& document, const QString& folder = {}, QObject* parent = nullptr);
  ~Recovery() override;

  /// Rescue files whose program is no longer running, newest first.
  std::vector<LeftBehind> leftBehind() const;
  /// Takes such a job into the document, as unsaved, keeping where it came from. Empty: done. Faults leave
  /// the document and the rescue file as they were.
  base::Issues takeBack(const LeftBehind& job);
  void throwAway(const LeftBehind& job);

  /// Writes now what waits to be written (tests, and before a risky step).
  void writeNow();
  /// The document is saved or given up: nothing to rescue.
  void forget();
  /// milliseconds: from the last change; at_most: from the first that is not rescued yet.
  void setDelay(int milliseconds, int at_most = 15'000);
  /// This window's rescue file; empty: there is none.
  QString file() const { return lock_ ? file_ : QString(); }

 Q_SIGNALS:
  /// Changes cannot be rescued; told once until it works again.
  void failed(const QString& why);

 private:
  void follow();
  /// False: nothing was written.
  bool write();

  QPointer<Document> document_;
  QString folder_;
  QString file_;
  std::unique_ptr<QLockFile> lock_;  ///< held while the rescue file is there
  QTimer timer_;
  QElapsedTimer waiting_;
  int delay_ = 3'000, longest_ = 15'000;  ///< ms
  bool told_ = false;
};

}  // namespace latchwright::desk

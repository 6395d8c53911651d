// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QObject>
#include <QWidget>

#include "desk/document.h"
#include "desk/recent_files.h"
#include "desk/recovery.h"

namespace latchwright::desk {

/// New, open, save and give up a job, with the questions that go with them. Nothing unsaved is lost without asking.
class JobFiles : public QObject {
  Q_OBJECT

 public:
  JobFiles(Document& document, Recovery& recovery, RecentFiles& recent, QWidget& window);

  /// Asks the few questions of a new job; true where one began. choose_at_once: what the user wants next.
  bool beginNew(bool* choose_at_once = nullptr);
  /// Asks for a file.
  bool openAsked();
  /// Shows what is wrong with a file that cannot be opened; the job that is open stays.
  bool open(const QString& path);
  bool save();
  bool saveAs();
  /// Whether the job may go: it is unchanged, saved now, or not wanted.
  bool mayGo();
  /// Offers what a window left behind that ended without closing; true where something was taken back.
  bool offerRescue();

 Q_SIGNALS:
  /// Another job than before is in the window.
  void jobBegan();

 private:
  bool trySave(const std::function<void()>& save);

  Document& document_;
  Recovery& recovery_;
  RecentFiles& recent_;
  QWidget& window_;
};

}  // namespace latchwright::desk

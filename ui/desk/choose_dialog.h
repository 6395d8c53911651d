// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QDialog>
#include <QLabel>
#include <QListWidget>
#include <QProgressBar>
#include <QPushButton>
#include <QTableWidget>
#include <memory>

#include "choose/size.h"
#include "desk/document.h"
#include "desk/latest_task.h"

namespace latchwright::desk {

/// Chooses what the job leaves open: the sets that pass, best first, the parts of the chosen one, why other parts do
/// not do; and puts a set into the job as one undoable step.
class ChooseDialog : public QDialog {
  Q_OBJECT

 public:
  /// Begins at once; closing cancels.
  ChooseDialog(Document& document, QWidget* parent = nullptr);

  /// Null while it is looked for.
  const choose::SizeResult* result() const { return result_.get(); }
  /// Puts the chosen set into the job; false where there is none.
  bool apply();

 Q_SIGNALS:
  void ready();

 private:
  void showResult(std::shared_ptr<const choose::SizeResult> result);
  void showSet(int row);
  void showTurnedDown();
  const choose::Pick* chosenPick() const;

  Document& document_;
  std::shared_ptr<const model::Study> study_;
  std::shared_ptr<const choose::SizeResult> result_;
  QLabel* heading_;
  QLabel* words_;
  QProgressBar* progress_;
  QListWidget* sets_;
  QTableWidget* parts_;
  QTableWidget* turned_down_;
  QPushButton* apply_;
  LatestTask task_;  // last: its thread ends first
};

}  // namespace latchwright::desk

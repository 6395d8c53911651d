// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QDialog>

#include "model/raw.h"

class QCheckBox;
class QComboBox;
class QLabel;
class QLineEdit;
class QSpinBox;

namespace latchwright::desk {

/// A few questions (doors, body, title) to a starting job.
class NewJobDialog : public QDialog {
  Q_OBJECT

 public:
  explicit NewJobDialog(QWidget* parent = nullptr);
  /// Lawful whatever was answered.
  model::Raw job() const;
  /// The program is to choose the parts as soon as the job is there.
  bool chooseAtOnce() const;

 private:
  void showDoors();

  QSpinBox* doors_;
  QComboBox* body_;
  QLabel* door_names_;
  QLineEdit* title_;
  QCheckBox* choose_;
};

}  // namespace latchwright::desk

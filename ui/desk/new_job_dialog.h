// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QDialog>

#include "model/raw.h"

namespace latchwright::desk {

/// A few questions (doors, body, title) to a starting job.
class NewJobDialog : public QDialog {
  Q_OBJECT

 public:
  explicit NewJobDialog(QWidget* parent = nullptr);
  model::Raw job() const;
};

}  // namespace latchwright::desk

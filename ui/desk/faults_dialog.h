// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QDialog>
#include <QTableWidget>

#include "base/issue.h"

namespace latchwright::desk {

/// Everything that is wrong with a file: where in it, and what. The list can be copied.
class FaultsDialog : public QDialog {
  Q_OBJECT

 public:
  /// what: one sentence above the list, such as "job.json was not opened".
  FaultsDialog(const QString& what, const base::Issues& faults, QWidget* parent = nullptr);
  const QTableWidget& table() const { return *table_; }

 private:
  QTableWidget* table_;
};

}  // namespace latchwright::desk

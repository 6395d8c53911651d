// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QDialog>
#include <QFrame>

namespace latchwright::desk {

/// The cautions as rich text, one line each, with whom to defer to.
QString cautions_html();

/// The cautions above a job that opens for the first time, until somebody has read them.
class CautionsBar : public QFrame {
  Q_OBJECT

 public:
  explicit CautionsBar(QWidget* parent = nullptr);

 Q_SIGNALS:
  void read();
};

/// The same at any time.
class CautionsDialog : public QDialog {
  Q_OBJECT

 public:
  explicit CautionsDialog(QWidget* parent = nullptr);
};

}  // namespace latchwright::desk

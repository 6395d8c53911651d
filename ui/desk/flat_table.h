// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QTableWidget>
#include <QTimer>

namespace latchwright::desk {

/// A table to read, as high as its rows, its first column as wide as there is room: what is around it
/// scrolls. Its text can be copied.
class FlatTable : public QTableWidget {
  Q_OBJECT

 public:
  explicit FlatTable(const QStringList& headings, QWidget* parent = nullptr);
  /// Cells of one row, which is added where it is not there yet.
  void setRow(int row, const QStringList& cells, const QString& tip = {});
  /// To be called after rows have changed.
  void fit();

 protected:
  void resizeEvent(QResizeEvent* event) override;
  void wheelEvent(QWheelEvent* event) override;
  void changeEvent(QEvent* event) override;

 private:
  QTimer later_;
};

}  // namespace latchwright::desk

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QPixmap>
#include <QtCharts/QChartView>
#include <optional>

#include "charts/chart.h"

namespace latchwright::charts {

/// One picture in a window: the chart, what the pointer is at (value and unit, shown as a tool tip), a menu
/// to save or copy it. Accessible name and description come from the picture's title and condition.
class PictureView : public QChartView {
  Q_OBJECT

 public:
  explicit PictureView(QWidget* parent = nullptr);
  void setPicture(const report::Picture& picture, const Style& style);
  /// Height in which the picture has room for its words, its legend and a plot of a fair size.
  int leastHeight(int width) const;
  const std::optional<report::Picture>& picture() const { return picture_; }
  /// What the tool tip says at a point of the view: name and values, a line each; empty outside the axes.
  QString textAt(const QPoint& position) const;
  /// Puts the picture on the clipboard as it is seen, at twice the size.
  void copyPicture();

 Q_SIGNALS:
  /// The user asks to save the picture to a file.
  void saveRequested();

 protected:
  void contextMenuEvent(QContextMenuEvent* event) override;
  void mouseMoveEvent(QMouseEvent* event) override;
  void paintEvent(QPaintEvent* event) override;

 private:
  std::optional<report::Picture> picture_;
  Style style_;
  /// What was painted last: a chart takes milliseconds, and what stands beside it is painted far more often.
  QPixmap painted_;
};

}  // namespace latchwright::charts

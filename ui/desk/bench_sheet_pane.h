// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLabel>
#include <QWidget>
#include <optional>

#include "desk/bench_subject.h"
#include "desk/flat_table.h"
#include "desk/latest_task.h"
#include "desk/pictures_pane.h"
#include "desk/wrapped_text.h"
#include "report/bench_report.h"

namespace latchwright::desk {

/// What a sound actuator should read at this condition: a table, how the chosen row is read, pictures.
/// Computed off the interface's thread; the last sheet stays, marked, until the next is there.
class BenchSheetPane : public QWidget {
  Q_OBJECT

 public:
  explicit BenchSheetPane(QWidget* parent = nullptr);
  void setSubject(const BenchSubject& subject);
  void setStyle(const charts::Style& style);
  FlatTable& table() { return *table_; }
  PicturesPane& pictures() { return *pictures_; }
  /// What is shown; none before the first.
  const std::optional<report::BenchReport>& shown() const { return shown_; }
  bool isCurrent() const { return shown_ && !task_.isRunning(); }

 Q_SIGNALS:
  void saveRequested(const report::Picture& picture);

 private:
  void compute();
  void show(report::BenchReport report);
  void fill();
  void tellHow();

  LatestTask task_;
  BenchSubject subject_;
  charts::Style style_;
  std::optional<report::BenchReport> shown_;
  QLabel* heading_;
  QLabel* mark_;
  FlatTable* table_;
  WrappedText* warnings_;
  WrappedText* how_;
  WrappedText* scatter_;
  PicturesPane* pictures_;
};

}  // namespace latchwright::desk

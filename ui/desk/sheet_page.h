// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QCheckBox>
#include <QComboBox>
#include <QLabel>
#include <QPushButton>
#include <QScrollArea>
#include <QVBoxLayout>
#include <QWidget>
#include <memory>
#include <optional>
#include <vector>

#include "charts/sheet_pages.h"
#include "desk/document.h"
#include "desk/latest_task.h"
#include "report/job_sheet.h"

namespace latchwright::desk {

/// The job sheet: its pages as they will be printed, and a way to write them. Computed off the interface's
/// thread while somebody looks at it; the last sheet stays, marked, until the next is there.
class SheetPage : public QWidget {
  Q_OBJECT

 public:
  explicit SheetPage(Document& document, QWidget* parent = nullptr);

  /// What is shown; none before the first, and of an unfinished job.
  const std::optional<report::JobSheet>& shown() const { return sheet_; }
  bool isCurrent() const { return sheet_.has_value() && !task_.isRunning() && of_ == document_.study(); }
  int pageCount() const { return pages_ ? pages_->count() : 0; }
  QComboBox& paper() { return *paper_; }
  QCheckBox& dated() { return *dated_; }
  QPushButton& saveButton() { return *save_; }
  QLabel& state() { return *state_; }
  /// Writes what is shown, by the ending of the name (.html, .pdf). Throws base::UsageError.
  void write(const QString& path);

 Q_SIGNALS:
  void leaveRequested();
  void written(const QString& path);

 protected:
  void showEvent(QShowEvent* event) override;

 private:
  class PageView;

  void layOut();
  void followStudy();
  void compute();
  void make();
  void showPages();
  void tellState();
  void askAndWrite();
  report::Paper chosenPaper() const;

  Document& document_;
  LatestTask task_;
  std::shared_ptr<const model::Study> of_;  // that the findings are of
  std::optional<report::SheetFindings> findings_;
  std::optional<report::JobSheet> sheet_;
  std::shared_ptr<const charts::SheetPages> pages_;
  QString failure_;
  QLabel* state_;
  QComboBox* paper_;
  QCheckBox* dated_;
  QPushButton* save_;
  QScrollArea* scroll_;
  QVBoxLayout* column_;
  std::vector<PageView*> views_;
};

}  // namespace latchwright::desk

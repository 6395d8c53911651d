// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLabel>
#include <QLineEdit>
#include <QProgressBar>
#include <QPushButton>
#include <QWidget>
#include <map>
#include <optional>
#include <vector>

#include "desk/bench_subject.h"
#include "desk/document.h"
#include "desk/flat_table.h"
#include "desk/latest_task.h"
#include "desk/pictures_pane.h"
#include "report/fit_report.h"

namespace latchwright::desk {

/// Measures an actuator: logs of it held and running free, what was read by hand, and the part whose figures
/// follow the logs, starting from the one on the bench. The fit beside the logs is seen before anything is
/// kept; keeping writes a part file and adds it to the user's own.
class BenchFitPane : public QWidget {
  Q_OBJECT

 public:
  explicit BenchFitPane(Document& document, QWidget* parent = nullptr);
  /// The actuator that the measured one is like; its ambient is that of the logs.
  void setSubject(const BenchSubject& subject);
  void setStyle(const charts::Style& style);
  /// Reads logs, off the interface's thread. free: the actuator ran free; else its rod was held.
  void addLogs(const QStringList& paths, bool free);
  void removeLog(int index);
  /// Begins to fit what has been read.
  void fit();
  /// Writes the measured part under the id that stands in its field and adds the file to the user's own;
  /// false, and told here, where that cannot be.
  bool keep(const QString& path, bool overwrite);

  struct Log {
    model::BenchLog log;
    bool free = false;
  };
  const std::vector<Log>& logs() const { return logs_; }
  /// Of the logs as they are; none before a fit, and when logs or readings have changed since.
  const std::optional<report::FitReport>& result() const { return result_; }
  bool isBusy() const { return task_.isRunning(); }
  /// What was wrong last; empty: nothing.
  QString fault() const { return told_; }
  /// "cold", "force", "throw".
  QLineEdit* field(const QString& key) const { return fields_.at(key); }
  QLineEdit& id() { return *id_; }
  QPushButton& keepButton() { return *keep_; }
  FlatTable& parameters() { return *parameters_; }
  PicturesPane& pictures() { return *pictures_; }

 Q_SIGNALS:
  void saveRequested(const report::Picture& picture);
  /// A part was written into a file of the user's own.
  void partKept(const QString& id);

 protected:
  void dragEnterEvent(QDragEnterEvent* event) override;
  void dropEvent(QDropEvent* event) override;

 private:
  void layOut();
  QWidget* makeLogs();
  QWidget* makeHandReadings();
  QWidget* makeResult();
  void askForLogs(bool free);
  void askWhere();
  void readNext();
  void tell(const QString& fault);
  void forget();
  void showLogs();
  void showResult();
  void showBusy();
  /// None where a field holds no lawful number; that is told.
  std::optional<model::HandReadings> handReadings();

  Document& document_;
  LatestTask task_;
  BenchSubject subject_;
  charts::Style style_;
  std::vector<Log> logs_;
  std::vector<std::pair<QString, bool>> waiting_;  ///< paths yet to be read
  std::optional<report::FitReport> result_;
  QString told_;
  QLabel* fault_;
  FlatTable* list_;
  QPushButton* remove_;
  std::map<QString, QLineEdit*> fields_;
  QLabel* force_unit_;
  QPushButton* fit_;
  QPushButton* keep_;
  QPushButton* cancel_;
  QProgressBar* progress_;
  QWidget* result_place_;
  QLabel* refused_;  ///< why it is no measurement
  FlatTable* parameters_;
  QLabel* remarks_;
  PicturesPane* pictures_;
  QLineEdit* id_;
};

}  // namespace latchwright::desk

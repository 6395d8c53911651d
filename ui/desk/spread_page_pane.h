// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QElapsedTimer>
#include <QGridLayout>
#include <QLabel>
#include <QProgressBar>
#include <QPushButton>
#include <memory>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "base/failure.h"
#include "desk/document.h"
#include "desk/latest_task.h"
#include "desk/look_setting.h"
#include "desk/pictures_pane.h"

namespace latchwright::desk {

/// The row of a job's field table that a setting stands for.
template <class R>
const model::FieldInfo& setting_row(const model::Table<R>& table, std::string_view key) {
  const auto* field = table.find(key);
  base::require(field != nullptr, "a setting without a row in the field tables");
  return field->info;
}

/// One long computation on the job as it is: settings, a button that begins it, how far it is and how long it
/// will yet take, what it says, pictures. A result stays when job or settings change, greyed and said so,
/// until the next one is there.
class SpreadPane : public QWidget {
  Q_OBJECT

 public:
  explicit SpreadPane(Document& document, QWidget* parent);
  void setStyle(const charts::Style& style);
  /// Begins with the job and the settings as they are.
  void run();
  /// Ends what runs.
  virtual void stop() = 0;
  bool isRunning() const { return task_.isRunning(); }
  /// Something is shown, and it is of the job and the settings as they are.
  bool isCurrent() const;
  QPushButton& runButton() { return *run_; }
  QPushButton& stopButton() { return *stop_; }
  /// How the computation stands: how far, how long yet; what is shown, and of what.
  QString status() const { return status_->text(); }
  QString sentences() const { return said_->text(); }
  PicturesPane& pictures() { return *pictures_; }
  const std::vector<LookSetting*>& settings() const { return settings_; }

 Q_SIGNALS:
  void saveRequested(const report::Picture& picture);

 protected:
  struct Shown {
    std::vector<std::string> sentences;
    std::vector<report::Picture> pictures;
    QString done;  ///< "2000 installations in 14 s"
  };
  /// A setting that the user has not moved follows the job.
  LookSetting* addSetting(const QString& name, const QString& meaning, const model::FieldInfo& info,
                          double low, double high, double step);
  bool isMoved(LookSetting* setting) const { return moved_.count(setting) > 0; }
  /// The job's own where the user has not moved it.
  void follow(LookSetting* setting, double jobs_own);
  /// Follows the job again.
  void forget(LookSetting* setting) { moved_.erase(setting); }
  /// Call when the settings are there: lays out the pane and follows the job.
  void layOut(QLayout* settings_layout, const QString& what_runs);
  /// Takes a result over; what was begun by run().
  void show(Shown shown);
  /// A setting other than addSetting()'s has moved.
  void settingsMoved();
  virtual void followJob(const model::Study& study) = 0;
  /// Tells the settings, so that two runs can be told apart, and begins the work.
  virtual QString settingsText() const = 0;
  virtual void begin(std::shared_ptr<const model::Study> study) = 0;
  /// Beside the faults of single settings.
  virtual QString settingsFault() const { return {}; }
  /// What the last run took so far.
  double elapsedSeconds() const { return static_cast<double>(clock_.elapsed()) / 1000; }
  LatestTask& task() { return task_; }
  /// The user ended it: what there is to say in place of a result.
  void tellStopped(const QString& text);

 private:
  void takeJob();
  void showState();
  void showProgress(double fraction);

  Document& document_;
  LatestTask task_;
  charts::Style style_;
  QElapsedTimer clock_;
  std::vector<LookSetting*> settings_;
  std::set<LookSetting*> moved_;
  std::shared_ptr<const model::Study> run_study_, shown_study_;
  QString run_settings_, shown_settings_;
  std::optional<Shown> shown_;
  QString told_;  // in place of how it stands: why it ended
  QPushButton* run_;
  QPushButton* stop_;
  QPushButton* as_job_;
  QProgressBar* progress_;
  QLabel* status_;
  QLabel* fault_;
  QLabel* said_;
  PicturesPane* pictures_;
};

}  // namespace latchwright::desk

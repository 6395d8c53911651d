// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QElapsedTimer>
#include <QObject>

#include "desk/document.h"
#include "desk/latest_task.h"
#include "desk/verdict_state.h"
#include "report/look.h"

namespace latchwright::desk {

/// Keeps the verdict over all corners, and the look at one condition, in step with the job: off the interface's
/// thread, the last good result staying until the next is there.
class Computing : public QObject {
  Q_OBJECT

 public:
  explicit Computing(Document& document, QObject* parent = nullptr);

  const VerdictState& verdict() const { return verdict_; }
  /// The last look; pictures are those of the last link until the new ones are there.
  const report::Look& look() const { return look_; }
  bool lookIsCurrent() const { return look_current_; }
  /// ms from the last change of the job to its verdict, and to its cures; below 0 while they are not there.
  double verdictTime() const { return verdict_ms_; }
  double curesTime() const { return cures_ms_; }
  double lookTime() const { return look_ms_; }

  /// What to look at; computed at once.
  void setLook(const report::Link& link, const report::LookAt& at);
  /// Ends what is computed; what is there stays, marked as not of this job.
  void cancel();
  bool isBusy() const { return verdict_task_.isRunning() || look_task_.isRunning() || look_waits_; }

 Q_SIGNALS:
  void verdictChanged();
  /// The sentence of the look, before its pictures.
  void lookTold();
  void lookChanged();
  void busyChanged();
  void progressed(double fraction, const QString& what);
  /// A study could not be solved: what it says (door, time, state).
  void failed(const QString& text);

 private:
  void judge();
  void takeLook();
  void startLook();

  Document& document_;
  LatestTask verdict_task_, look_task_;
  VerdictState verdict_;
  report::Look look_;
  report::Link link_;
  report::LookAt at_;
  bool look_current_ = false;
  bool look_waits_ = false;  // for the verdict, which comes first
  QElapsedTimer verdict_clock_, look_clock_;
  double verdict_ms_ = -1, cures_ms_ = -1, look_ms_ = -1;
};

}  // namespace latchwright::desk

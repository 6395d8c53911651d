// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QWidget>

#include "report/look.h"
#include "units/shown_unit.h"

namespace latchwright::desk {

/// The condition that the pictures show: corner, voltage, ambient, pulse, rest, cycles, moved live; and the
/// sentence that says what happens there. Not the verdict over all corners: it says so.
class ConditionsStrip : public QWidget {
  Q_OBJECT

 public:
  explicit ConditionsStrip(QWidget* parent = nullptr);
  /// The corners and the job's own pulse, rest and cycles, to which "as the job" goes back. A setting that
  /// the user has not moved follows the job.
  void setStudy(const model::Study& study);
  void setUnits(units::UnitSystem units);
  /// What happens at the condition: the last result, greyed while a newer one is on its way.
  void setSentence(const QString& sentence, bool holds, bool current);
  const report::LookAt& look() const { return look_; }
  void setLook(const report::LookAt& look);

 Q_SIGNALS:
  /// Any of them moved (also while a slider is dragged).
  void lookChanged();
  /// The user wants the pulse, rest and cycles of the look in the job.
  void takeOverRequested();

 private:
  report::LookAt look_;
};

}  // namespace latchwright::desk

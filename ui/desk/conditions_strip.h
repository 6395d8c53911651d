// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QCheckBox>
#include <QComboBox>
#include <QGridLayout>
#include <QLabel>
#include <QPushButton>
#include <QWidget>
#include <array>
#include <memory>

#include "report/look.h"
#include "units/shown_unit.h"

namespace latchwright::desk {

class LookSetting;
class WrappedText;

/// The condition that the pictures show: corner, voltage, ambient, pulse, rest, cycles, moved live; and the
/// sentence that says what happens there. Not the verdict over all corners: it says so.
class ConditionsStrip : public QWidget {
  Q_OBJECT

 public:
  explicit ConditionsStrip(QWidget* parent = nullptr);
  /// The corners and the job's own pulse, rest and cycles, to which "as the job" goes back. A setting that
  /// the user has not moved follows the job; a corner that was chosen keeps its name. Does not signal.
  void setStudy(const model::Study& study);
  void setUnits(units::UnitSystem units);
  /// What happens at the condition: the last result, greyed while a newer one is on its way. Empty: none.
  void setSentence(const QString& sentence, bool holds, bool current);
  const report::LookAt& look() const { return look_; }
  /// What it changes to other than the job's counts as moved; cycles that have not been moved follow the
  /// ambient (see cyclesPointer). Signals where the look changes.
  void setLook(const report::LookAt& look);
  /// The job's cycles that the look's stand for: "/use/hot_cycles" from the job's hottest ambient on, else
  /// "/use/cycles".
  std::string cyclesPointer() const;

  QSize minimumSizeHint() const override;

 Q_SIGNALS:
  /// Any of them moved (also while a slider is dragged).
  void lookChanged();
  /// The user wants the pulse, rest and cycles of the look in the job.
  void takeOverRequested();

 protected:
  void changeEvent(QEvent* event) override;
  void resizeEvent(QResizeEvent* event) override;

 private:
  static constexpr std::size_t levels = 3;  // low, usual, high voltage; cold, usual, hot ambient

  struct JobValues {
    std::array<double, levels> voltages_V{}, ambients_C{};
    report::LookAt usual;
    int hot_cycles = 0;
  };
  /// Which settings the user has moved away from the job.
  struct Moved {
    bool condition = false, pulse = false, rest = false, cycles = false, after_trip = false;
  };

  void build();
  /// The settings in one row, or in two where that is too wide.
  void arrange();
  int widthOf(int columns) const;
  int jobCycles() const;
  /// Index of the corner with these values: the chosen one first; none: an own condition.
  std::optional<std::size_t> cornerOf(const report::LookAt& at) const;
  void follow();
  void chooseCorner(int index);
  void moveTo(const report::LookAt& look);
  void asTheJob();
  void fillCorners();
  void showLook();
  void showSentence();

  report::LookAt look_;
  std::optional<JobValues> job_;
  Moved moved_;
  std::optional<std::size_t> corner_;  // voltage level * levels + ambient level
  units::UnitSystem units_ = units::UnitSystem::metric;
  QString sentence_;
  bool holds_ = true;
  bool current_ = false;

  QLabel* title_ = nullptr;
  QComboBox* corners_;
  QGridLayout* settings_;
  int columns_ = 0;
  LookSetting *voltage_, *ambient_, *pulse_, *rest_, *cycles_;
  QCheckBox* after_trip_;
  QPushButton *as_job_, *take_over_;
  WrappedText* said_;
};

}  // namespace latchwright::desk

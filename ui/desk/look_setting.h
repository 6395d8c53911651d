// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QDoubleSpinBox>
#include <QLabel>
#include <QSlider>
#include <QWidget>

#include "units/shown_unit.h"

namespace latchwright::desk {

/// A field for a number that shows no more digits than it has, and whose arrows stop at the permitted range.
/// Typing is not held back: whoever uses it says what is wrong.
class NumberField : public QDoubleSpinBox {
  Q_OBJECT

 public:
  explicit NumberField(QWidget* parent);
  void setPermitted(double low, double high);
  bool isPermitted() const { return value() >= low_ && value() <= high_; }

  QString textFromValue(double value) const override;
  void stepBy(int steps) override;

 protected:
  StepEnabled stepEnabled() const override;

 private:
  double low_ = 0;
  double high_ = 0;
};

/// One number of the look: its name, a slider over the sensible range, a field over the permitted one. Values
/// are in the file's unit; people see the unit that they chose.
class LookSetting : public QWidget {
  Q_OBJECT

 public:
  /// low, high: what the job's field tables permit.
  LookSetting(const QString& name, const QString& meaning, const std::string& unit, double low, double high,
              QWidget* parent);
  void setUnits(units::UnitSystem units);
  /// The slider's range, and the step of both in the unit that people see: 1 °C or 1 °F. Values beyond the
  /// range leave the slider at its end.
  void setSpan(double low, double high, double step);
  /// Only numbers without a fraction.
  void setWhole() { field_->setDecimals(0); }
  /// Shows a value without signalling; takes a refused one away.
  void setValue(double value);
  double value() const { return value_; }
  /// What was typed and is not permitted, with the range; empty: all is well.
  const QString& fault() const { return fault_; }

  QSlider* slider() const { return slider_; }
  NumberField* field() const { return field_; }

 Q_SIGNALS:
  /// Moved by the user to a permitted value.
  void moved(double value);
  void faultChanged();

 private:
  void showSpan();
  void showValue();
  void takeField(double shown);
  void takeSlider(int position);
  void setFault(const QString& fault);

  QString name_, meaning_;
  std::string file_unit_;
  units::ShownUnit unit_;
  double low_, high_;
  double span_low_, span_high_, step_ = 1;
  double value_ = 0;
  QString fault_;
  QLabel* label_;
  QSlider* slider_;
  NumberField* field_;
};

}  // namespace latchwright::desk

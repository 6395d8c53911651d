// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/look_setting.h"

#include <QBoxLayout>
#include <QSignalBlocker>
#include <cmath>

#include "desk/row_words.h"
#include "desk/theme.h"

namespace latchwright::desk {

namespace {

constexpr int most_decimals = 4;

/// A number with no more digits than it has.
QString short_number(const QLocale& locale, double value) {
  QString text = locale.toString(value, 'f', most_decimals);
  if (text.contains(locale.decimalPoint())) {
    while (text.endsWith(locale.zeroDigit())) text.chop(1);
    if (text.endsWith(locale.decimalPoint())) text.chop(locale.decimalPoint().size());
  }
  return text;
}

}  // namespace

NumberField::NumberField(QWidget* parent) : QDoubleSpinBox(parent) {
  setDecimals(most_decimals);
  // Only what was entered counts, not every digit on the way there.
  setKeyboardTracking(false);
  setRange(-1e6, 1e6);
  QLocale plain = locale();
  plain.setNumberOptions(QLocale::OmitGroupSeparator);
  setLocale(plain);
}

void NumberField::setPermitted(double low, double high) {
  low_ = low;
  high_ = high;
}

QString NumberField::textFromValue(double value) const { return short_number(locale(), value); }

void NumberField::stepBy(int steps) {
  const double wanted = value() + steps * singleStep();
  setValue(std::clamp(wanted, low_, high_));
  selectAll();
}

QAbstractSpinBox::StepEnabled NumberField::stepEnabled() const {
  StepEnabled enabled = StepNone;
  if (value() > low_) enabled |= StepDownEnabled;
  if (value() < high_) enabled |= StepUpEnabled;
  return enabled;
}

LookSetting::LookSetting(const QString& name, const QString& meaning, const std::string& unit, double low,
                         double high, QWidget* parent)
    : QWidget(parent),
      name_(name),
      meaning_(meaning),
      file_unit_(unit),
      unit_(units::shown_unit(unit, units::UnitSystem::metric)),
      low_(low),
      high_(high),
      span_low_(low),
      span_high_(high),
      label_(new QLabel(name, this)),
      slider_(new QSlider(Qt::Horizontal, this)),
      field_(new NumberField(this)) {
  slider_->setAccessibleName(tr("%1, slider").arg(name));
  slider_->setMinimumWidth(fontMetrics().averageCharWidth() * 8);
  field_->setAccessibleName(name);
  auto* layout = new QHBoxLayout(this);
  layout->setContentsMargins(0, 0, 0, 0);
  layout->setSpacing(fontMetrics().averageCharWidth());
  layout->addWidget(label_);
  layout->addWidget(slider_, 1);
  layout->addWidget(field_);
  connect(slider_, &QSlider::valueChanged, this, &LookSetting::takeSlider);
  connect(field_, &QDoubleSpinBox::valueChanged, this, &LookSetting::takeField);
  showSpan();
  setFault({});
}

void LookSetting::setUnits(units::UnitSystem units) {
  unit_ = units::shown_unit(file_unit_, units);
  // A refused number was meant in the other unit.
  setFault({});
  showSpan();
  showValue();
}

void LookSetting::setSpan(double low, double high, double step) {
  span_low_ = std::max(low, low_);
  span_high_ = std::min(high, high_);
  step_ = step;
  showSpan();
  showValue();
}

void LookSetting::showSpan() {
  const QSignalBlocker slider_quiet(slider_), field_quiet(field_);
  const double low = unit_.shown(span_low_), high = unit_.shown(span_high_);
  slider_->setRange(0, std::max(1, static_cast<int>(std::lround((high - low) / step_))));
  slider_->setPageStep(std::max(1, slider_->maximum() / 10));
  field_->setSuffix(unit_.text.isEmpty() ? QString() : QStringLiteral(" ") + unit_.text);
  field_->setSingleStep(step_);
  field_->setPermitted(unit_.shown(low_), unit_.shown(high_));
  // As wide as what is permitted, not as the field's own range.
  const QFontMetrics metrics(field_->font());
  field_->setFixedWidth(metrics.horizontalAdvance(QStringLiteral("-000.00") + field_->suffix()) +
                        5 * metrics.height() / 2);
}

void LookSetting::setValue(double value) {
  value_ = value;
  setFault({});
  showValue();
}

void LookSetting::showValue() {
  const QSignalBlocker slider_quiet(slider_), field_quiet(field_);
  const double shown = unit_.shown(value_);
  slider_->setValue(static_cast<int>(std::lround((shown - unit_.shown(span_low_)) / step_)));
  if (fault_.isEmpty()) field_->setValue(shown);
}

void LookSetting::takeField(double shown) {
  if (!field_->isPermitted()) {
    const QLocale locale = field_->locale();
    setFault(tr("%1: %2%3 is not permitted, only %4 to %5%3; it stays at %6%3")
                 .arg(name_, short_number(locale, shown), field_->suffix(),
                      short_number(locale, unit_.shown(low_)), short_number(locale, unit_.shown(high_)),
                      short_number(locale, unit_.shown(value_))));
    return;
  }
  value_ = std::clamp(unit_.file(shown), low_, high_);
  setFault({});
  const QSignalBlocker quiet(slider_);
  slider_->setValue(static_cast<int>(std::lround((shown - unit_.shown(span_low_)) / step_)));
  Q_EMIT moved(value_);
}

void LookSetting::takeSlider(int position) {
  // Positions are steps from the span's low end, without the noise of adding them up.
  const double shown = std::round((unit_.shown(span_low_) + position * step_) * 1e6) / 1e6;
  value_ = std::clamp(unit_.file(shown), low_, high_);
  setFault({});
  const QSignalBlocker quiet(field_);
  field_->setValue(shown);
  Q_EMIT moved(value_);
}

void LookSetting::setFault(const QString& fault) {
  const bool changed = fault != fault_;
  fault_ = fault;
  const QString tip = fault.isEmpty() ? meaning_ : fault;
  for (QWidget* each :
       {static_cast<QWidget*>(label_), static_cast<QWidget*>(slider_), static_cast<QWidget*>(field_)}) {
    each->setToolTip(tip_text(tip));
    each->setAccessibleDescription(tip);
  }
  QPalette palette;
  if (!fault.isEmpty()) {
    const StandingLook look = look_of(Standing::fails, theme_of(this->palette()));
    palette.setColor(QPalette::Base, look.background);
    palette.setColor(QPalette::Text, look.text);
  }
  field_->setPalette(fault.isEmpty() ? QPalette() : palette);
  label_->setText(fault.isEmpty() ? name_ : tr("%1 %2").arg(sign_of(Standing::fails), name_));
  if (changed) Q_EMIT faultChanged();
}

}  // namespace latchwright::desk

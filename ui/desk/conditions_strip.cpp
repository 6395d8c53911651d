// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/conditions_strip.h"

#include <QBoxLayout>
#include <QEvent>
#include <QSignalBlocker>

#include "base/failure.h"
#include "desk/look_setting.h"
#include "desk/row_words.h"
#include "desk/wrapped_text.h"
#include "model/job_fields.h"

namespace latchwright::desk {

using report::LookAt;

namespace {

constexpr std::size_t usual_level = 1;
constexpr int one_row = 5, two_rows = 3;  // settings side by side
constexpr int own_index = 9;              // of the corner box, behind the corners

/// The row of a job's field table: what it permits and means.
template <class R>
const model::FieldInfo& info_of(const model::Table<R>& table, std::string_view key) {
  const auto* field = table.find(key);
  base::require(field != nullptr, "a setting without a row in the field tables");
  return field->info;
}

LookSetting* make_setting(const QString& name, const QString& meaning, const model::FieldInfo& info,
                          QWidget* parent) {
  // A count needs no unit beside its name.
  const std::string unit = info.kind == model::FieldKind::whole ? std::string() : info.unit;
  auto* setting = new LookSetting(name, meaning, unit, info.low, info.high, parent);
  if (info.kind == model::FieldKind::whole) setting->setWhole();
  return setting;
}

}  // namespace

ConditionsStrip::ConditionsStrip(QWidget* parent) : QWidget(parent) {
  setAccessibleName(tr("look at one condition"));
  setAccessibleDescription(
      tr("The condition that the pictures show. The verdict of the run is over all corners; it does not move "
         "with these settings."));
  setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
  build();
  setFocusProxy(corners_);
  setEnabled(false);
}

void ConditionsStrip::build() {
  title_ = new QLabel(tr("Look at one condition"), this);
  QFont bold = title_->font();
  bold.setBold(true);
  title_->setFont(bold);
  title_->setToolTip(tip_text(accessibleDescription()));
  corners_ = new QComboBox(this);
  corners_->setAccessibleName(tr("corner"));
  corners_->setAccessibleDescription(tr("One of the nine corners at which the verdict looks."));
  corners_->setToolTip(corners_->accessibleDescription());
  corners_->setSizeAdjustPolicy(QComboBox::AdjustToContents);
  after_trip_ = new QCheckBox(tr("thermistors have tripped before"), this);
  after_trip_->setAccessibleDescription(
      tr("A thermistor that has tripped once keeps a higher resistance than a new one."));
  after_trip_->setToolTip(tip_text(after_trip_->accessibleDescription()));
  as_job_ = new QPushButton(tr("as the job"), this);
  as_job_->setAccessibleDescription(tr("Sets pulse, rest and cycles back to those of the job."));
  as_job_->setToolTip(as_job_->accessibleDescription());
  take_over_ = new QPushButton(tr("put into the job"), this);
  take_over_->setAccessibleDescription(tr("Puts this pulse, rest and number of cycles into the job."));
  take_over_->setToolTip(take_over_->accessibleDescription());

  voltage_ =
      make_setting(tr("voltage"), tr("Open-circuit voltage of the battery, or of the charging system."),
                   info_of(model::supply_table(), "usual_V"), this);
  ambient_ =
      make_setting(tr("ambient"), tr("Air in the doors."), info_of(model::climate_table(), "usual_C"), this);
  pulse_ = make_setting(tr("pulse"), tr("Length of the controller's pulse."),
                        info_of(model::pulse_table(), "on_s"), this);
  rest_ = make_setting(tr("rest"), tr("Rest between pulses."), info_of(model::use_table(), "gap_s"), this);
  cycles_ =
      make_setting(tr("cycles"), tr("Lock-and-unlock cycles in a row; a cycle is a lock and an unlock."),
                   info_of(model::use_table(), "cycles"), this);
  said_ = new WrappedText(1, this);

  auto* first = new QHBoxLayout;
  first->addWidget(title_);
  first->addSpacing(2 * fontMetrics().averageCharWidth());
  first->addWidget(corners_);
  first->addSpacing(2 * fontMetrics().averageCharWidth());
  first->addWidget(after_trip_);
  first->addStretch();
  settings_ = new QGridLayout;
  settings_->setHorizontalSpacing(3 * fontMetrics().averageCharWidth());
  auto* third = new QHBoxLayout;
  third->addWidget(said_);
  third->addStretch();
  third->addWidget(as_job_);
  third->addWidget(take_over_);
  auto* layout = new QVBoxLayout(this);
  layout->setContentsMargins(0, 0, 0, 0);
  layout->setSpacing(std::max(2, fontMetrics().height() / 5));
  layout->addLayout(first);
  layout->addLayout(settings_);
  layout->addLayout(third);
  arrange();
  const QList<QWidget*> order{corners_,          after_trip_,        voltage_->slider(),
                              voltage_->field(), ambient_->slider(), ambient_->field(),
                              pulse_->slider(),  pulse_->field(),    rest_->slider(),
                              rest_->field(),    cycles_->slider(),  cycles_->field(),
                              as_job_,           take_over_};
  for (qsizetype k = 0; k + 1 < order.size(); ++k) setTabOrder(order[k], order[k + 1]);

  connect(corners_, &QComboBox::activated, this, &ConditionsStrip::chooseCorner);
  const auto listen = [this](LookSetting* setting, auto take) {
    connect(setting, &LookSetting::moved, this, [this, take](double value) {
      LookAt look = look_;
      take(look, value);
      moveTo(look);
    });
    connect(setting, &LookSetting::faultChanged, this, &ConditionsStrip::showSentence);
  };
  listen(voltage_, [](LookAt& look, double value) { look.voltage_V = value; });
  listen(ambient_, [](LookAt& look, double value) { look.ambient_C = value; });
  listen(pulse_, [this](LookAt& look, double value) {
    look.on_s = value;
    moved_.pulse = true;
  });
  listen(rest_, [this](LookAt& look, double value) {
    look.gap_s = value;
    moved_.rest = true;
  });
  listen(cycles_, [this](LookAt& look, double value) {
    look.cycles = static_cast<int>(value);
    moved_.cycles = true;
  });
  connect(after_trip_, &QCheckBox::toggled, this, [this](bool checked) {
    LookAt look = look_;
    look.after_trip = checked;
    moved_.after_trip = true;
    moveTo(look);
  });
  connect(as_job_, &QPushButton::clicked, this, &ConditionsStrip::asTheJob);
  connect(take_over_, &QPushButton::clicked, this, &ConditionsStrip::takeOverRequested);
}

int ConditionsStrip::widthOf(int columns) const {
  int widest = 0;
  for (const LookSetting* setting : {voltage_, ambient_, pulse_, rest_, cycles_}) {
    widest = std::max(widest, setting->minimumSizeHint().width());
  }
  return columns * widest + (columns - 1) * settings_->horizontalSpacing();
}

void ConditionsStrip::arrange() {
  const int columns = width() >= widthOf(one_row) ? one_row : two_rows;
  if (columns == columns_) return;
  for (int column = 0; column < one_row; ++column)
    settings_->setColumnStretch(column, column < columns ? 1 : 0);
  int k = 0;
  for (LookSetting* setting : {voltage_, ambient_, pulse_, rest_, cycles_}) {
    settings_->addWidget(setting, k / columns, k % columns);
    ++k;
  }
  columns_ = columns;
  updateGeometry();
}

QSize ConditionsStrip::minimumSizeHint() const {
  const QSize now = QWidget::minimumSizeHint();
  return {std::max(title_->sizeHint().width() + corners_->minimumSizeHint().width() +
                       after_trip_->sizeHint().width() + 6 * fontMetrics().averageCharWidth(),
                   widthOf(two_rows)),
          now.height()};
}

void ConditionsStrip::resizeEvent(QResizeEvent* event) {
  QWidget::resizeEvent(event);
  arrange();
}

std::string ConditionsStrip::cyclesPointer() const {
  return job_ && look_.ambient_C >= job_->ambients_C.back() ? "/use/hot_cycles" : "/use/cycles";
}

int ConditionsStrip::jobCycles() const {
  return cyclesPointer() == "/use/hot_cycles" ? job_->hot_cycles : job_->usual.cycles;
}

std::optional<std::size_t> ConditionsStrip::cornerOf(const LookAt& at) const {
  const auto is_at = [&](std::size_t corner) {
    return at.voltage_V == job_->voltages_V[corner / levels] &&
           at.ambient_C == job_->ambients_C[corner % levels];
  };
  // Two corners may have the same values; the usual one is named first.
  if (corner_ && is_at(*corner_)) return corner_;
  if (const std::size_t usual = usual_level * levels + usual_level; is_at(usual)) return usual;
  for (std::size_t corner = 0; corner < levels * levels; ++corner) {
    if (is_at(corner)) return corner;
  }
  return std::nullopt;
}

void ConditionsStrip::follow() {
  const LookAt& usual = job_->usual;
  if (!moved_.condition) {
    look_.voltage_V = usual.voltage_V;
    look_.ambient_C = usual.ambient_C;
    corner_.reset();
    corner_ = cornerOf(look_);
  } else if (corner_) {
    look_.voltage_V = job_->voltages_V[*corner_ / levels];
    look_.ambient_C = job_->ambients_C[*corner_ % levels];
  }
  if (!moved_.pulse) look_.on_s = usual.on_s;
  if (!moved_.rest) look_.gap_s = usual.gap_s;
  if (!moved_.cycles) look_.cycles = jobCycles();
  if (!moved_.after_trip) look_.after_trip = usual.after_trip;
}

void ConditionsStrip::setStudy(const model::Study& study) {
  const model::Job& job = study.job;
  job_ = JobValues{{job.supply.low_V, job.supply.usual_V, job.supply.high_V},
                   {job.climate.cold_C, job.climate.usual_C, job.climate.hot_C},
                   report::usual_look(study),
                   job.use.hot_cycles};
  follow();
  // An own condition may by now be one of the corners, or none any more.
  corner_ = cornerOf(look_);
  // Sliders go as far as hands would go; the fields take all that the job's tables permit.
  voltage_->setSpan(job.supply.low_V - 1, job.supply.high_V + 1, 0.1);
  ambient_->setSpan(-40, 100, 1);
  pulse_->setSpan(0.05, std::max(2.0, 2 * job.pulse.on_s), 0.01);
  rest_->setSpan(0, std::max(10.0, 2 * job.use.gap_s), 0.1);
  cycles_->setSpan(1, std::max(30, 2 * std::max(job.use.cycles, job.use.hot_cycles)), 1);
  setEnabled(true);
  fillCorners();
  showLook();
}

void ConditionsStrip::setUnits(units::UnitSystem units) {
  units_ = units;
  for (LookSetting* setting : {voltage_, ambient_, pulse_, rest_, cycles_}) setting->setUnits(units);
  if (!job_) return;
  fillCorners();
  showLook();
}

void ConditionsStrip::setLook(const LookAt& look) {
  if (!job_) return;
  const LookAt& usual = job_->usual;
  const LookAt before = look_;
  look_ = look;
  const auto mark = [](bool& moved, auto was, auto is, auto job) {
    if (is != was) moved = is != job;
  };
  if (look.voltage_V != before.voltage_V || look.ambient_C != before.ambient_C) {
    moved_.condition = look.voltage_V != usual.voltage_V || look.ambient_C != usual.ambient_C;
  }
  mark(moved_.pulse, before.on_s, look.on_s, usual.on_s);
  mark(moved_.rest, before.gap_s, look.gap_s, usual.gap_s);
  mark(moved_.cycles, before.cycles, look.cycles, jobCycles());
  mark(moved_.after_trip, before.after_trip, look.after_trip, usual.after_trip);
  if (!moved_.cycles) look_.cycles = jobCycles();
  corner_ = cornerOf(look_);
  showLook();
  if (look_ != before) Q_EMIT lookChanged();
}

void ConditionsStrip::chooseCorner(int index) {
  if (!job_ || index < 0) return;
  if (index == own_index) {
    showLook();
    return;
  }
  corner_ = static_cast<std::size_t>(index);
  LookAt look = look_;
  look.voltage_V = job_->voltages_V[*corner_ / levels];
  look.ambient_C = job_->ambients_C[*corner_ % levels];
  moveTo(look);
}

void ConditionsStrip::moveTo(const LookAt& look) {
  if (!job_) return;
  const LookAt before = look_;
  look_ = look;
  corner_ = cornerOf(look_);
  if (look.voltage_V != before.voltage_V || look.ambient_C != before.ambient_C) moved_.condition = true;
  if (!moved_.cycles) look_.cycles = jobCycles();
  showLook();
  if (look_ != before) Q_EMIT lookChanged();
}

void ConditionsStrip::asTheJob() {
  if (!job_) return;
  moved_.pulse = moved_.rest = moved_.cycles = false;
  LookAt look = look_;
  look.on_s = job_->usual.on_s;
  look.gap_s = job_->usual.gap_s;
  look.cycles = jobCycles();
  moveTo(look);
}

void ConditionsStrip::fillCorners() {
  const QString voltages[] = {tr("weak battery"), tr("rested battery"), tr("highest voltage")};
  const QString ambients[] = {tr("cold"), tr("usual"), tr("hot")};
  const QSignalBlocker quiet(corners_);
  corners_->clear();
  for (std::size_t corner = 0; corner < levels * levels; ++corner) {
    const verdict::At at{job_->voltages_V[corner / levels], job_->ambients_C[corner % levels]};
    corners_->addItem(
        tr("%1, %2 %3")
            .arg(voltages[corner / levels], ambients[corner % levels], condition_words(at, units_)));
  }
  corners_->addItem(tr("as set below"));
}

void ConditionsStrip::showLook() {
  voltage_->setValue(look_.voltage_V);
  ambient_->setValue(look_.ambient_C);
  pulse_->setValue(look_.on_s);
  rest_->setValue(look_.gap_s);
  cycles_->setValue(look_.cycles);
  const QSignalBlocker corners_quiet(corners_), trip_quiet(after_trip_);
  after_trip_->setChecked(look_.after_trip);
  corners_->setCurrentIndex(corner_ ? static_cast<int>(*corner_) : own_index);
  const bool differs =
      look_.on_s != job_->usual.on_s || look_.gap_s != job_->usual.gap_s || look_.cycles != jobCycles();
  as_job_->setEnabled(differs);
  take_over_->setEnabled(differs);
  showSentence();
}

void ConditionsStrip::setSentence(const QString& sentence, bool holds, bool current) {
  sentence_ = sentence;
  holds_ = holds;
  current_ = current;
  showSentence();
}

void ConditionsStrip::showSentence() {
  // A number that is not permitted comes first: it explains why nothing moves.
  for (const LookSetting* setting : {voltage_, ambient_, pulse_, rest_, cycles_}) {
    if (!setting->fault().isEmpty()) {
      said_->setStanding(std::nullopt, false);
      said_->setFaint(false);
      said_->say(tr("%1 %2").arg(sign_of(Standing::fails), setting->fault()));
      return;
    }
  }
  said_->setFaint(!current_);
  if (sentence_.isEmpty()) {
    said_->setStanding(std::nullopt, false);
    said_->say({});
    return;
  }
  const Standing standing = holds_ ? Standing::holds : Standing::fails;
  said_->setStanding(standing, !current_);
  said_->say(current_ ? tr("%1 here: %2").arg(sign_and_word(standing), sentence_)
                      : tr("%1 here: %2 (computing…)").arg(sign_and_word(standing), sentence_));
}

void ConditionsStrip::changeEvent(QEvent* event) {
  QWidget::changeEvent(event);
  if (event->type() == QEvent::FontChange && title_ != nullptr) {
    QFont bold = font();
    bold.setBold(true);
    title_->setFont(bold);
    arrange();
  }
}

}  // namespace latchwright::desk

// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/bench_triage_pane.h"

#include <QHeaderView>
#include <QSignalBlocker>
#include <QVBoxLayout>
#include <algorithm>
#include <cmath>
#include <limits>

#include "base/text.h"
#include "bench/reading_fields.h"
#include "desk/number_entry.h"
#include "desk/row_words.h"

namespace latchwright::desk {

namespace {

constexpr double hardly = 0.01;  // less is not worth a row
constexpr std::size_t least_rows = 2;

bool says_open(const QString& text) {
  const QString plain = text.trimmed().toLower();
  return plain == QLatin1String("ol") || plain == QLatin1String("o.l") || plain == QLatin1String("open") ||
         plain == QStringLiteral("∞");
}

}  // namespace

QString state_words(bench::State state) {
  switch (state) {
    case bench::State::sound:
      return BenchTriagePane::tr("sound");
    case bench::State::waiting:
      return BenchTriagePane::tr("waiting to cool");
    case bench::State::open:
      return BenchTriagePane::tr("open circuit");
    case bench::State::shorted:
      return BenchTriagePane::tr("shorted");
    case bench::State::seized:
      return BenchTriagePane::tr("seized");
    case bench::State::worn:
      return BenchTriagePane::tr("worn");
    case bench::State::supply:
      return BenchTriagePane::tr("supply fault");
    case bench::State::end_switch:
      break;
  }
  return BenchTriagePane::tr("end-switch fault");
}

QString percent_text(double share) {
  if (share > 0 && share < hardly) return BenchTriagePane::tr("under 1 %");
  if (share < 1 && share > 0.99) return BenchTriagePane::tr("over 99 %");
  return BenchTriagePane::tr("%1 %").arg(std::lround(100 * share));
}

BenchTriagePane::BenchTriagePane(QWidget* parent)
    : QWidget(parent),
      mark_(new QLabel(tr("computing…"), this)),
      next_(new QPushButton(this)),
      next_why_(new WrappedText(3, this)),
      states_(new FlatTable({tr("may be"), tr("chance"), tr("why")}, this)),
      hardly_(new WrappedText(1, this)),
      wait_(new WrappedText(2, this)),
      remarks_(new QLabel(this)) {
  setAccessibleName(tr("is it dead or only waiting"));
  mark_->hide();
  next_->setToolTip(tr("Goes to the field of this reading"));
  next_why_->setSteady(true);
  hardly_->setFaint(true);
  remarks_->setWordWrap(true);
  remarks_->setTextFormat(Qt::PlainText);
  remarks_->setForegroundRole(QPalette::PlaceholderText);
  states_->setAccessibleName(tr("what may be the matter, likeliest first"));
  states_->horizontalHeader()->setSectionResizeMode(0, QHeaderView::ResizeToContents);
  states_->horizontalHeader()->setSectionResizeMode(2, QHeaderView::Stretch);
  auto* clear = new QPushButton(tr("Start &over"), this);
  clear->setToolTip(tr("Empties all readings"));
  auto* first = new QHBoxLayout;
  first->addWidget(next_);
  first->addStretch();
  first->addWidget(mark_);
  first->addWidget(clear);
  auto* scroll = new QScrollArea(this);
  scroll->setFrameShape(QFrame::NoFrame);
  scroll->setWidgetResizable(true);
  scroll->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
  scroll->setFocusPolicy(Qt::NoFocus);
  auto* inside = new QWidget(scroll);
  auto* sheet = new QVBoxLayout(inside);
  sheet->setContentsMargins(0, 0, 4, 0);
  sheet->setSpacing(6);
  sheet->addWidget(makeRows());
  sheet->addWidget(wait_);
  sheet->addWidget(states_);
  sheet->addWidget(hardly_);
  sheet->addWidget(remarks_);
  sheet->addStretch();
  scroll->setWidget(inside);
  for (QWidget* each : {scroll->viewport(), inside}) each->setAutoFillBackground(false);
  auto* layout = new QVBoxLayout(this);
  layout->setContentsMargins(6, 6, 2, 2);
  layout->setSpacing(4);
  layout->addLayout(first);
  layout->addWidget(next_why_);
  layout->addWidget(scroll, 1);

  constexpr int between_digits = 250;  // ms
  typing_.setSingleShot(true);
  typing_.setInterval(between_digits);
  connect(&typing_, &QTimer::timeout, this, &BenchTriagePane::compute);
  connect(clear, &QPushButton::clicked, this, &BenchTriagePane::clear);
  connect(next_, &QPushButton::clicked, this, [this] {
    if (!triage_ || !triage_->next) return;
    const auto row = rows_.find(QString::fromStdString(triage_->next->reading));
    if (row != rows_.end()) row->second.entry->setFocus(Qt::ShortcutFocusReason);
  });
  connect(&task_, &LatestTask::finished, mark_, &QWidget::hide);
  connect(&task_, &LatestTask::failed, this, [this](const QString& text) {
    mark_->setText(tr("could not be computed: %1").arg(text));
    mark_->show();
  });
  showNext();
  showWait();
}

QWidget* BenchTriagePane::makeRows() {
  auto* rows = new QWidget(this);
  auto* grid = new QGridLayout(rows);
  grid->setContentsMargins(0, 0, 0, 0);
  grid->setVerticalSpacing(3);
  grid->setHorizontalSpacing(fontMetrics().averageCharWidth());
  grid->setColumnStretch(3, 1);
  const QString empty = tr("not read");
  addNumber(grid, QStringLiteral("leads"), tr("resistance across its leads"), empty,
            tr("OL where the meter shows no end"));
  addNumber(grid, QStringLiteral("meter"), tr("meter's leads touched together"), empty);
  addNumber(grid, QStringLiteral("idle"), tr("minutes since it was last used"), empty);
  addNumber(grid, QStringLiteral("used"), tr("throws just before that"), empty);
  addNumber(grid, QStringLiteral("on"), tr("pulse of those throws"), tr("0.7 (usual)"));
  addNumber(grid, QStringLiteral("gap"), tr("rest between them"), tr("1 (usual)"));
  addNumber(grid, QStringLiteral("supply"), tr("voltage at it, power on"), empty);
  addNumber(grid, QStringLiteral("current"), tr("current then"), empty);
  addChoice(grid, QStringLiteral("moves"), tr("it moves"), tr("When the switch is worked, both ways."),
            {tr("not tried"), tr("in both directions"), tr("in one direction only"), tr("not at all")});
  addChoice(grid, QStringLiteral("frees"), tr("it moves again after a wait"),
            tr("Left alone with the power off, then tried again."), {tr("not tried"), tr("yes"), tr("no")});
  return rows;
}

BenchTriagePane::Row& BenchTriagePane::addRow(QGridLayout* grid, const QString& key, const QString& name,
                                              const QString& meaning, QWidget* entry, const QString& unit) {
  const int at = grid->rowCount();
  auto* label = new QLabel(name, this);
  label->setBuddy(entry);
  auto* note = new QLabel(this);
  note->setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Preferred);
  entry->setAccessibleName(name);
  entry->setAccessibleDescription(meaning);
  entry->setToolTip(tip_text(meaning));
  label->setToolTip(tip_text(meaning));
  grid->addWidget(label, at, 0);
  grid->addWidget(entry, at, 1);
  if (!unit.isEmpty()) grid->addWidget(new QLabel(unit, this), at, 2);
  grid->addWidget(note, at, 3);
  return rows_[key] = {label, note, {}, entry};
}

void BenchTriagePane::addNumber(QGridLayout* grid, const QString& key, const QString& name,
                                const QString& when_empty, const QString& hint) {
  const model::FieldInfo& info = bench::reading_field(key.toStdString());
  auto* line = new QLineEdit(this);
  line->setPlaceholderText(when_empty);
  line->setAlignment(Qt::AlignRight);
  line->setFixedWidth(20 * fontMetrics().averageCharWidth());
  Row& row =
      addRow(grid, key, name, QString::fromStdString(info.meaning), line, QString::fromStdString(info.unit));
  row.hint = hint;
  row.note->setText(hint);
  numbers_[key] = {&info, line};
  connect(line, &QLineEdit::textChanged, this, [this] {
    takeReadings();
    typing_.start();
  });
}

void BenchTriagePane::addChoice(QGridLayout* grid, const QString& key, const QString& name,
                                const QString& meaning, const QStringList& words) {
  auto* box = new QComboBox(this);
  box->addItems(words);
  box->setFixedWidth(20 * fontMetrics().averageCharWidth());
  choices_[key] = box;
  addRow(grid, key, name, meaning, box, {});
  connect(box, &QComboBox::currentIndexChanged, this, [this] {
    takeReadings();
    compute();
  });
}

QLineEdit* BenchTriagePane::field(const QString& key) const {
  const auto found = numbers_.find(key);
  return found == numbers_.end() ? nullptr : found->second.line;
}

QComboBox* BenchTriagePane::choice(const QString& key) const {
  const auto found = choices_.find(key);
  return found == choices_.end() ? nullptr : found->second;
}

std::optional<double> BenchTriagePane::numberOf(const QString& key) {
  const Number& number = numbers_.at(key);
  const Row& row = rows_.at(key);
  const QString text = number.line->text();
  const auto tell = [&](const QString& fault) {
    row.note->setText(fault.isEmpty() ? row.hint : tr("✕ %1").arg(fault));
  };
  tell({});
  row.note->setToolTip({});
  if (text.trimmed().isEmpty()) return std::nullopt;
  if (key == QLatin1String("leads") && says_open(text)) return std::numeric_limits<double>::infinity();
  const TypedNumber typed = read_typed(text, QString::fromStdString(number.info->unit));
  const QString fault =
      typed.value ? range_fault(*typed.value, *number.info, units::UnitSystem::metric) : typed.why;
  tell(fault);
  row.note->setToolTip(tip_text(fault));
  return fault.isEmpty() ? typed.value : std::nullopt;
}

void BenchTriagePane::takeReadings() {
  bench::Readings read;
  read.leads_ohm = numberOf(QStringLiteral("leads"));
  read.meter_ohm = numberOf(QStringLiteral("meter"));
  read.idle_min = numberOf(QStringLiteral("idle"));
  if (read.leads_ohm && read.meter_ohm && *read.leads_ohm < *read.meter_ohm - bench::touch_ohm) {
    const QString fault = tr("more than across the actuator, which they are part of");
    rows_.at(QStringLiteral("meter")).note->setText(tr("✕ %1").arg(fault));
    rows_.at(QStringLiteral("meter")).note->setToolTip(tip_text(fault));
    read.meter_ohm.reset();
  }
  if (const auto used = numberOf(QStringLiteral("used"))) read.used = static_cast<int>(*used);
  if (const auto on = numberOf(QStringLiteral("on"))) read.on_s = *on;
  if (const auto gap = numberOf(QStringLiteral("gap"))) read.gap_s = *gap;
  read.supply_V = numberOf(QStringLiteral("supply"));
  read.current_A = numberOf(QStringLiteral("current"));
  read.ambient_C = subject_.ambient_C;
  constexpr bench::Moves moves[] = {bench::Moves::both, bench::Moves::one, bench::Moves::neither};
  if (const int moved = choices_.at(QStringLiteral("moves"))->currentIndex(); moved > 0)
    read.moves = moves[moved - 1];
  if (const int frees = choices_.at(QStringLiteral("frees"))->currentIndex(); frees > 0)
    read.frees = frees == 1;
  readings_ = read;
}

void BenchTriagePane::setSubject(const BenchSubject& subject) {
  subject_ = subject;
  takeReadings();
  compute();
}

void BenchTriagePane::clear() {
  for (auto& [key, number] : numbers_) {
    const QSignalBlocker quiet(number.line);
    number.line->clear();
  }
  for (auto& [key, box] : choices_) {
    const QSignalBlocker quiet(box);
    box->setCurrentIndex(0);
  }
  takeReadings();
  compute();
}

void BenchTriagePane::compute() {
  typing_.stop();
  if (!subject_.part) {
    task_.cancel();
    triage_.reset();
    showNext();
    showStates();
    showWait();
    return;
  }
  mark_->setText(tr("computing…"));
  mark_->setVisible(triage_.has_value());
  task_.start([this, subject = subject_, readings = readings_](LatestTask::Handle& handle) {
    auto triage = bench::triage(subject.actuator(), subject.curve, readings, handle);
    handle.tell([this, triage = std::move(triage)] { show(triage); });
  });
}

void BenchTriagePane::show(bench::Triage triage) {
  triage_ = std::move(triage);
  showNext();
  showStates();
  showWait();
}

void BenchTriagePane::showNext() {
  const auto& next = triage_ ? triage_->next : std::optional<bench::NextReading>();
  const QString key = next ? QString::fromStdString(next->reading) : QString();
  for (auto& [each, row] : rows_) {
    QFont font = this->font();
    font.setBold(each == key);
    row.name->setFont(font);
  }
  const auto row = rows_.find(key);
  next_->setEnabled(row != rows_.end());
  if (row != rows_.end()) {
    next_->setText(tr("&Read next: %1").arg(row->second.name->text()));
    next_why_->say(QString::fromStdString(next->why));
  } else {
    next_->setText(triage_ ? tr("Nothing more to read") : tr("No reading yet"));
    next_why_->say(!triage_                   ? QString()
                   : triage_->settles.empty() ? tr("No further reading would tell more than these do.")
                                              : tr("No reading that is left would tell more. %1")
                                                    .arg(QString::fromStdString(triage_->settles)));
  }
}

void BenchTriagePane::showStates() {
  QStringList rest;
  int shown = 0;
  const std::vector<bench::StateRow> none;
  const auto& all = triage_ ? triage_->states : none;
  for (const auto& state : all) {
    if (state.likelihood < hardly && shown >= static_cast<int>(least_rows)) {
      rest << state_words(state.state);
      continue;
    }
    const QString why = QString::fromStdString(state.why);
    states_->setRow(shown, {state_words(state.state), percent_text(state.likelihood), why}, tip_text(why));
    ++shown;
  }
  states_->setRowCount(shown);
  states_->fit();
  hardly_->say(rest.isEmpty() ? QString() : tr("Under 1 %: %1").arg(rest.join(QStringLiteral(", "))));
  hardly_->setVisible(!rest.isEmpty());
}

void BenchTriagePane::showWait() {
  QStringList remarks;
  if (triage_) {
    for (const auto& remark : triage_->remarks) remarks << QString::fromStdString(remark);
  }
  remarks_->setText(remarks.join(QLatin1Char('\n')));
  remarks_->setVisible(!remarks.isEmpty());
  const bool waits = triage_ && triage_->wait;
  wait_->setVisible(waits);
  if (!waits) {
    wait_->say({});
    return;
  }
  const auto words = [](double seconds) { return QString::fromStdString(base::wait_text(seconds)); };
  const bench::Wait& wait = *triage_->wait;
  wait_->setStanding(Standing::tight, false);
  wait_->say(
      tr("If it is waiting to cool: leave it off for %1 from when %2, then try again. Half of them "
         "move again after %3; workshop practice gives it about a minute.")
          .arg(words(wait.high), wait.from_power_off ? tr("the power was last on") : tr("it was read"),
               words(wait.s)));
}

}  // namespace latchwright::desk

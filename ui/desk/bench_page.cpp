// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/bench_page.h"

#include <QFrame>
#include <QShortcut>
#include <QSplitter>
#include <QTabBar>
#include <QVBoxLayout>
#include <algorithm>

#include "base/failure.h"
#include "bench/triage_members.h"
#include "desk/tab_place.h"
#include "model/job_fields.h"
#include "report/text_table.h"

namespace latchwright::desk {

namespace {

const model::FieldInfo& bench_row(const auto& table, std::string_view key) {
  const auto* field = table.find(key);
  base::require(field != nullptr, "a setting without a row in the field tables");
  return field->info;
}

LookSetting* bench_setting(const QString& name, const QString& meaning, const model::FieldInfo& info,
                           QWidget* parent) {
  return new LookSetting(name, meaning, info.unit, info.low, info.high, parent);
}

}  // namespace

QString bench_cautions_html() {
  std::vector<std::string> lines = report::bench_cautions();
  for (const auto& line : report::cautions()) lines.push_back(line);
  QStringList columns[2];
  const std::size_t half = (lines.size() + 1) / 2;
  for (std::size_t k = 0; k < lines.size(); ++k) {
    columns[k < half ? 0 : 1]
        << QStringLiteral("<li>%1</li>").arg(QString::fromStdString(lines[k]).toHtmlEscaped());
  }
  const auto cell = [](const QStringList& items) {
    return QStringLiteral("<td width=\"50%\"><ul style=\"margin:0 0 0 -24px\">%1</ul></td>")
        .arg(items.join(QString()));
  };
  return QStringLiteral("<table width=\"100%\"><tr>%1%2</tr></table>")
      .arg(cell(columns[0]), cell(columns[1]));
}

BenchPage::BenchPage(Document& document, QWidget* parent)
    : QWidget(parent),
      document_(document),
      actuators_(new QComboBox(this)),
      origin_(new QLabel(this)),
      fault_(new QLabel(this)),
      ambient_(bench_setting(tr("ambient"), tr("Air around the actuator."),
                             bench_row(model::climate_table(), "usual_C"), this)),
      supply_(bench_setting(tr("supply"), tr("Voltage at the actuator's leads while the power is on."),
                            bench_row(model::supply_table(), "usual_V"), this)),
      sheet_(new BenchSheetPane(this)),
      tabs_(new QTabWidget(this)),
      triage_(new BenchTriagePane(this)),
      fit_(new BenchFitPane(document, this)) {
  setAccessibleName(tr("bench"));
  setAccessibleDescription(
      tr("One actuator by itself: what it should read, and what may be the matter with it."));
  layOut();
  ambient_->setSpan(-30, 80, 1);
  supply_->setSpan(8, 16, 0.1);
  ambient_->setValue(subject_.ambient_C);
  supply_->setValue(subject_.supply_V);
  connect(actuators_, &QComboBox::currentIndexChanged, this, &BenchPage::takeActuator);
  for (LookSetting* setting : {ambient_, supply_}) {
    connect(setting, &LookSetting::moved, this, &BenchPage::takeSubject);
    connect(setting, &LookSetting::faultChanged, this, &BenchPage::showFaults);
  }
  connect(sheet_, &BenchSheetPane::saveRequested, this, &BenchPage::saveRequested);
  connect(fit_, &BenchFitPane::saveRequested, this, &BenchPage::saveRequested);
  connect(fit_, &BenchFitPane::partKept, this, [this](const QString& id) {
    Q_EMIT partFilesChanged();
    list();
    choose(id.toStdString());
  });
  connect(&document_, &Document::studyChanged, this, &BenchPage::list);
  auto* leave = new QShortcut(QKeySequence(Qt::Key_Escape), this);
  leave->setContext(Qt::WidgetWithChildrenShortcut);
  connect(leave, &QShortcut::activated, this, &BenchPage::leaveRequested);
  list();
}

void BenchPage::layOut() {
  auto* name = new QLabel(tr("&Actuator"), this);
  name->setBuddy(actuators_);
  actuators_->setAccessibleName(tr("actuator on the bench"));
  actuators_->setAccessibleDescription(tr("The job's actuators come first, then those of the catalogue."));
  actuators_->setToolTip(actuators_->accessibleDescription());
  actuators_->setMinimumContentsLength(30);
  actuators_->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
  actuators_->setMaxVisibleItems(25);
  fault_->hide();
  auto* top = new QHBoxLayout;
  top->setSpacing(2 * fontMetrics().averageCharWidth());
  top->addWidget(name);
  top->addWidget(actuators_, 3);
  top->addWidget(ambient_, 2);
  top->addWidget(supply_, 2);

  auto* cautions = new QFrame(this);
  cautions->setFrameShape(QFrame::StyledPanel);
  auto* words = new QLabel(bench_cautions_html(), cautions);
  words->setTextFormat(Qt::RichText);
  words->setWordWrap(true);
  words->setTextInteractionFlags(Qt::TextSelectableByMouse);
  words->setAccessibleName(tr("Cautions"));
  auto* inside = new QVBoxLayout(cautions);
  inside->setContentsMargins(6, 2, 6, 2);
  inside->addWidget(words);

  auto* split = new QSplitter(Qt::Horizontal, this);
  split->addWidget(sheet_);
  tabs_->addTab(triage_, tr("&Is it dead or only waiting?"));
  tabs_->addTab(fit_, tr("Meas&ure it"));
  split->addWidget(tabs_);
  split->setStretchFactor(0, 1);
  split->setStretchFactor(1, 1);
  split->setChildrenCollapsible(false);
  // Half and half until somebody moves the bar.
  split->setSizes({1000, 1000});
  tabs_->tabBar()->setAccessibleName(tr("parts of the bench"));
  auto* layout = new QVBoxLayout(this);
  layout->setContentsMargins(0, 0, 0, 0);
  layout->setSpacing(4);
  layout->addLayout(top);
  layout->addWidget(origin_);
  layout->addWidget(fault_);
  layout->addWidget(cautions);
  layout->addWidget(split, 1);
  const QList<QWidget*> order{actuators_, ambient_->slider(), ambient_->field(), supply_->slider(),
                              supply_->field()};
  for (qsizetype k = 0; k + 1 < order.size(); ++k) setTabOrder(order[k], order[k + 1]);
  put_in_tab_order(tabs_->tabBar(), triage_);
  put_in_tab_order(last_tab_place(triage_), fit_);
}

void BenchPage::setStyle(const charts::Style& style) {
  ambient_->setUnits(style.units);
  supply_->setUnits(style.units);
  sheet_->setStyle(style);
  fit_->setStyle(style);
}

void BenchPage::choose(const std::string& id) {
  const int place = actuators_->findData(QString::fromStdString(id));
  if (place >= 0) actuators_->setCurrentIndex(place);
}

void BenchPage::showEvent(QShowEvent* event) {
  QWidget::showEvent(event);
  list();
}

void BenchPage::list() {
  // Nobody looks: what changes meanwhile is taken when somebody does.
  if (!isVisible() && actuators_->count() > 0) return;
  const QString before = actuators_->currentData().toString();
  const auto& study = document_.study();
  const model::Catalogue& parts = study ? *study->catalogue : document_.catalogue();
  const auto words = [](const model::Part& part) {
    return tr("%1 (%2)").arg(QString::fromStdString(part.title), QString::fromStdString(part.id));
  };
  const QSignalBlocker quiet(actuators_);
  actuators_->clear();
  QStringList ids;
  for (std::size_t k = 0; study && k < study->doors.size(); ++k) {
    const auto& part = study->doors[k].actuator;
    if (!part || ids.contains(QString::fromStdString(part->id))) continue;
    ids << QString::fromStdString(part->id);
    actuators_->addItem(tr("of the job: %1").arg(words(*part)), ids.back());
  }
  if (!ids.isEmpty()) actuators_->insertSeparator(actuators_->count());
  for (const auto& id : parts.ids_of("actuator")) {
    if (ids.contains(QString::fromStdString(id))) continue;
    actuators_->addItem(words(*parts.find(id)), QString::fromStdString(id));
  }
  actuators_->setCurrentIndex(std::max(0, before.isEmpty() ? 0 : actuators_->findData(before)));
  takeSubject();
}

void BenchPage::takeActuator() {
  const auto& study = document_.study();
  const model::Catalogue& parts = study ? *study->catalogue : document_.catalogue();
  const model::PartPtr part = parts.find(actuators_->currentData().toString().toStdString());
  // Another vehicle's voltage would show another actuator than it is.
  if (part && part != subject_.part) {
    const double ordinary = bench::nominal_voltage(std::get<model::Actuator>(part->body));
    constexpr double weak = 0.65, strong = 1.3;
    supply_->setSpan(weak * ordinary, strong * ordinary, 0.1);
    supply_->setValue(ordinary);
  }
  takeSubject();
}

void BenchPage::takeSubject() {
  const auto& study = document_.study();
  const model::Catalogue& parts = study ? *study->catalogue : document_.catalogue();
  BenchSubject subject;
  subject.part = parts.find(actuators_->currentData().toString().toStdString());
  subject.ambient_C = ambient_->value();
  subject.supply_V = supply_->value();
  if (subject.part) subject.curve = model::curve_of(subject.actuator(), parts);
  const bool same = subject.part == subject_.part && subject.ambient_C == subject_.ambient_C &&
                    subject.supply_V == subject_.supply_V && subject.curve.T_C == subject_.curve.T_C &&
                    subject.curve.ratio == subject_.curve.ratio;
  if (same && sheet_->shown()) return;
  subject_ = subject;
  const bool invented = subject_.part && subject_.part->source.kind == "invented";
  origin_->setText(invented ? tr("Example part: measure yours before promising this.") : QString());
  origin_->setVisible(invented);
  sheet_->setSubject(subject_);
  triage_->setSubject(subject_);
  fit_->setSubject(subject_);
}

void BenchPage::showFaults() {
  QStringList faults;
  for (const LookSetting* setting : {ambient_, supply_}) {
    if (!setting->fault().isEmpty()) faults << setting->fault();
  }
  fault_->setText(faults.isEmpty() ? QString() : tr("✕ %1").arg(faults.join(QStringLiteral("; "))));
  fault_->setVisible(!faults.isEmpty());
}

}  // namespace latchwright::desk

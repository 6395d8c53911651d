// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/spread_page_map.h"

#include <QBoxLayout>

#include "base/text.h"
#include "model/job_fields.h"

namespace latchwright::desk {

MapPane::MapPane(Document& document, QWidget* parent)
    : SpreadPane(document, parent), document_(document), axis_(new QComboBox(this)) {
  setAccessibleName(tr("where it works"));
  axis_->addItems({tr("rest between pulses"), tr("pulse length")});
  axis_->setAccessibleName(tr("what the map shows beside ambient"));
  axis_->setAccessibleDescription(
      tr("The shortest safe rest with the job's pulse, or the longest safe pulse "
         "with the job's rest, at every ambient."));
  axis_->setToolTip(axis_->accessibleDescription());
  const auto& ambient = setting_row(model::climate_table(), "usual_C");
  coldest_ =
      addSetting(tr("ambient from"), tr("Coldest air in the doors that the map shows."), ambient, -40, 60, 1);
  hottest_ = addSetting(tr("to"), tr("Hottest air in the doors that the map shows."), ambient, 20, 120, 1);
  // Rests or pulses: the shorter of both ranges' ends is checked when it is chosen.
  longest_ = addSetting(tr("up to"), tr("The longest rest, or the longest pulse, that the map shows."),
                        setting_row(model::use_table(), "gap_s"), 1, 30, 0.5);
  cycles_ = addSetting(tr("cycles"), tr("Lock-and-unlock cycles in a row that are wanted."),
                       setting_row(model::use_table(), "cycles"), 1, 40, 1);
  voltage_ = addSetting(tr("voltage"), tr("Open-circuit voltage of the battery, or of the charging system."),
                        setting_row(model::supply_table(), "usual_V"), 8, 16, 0.1);
  pulse_ = addSetting(tr("pulse"), tr("Length of the controller's pulse."),
                      setting_row(model::pulse_table(), "on_s"), 0.05, 3, 0.05);
  rest_ = addSetting(tr("rest"), tr("Rest between pulses."), setting_row(model::use_table(), "gap_s"), 0, 10,
                     0.1);
  auto* name = new QLabel(tr("o&ver"), this);
  name->setBuddy(axis_);
  auto* axis = new QHBoxLayout;
  axis->setSpacing(fontMetrics().averageCharWidth());
  axis->addWidget(name);
  axis->addWidget(axis_, 1);
  auto* grid = new QGridLayout;
  grid->setHorizontalSpacing(3 * fontMetrics().averageCharWidth());
  constexpr int columns = 4;
  grid->addLayout(axis, 0, 0);
  int place = 1;
  for (LookSetting* each : {coldest_, hottest_, longest_, cycles_, voltage_}) {
    grid->addWidget(each, place / columns, place % columns);
    ++place;
  }
  // Only one of the two is to be set; they take turns at one place.
  grid->addWidget(pulse_, place / columns, place % columns);
  grid->addWidget(rest_, place / columns, place % columns);
  for (int column = 0; column < columns; ++column) grid->setColumnStretch(column, 1);
  connect(axis_, &QComboBox::currentIndexChanged, this, &MapPane::changeAxis);
  rest_->hide();
  layOut(grid, tr("Draw the &map"));
  connect(&task(), &LatestTask::cancelled, this, [this] {
    tellStopped(map_ ? tr("Stopped: the map before stays.") : tr("Stopped: there is no map yet."));
  });
  setTabOrder(axis_, coldest_->slider());
}

MapPane::~MapPane() { task().cancel(); }

spread::MapAxis MapPane::over() const {
  return axis_->currentIndex() == 0 ? spread::MapAxis::gap : spread::MapAxis::on;
}

void MapPane::changeAxis() {
  const bool rests = over() == spread::MapAxis::gap;
  pulse_->setVisible(rests);
  rest_->setVisible(!rests);
  // Ten seconds of rest are no wish for pulses of ten seconds.
  forget(longest_);
  longest_->setSpan(rests ? 1 : 0.5, rests ? 30 : 10, rests ? 0.5 : 0.1);
  if (document_.hasJob()) followJob(*document_.study());
  settingsMoved();
}

spread::MapPlan MapPane::plan() const {
  spread::MapPlan plan;
  plan.voltage_V = voltage_->value();
  plan.ambient_from_C = coldest_->value();
  plan.ambient_to_C = hottest_->value();
  plan.over = over();
  plan.from_s = 0;
  plan.to_s = longest_->value();
  plan.on_s = pulse_->value();
  plan.gap_s = rest_->value();
  plan.cycles = static_cast<int>(cycles_->value());
  return plan;
}

QString MapPane::settingsText() const {
  QStringList values{QString::number(axis_->currentIndex())};
  for (const LookSetting* each : settings()) values << QString::number(each->value(), 'g', 17);
  return values.join(QLatin1Char(' '));
}

QString MapPane::settingsFault() const {
  if (coldest_->value() > hottest_->value()) return tr("ambient: the first is above the second");
  const auto& pulses = setting_row(model::pulse_table(), "on_s");
  if (over() == spread::MapAxis::on && (longest_->value() <= pulses.low || longest_->value() > pulses.high)) {
    return tr("up to: a pulse is %1 s at most, and longer than %2 s").arg(pulses.high).arg(pulses.low);
  }
  if (longest_->value() <= 0) return tr("up to: a map needs some length to show");
  return {};
}

void MapPane::followJob(const model::Study& study) {
  const auto usual = spread::usual_map(study, over());
  follow(coldest_, usual.ambient_from_C);
  follow(hottest_, usual.ambient_to_C);
  follow(longest_, usual.to_s);
  follow(cycles_, spread::wanted_from(study.job, coldest_->value()));
  follow(voltage_, usual.voltage_V);
  follow(pulse_, usual.on_s);
  follow(rest_, usual.gap_s);
}

void MapPane::begin(std::shared_ptr<const model::Study> study) {
  task().start([this, study = std::move(study), plan = plan()](LatestTask::Handle& handle) {
    handle.tell([this, found = find_map(*study, plan, handle)] {
      map_ = found.map;
      const std::size_t counts = found.map.ambient_C.size() * found.map.values_s.size();
      show({found.sentences, found.pictures,
            tr("%1 counts, computed in %2.")
                .arg(counts)
                .arg(QString::fromStdString(base::wait_text(elapsedSeconds())))});
    });
  });
}

void MapPane::stop() { task().cancel(); }

}  // namespace latchwright::desk

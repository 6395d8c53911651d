// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/spread_page_chances.h"

#include "base/text.h"
#include "model/job_fields.h"

namespace latchwright::desk {

namespace {

/// A run that the user ends keeps what it has: it only learns that it should end.
class StoppedEarly final : public base::Progress {
 public:
  StoppedEarly(base::Progress& inner, std::shared_ptr<std::atomic<bool>> stop)
      : inner_(inner), stop_(std::move(stop)) {}
  void report(double fraction, std::string_view what) override { inner_.report(fraction, what); }
  bool cancelled() const override { return *stop_ || inner_.cancelled(); }

 private:
  base::Progress& inner_;
  std::shared_ptr<std::atomic<bool>> stop_;
};

model::FieldInfo own_count(const char* key, double low, double high) {
  model::FieldInfo info;
  info.key = key;
  info.kind = model::FieldKind::whole;
  info.low = low;
  info.high = high;
  return info;
}

constexpr double usual_samples = 2000, first_seed = 1;

}  // namespace

ChancesPane::ChancesPane(Document& document, QWidget* parent)
    : SpreadPane(document, parent), document_(document) {
  setAccessibleName(tr("how likely it stops"));
  voltage_ =
      addSetting(tr("voltage"), tr("Open-circuit voltage of the battery; it differs by what the job says."),
                 setting_row(model::supply_table(), "usual_V"), 8, 16, 0.1);
  ambient_ = addSetting(tr("ambient"), tr("Air in the doors; it differs by what the job says."),
                        setting_row(model::climate_table(), "usual_C"), -40, 100, 1);
  pulse_ = addSetting(tr("pulse"), tr("Length of the controller's pulse."),
                      setting_row(model::pulse_table(), "on_s"), 0.05, 3, 0.05);
  rest_ = addSetting(tr("rest"), tr("Rest between pulses."), setting_row(model::use_table(), "gap_s"), 0, 10,
                     0.1);
  cycles_ = addSetting(tr("cycles"), tr("Lock-and-unlock cycles in a row that are wanted."),
                       setting_row(model::use_table(), "cycles"), 1, 40, 1);
  samples_ = addSetting(tr("installations"),
                        tr("How many are drawn and computed: more take longer and make the chances sharper."),
                        own_count("samples", 1, static_cast<double>(spread::most_samples)), 500, 20000, 500);
  constexpr double last_seed = 999999;
  seed_ = addSetting(tr("draw number"),
                     tr("Another number draws other installations; the same number always the same ones."),
                     own_count("seed", 0, last_seed), 0, 100, 1);
  auto* grid = new QGridLayout;
  grid->setHorizontalSpacing(3 * fontMetrics().averageCharWidth());
  constexpr int columns = 4;
  int place = 0;
  for (LookSetting* each : settings()) {
    grid->addWidget(each, place / columns, place % columns);
    grid->setColumnStretch(place % columns, 1);
    ++place;
  }
  layOut(grid, tr("Compute the &chances"));
}

ChancesPane::~ChancesPane() { task().cancel(); }

spread::SpreadPlan ChancesPane::plan() const {
  spread::SpreadPlan plan;
  plan.voltage_V = voltage_->value();
  plan.ambient_C = ambient_->value();
  plan.cycles = static_cast<int>(cycles_->value());
  plan.on_s = pulse_->value();
  plan.gap_s = rest_->value();
  plan.samples = static_cast<std::int64_t>(samples_->value());
  plan.seed = static_cast<std::uint64_t>(seed_->value());
  return plan;
}

QString ChancesPane::settingsText() const {
  QStringList values;
  for (const LookSetting* each : settings()) values << QString::number(each->value(), 'g', 17);
  return values.join(QLatin1Char(' '));
}

void ChancesPane::followJob(const model::Study& study) {
  follow(voltage_, study.job.supply.usual_V);
  follow(ambient_, study.job.climate.usual_C);
  follow(pulse_, study.job.pulse.on_s);
  follow(rest_, study.job.use.gap_s);
  follow(cycles_, spread::wanted_from(study.job, ambient_->value()));
  follow(samples_, usual_samples);
  follow(seed_, first_seed);
}

void ChancesPane::begin(std::shared_ptr<const model::Study> study) {
  stop_ = std::make_shared<std::atomic<bool>>(false);
  task().start([this, study = std::move(study), plan = plan(), stop = stop_](LatestTask::Handle& handle) {
    StoppedEarly progress(handle, stop);
    handle.tell([this, found = find_chances(*study, plan, progress)] { take(found); });
  });
}

void ChancesPane::stop() {
  if (stop_) *stop_ = true;
}

void ChancesPane::take(const std::optional<ChancesFound>& found) {
  if (!found) {
    tellStopped(tr("Stopped before any installation was computed."));
    return;
  }
  result_ = found->result;
  const QString took = QString::fromStdString(base::wait_text(elapsedSeconds()));
  const bool all = result_->done >= result_->plan.samples;
  show({found->sentences, found->pictures,
        all ? tr("%1 installations, computed in %2.").arg(result_->done).arg(took)
            : tr("Stopped after %1 of %2 installations: what is shown is of those.")
                  .arg(result_->done)
                  .arg(result_->plan.samples)});
}

}  // namespace latchwright::desk

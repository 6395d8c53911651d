// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <atomic>

#include "desk/spread_page_pane.h"
#include "desk/spread_task.h"

namespace latchwright::desk {

/// How likely an installation of the job stops working until it cools: many are drawn within the tolerances.
/// Stopping keeps what is done by then.
class ChancesPane : public SpreadPane {
  Q_OBJECT

 public:
  explicit ChancesPane(Document& document, QWidget* parent = nullptr);
  ~ChancesPane() override;
  void stop() override;
  /// As the settings have it.
  spread::SpreadPlan plan() const;
  /// What is shown; none before the first.
  const std::optional<spread::SpreadResult>& result() const { return result_; }
  LookSetting& voltage() { return *voltage_; }
  LookSetting& ambient() { return *ambient_; }
  LookSetting& pulse() { return *pulse_; }
  LookSetting& rest() { return *rest_; }
  LookSetting& cycles() { return *cycles_; }
  LookSetting& samples() { return *samples_; }
  LookSetting& seed() { return *seed_; }

 protected:
  void followJob(const model::Study& study) override;
  QString settingsText() const override;
  void begin(std::shared_ptr<const model::Study> study) override;

 private:
  void take(const std::optional<ChancesFound>& found);

  Document& document_;
  std::shared_ptr<std::atomic<bool>> stop_;  // of the run that is on its way
  std::optional<spread::SpreadResult> result_;
  LookSetting *voltage_, *ambient_, *pulse_, *rest_, *cycles_, *samples_, *seed_;
};

}  // namespace latchwright::desk

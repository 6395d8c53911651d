// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QComboBox>

#include "desk/spread_page_pane.h"
#include "desk/spread_task.h"

namespace latchwright::desk {

/// Cycles to lockout over ambient and rest or pulse, and where the wanted ones are safe. A map is whole or
/// none: stopping leaves the last one.
class MapPane : public SpreadPane {
  Q_OBJECT

 public:
  explicit MapPane(Document& document, QWidget* parent = nullptr);
  ~MapPane() override;
  void stop() override;
  /// As the settings have it; pulses from the shortest that throws.
  spread::MapPlan plan() const;
  /// What is shown; none before the first.
  const std::optional<spread::LockoutMap>& map() const { return map_; }
  /// 0: rests, 1: pulses.
  QComboBox& axis() { return *axis_; }
  LookSetting& voltage() { return *voltage_; }
  LookSetting& coldest() { return *coldest_; }
  LookSetting& hottest() { return *hottest_; }
  LookSetting& longest() { return *longest_; }
  LookSetting& cycles() { return *cycles_; }

 protected:
  void followJob(const model::Study& study) override;
  QString settingsText() const override;
  void begin(std::shared_ptr<const model::Study> study) override;
  QString settingsFault() const override;

 private:
  spread::MapAxis over() const;
  void changeAxis();

  Document& document_;
  std::optional<spread::LockoutMap> map_;
  QComboBox* axis_;
  LookSetting *voltage_, *coldest_, *hottest_, *longest_, *pulse_, *rest_, *cycles_;
};

}  // namespace latchwright::desk

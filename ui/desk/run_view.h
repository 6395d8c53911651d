// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QWidget>

#include "desk/verdict_state.h"
#include "report/run_links.h"
#include "units/shown_unit.h"

namespace latchwright::desk {

/// The run: battery, main fuse, feed and relay in a row, then a row for each door: run, thermistor, motor,
/// rod. Links are buttons: arrow keys walk them, Enter opens. More than six doors scroll.
class RunView : public QWidget {
  Q_OBJECT

 public:
  explicit RunView(QWidget* parent = nullptr);
  void setVerdict(const VerdictState& verdict, units::UnitSystem units);
  void setChosen(const report::Link& link);
  const report::Link& chosen() const { return chosen_; }

 Q_SIGNALS:
  void linkChosen(const latchwright::report::Link& link);

 private:
  report::Link chosen_;
};

}  // namespace latchwright::desk

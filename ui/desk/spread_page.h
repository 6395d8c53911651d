// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QTabWidget>
#include <QWidget>

#include "desk/spread_page_chances.h"
#include "desk/spread_page_map.h"

namespace latchwright::desk {

/// What can be promised of a job though no two installations of it are alike: how likely one stops working
/// until it cools, and how rest or pulse must be set for the ambient. Nothing here changes the job, and
/// nothing is computed before somebody asks for it.
class SpreadPage : public QWidget {
  Q_OBJECT

 public:
  explicit SpreadPage(Document& document, QWidget* parent = nullptr);
  void setStyle(const charts::Style& style);
  /// To the button that begins, or else the first setting, of the part that is open.
  void takeFocus();
  ChancesPane& chances() { return *chances_; }
  MapPane& map() { return *map_; }
  QTabWidget& tabs() { return *tabs_; }

 Q_SIGNALS:
  void leaveRequested();
  void saveRequested(const report::Picture& picture);

 private:
  QTabWidget* tabs_;
  ChancesPane* chances_;
  MapPane* map_;
};

}  // namespace latchwright::desk

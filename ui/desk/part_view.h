// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLabel>
#include <QWidget>
#include <string>
#include <vector>

#include "model/catalogue.h"
#include "units/shown_unit.h"

namespace latchwright::desk {

class FlatTable;
struct PartFigure;

/// One part: each figure with its unit, its meaning on hover, and where the figures come from.
class PartView : public QWidget {
  Q_OBJECT

 public:
  explicit PartView(QWidget* parent = nullptr);
  /// `prefixes`: only figures at or below these pointers of the part; empty: all.
  void setPart(const model::PartPtr& part, const std::vector<std::string>& prefixes, units::UnitSystem units);

 private:
  /// Lists that stand in one record are the columns of one table.
  void showLists(const std::vector<PartFigure>& lists, const QString& tip_end);

  model::PartPtr part_;
  std::vector<std::string> prefixes_;
  units::UnitSystem units_ = units::UnitSystem::metric;
  QLabel* title_;
  QLabel* caution_;
  FlatTable* figures_;
  QWidget* lists_;
  QLabel* note_;
};

}  // namespace latchwright::desk

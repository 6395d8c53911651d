// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLabel>
#include <QWidget>

#include "desk/verdict_state.h"
#include "report/run_links.h"
#include "units/shown_unit.h"

class QPushButton;
class QVBoxLayout;

namespace latchwright::desk {

class FlatTable;

/// What the verdict says of one link: its checks with have and need, why, and what would cure them.
class LinkRows : public QWidget {
  Q_OBJECT

 public:
  explicit LinkRows(QWidget* parent = nullptr);
  void showLink(const VerdictState& verdict, const report::Link& link, units::UnitSystem units);

 Q_SIGNALS:
  void applyRequested(const latchwright::verdict::Change& change);
  void lookRequested(const latchwright::verdict::At& at);

 private:
  void fillTable();
  void showRow(int index);
  void addCure(const verdict::Cure& cure);
  const verdict::CheckRow* rowAt(int index) const;
  QString stateText() const;
  QString movesText(const verdict::Cure& cure) const;

  VerdictState verdict_;
  report::LinkState state_;
  units::UnitSystem units_ = units::UnitSystem::metric;
  QLabel* name_;
  QLabel* state_label_;
  FlatTable* table_;
  QLabel* why_;
  QPushButton* look_;
  QWidget* cures_ = nullptr;
  QVBoxLayout* column_;
};

}  // namespace latchwright::desk

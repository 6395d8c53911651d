// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QWidget>

#include "desk/document.h"
#include "desk/verdict_state.h"
#include "report/run_links.h"
#include "units/shown_unit.h"

namespace latchwright::desk {

/// The numbers of the chosen link: its verdict rows (have, need, margin, why, cures), the job's numbers as a
/// form built from the field tables, its parts with the figures and origin of each.
class NumbersPane : public QWidget {
  Q_OBJECT

 public:
  explicit NumbersPane(Document& document, QWidget* parent = nullptr);
  void setLink(const report::Link& link);
  void setVerdict(const VerdictState& verdict);
  void setUnits(units::UnitSystem units);

 Q_SIGNALS:
  void applyRequested(const latchwright::verdict::Change& change);
  /// Look at the worst condition of the link.
  void lookRequested(const latchwright::verdict::At& at);
  /// Open the parts browser at this kind, to put a part at the pointer.
  void browseRequested(const QString& kind, const QString& pointer);
};

}  // namespace latchwright::desk

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QWidget>

#include "desk/verdict_state.h"
#include "report/run_links.h"

namespace latchwright::desk {

/// Always in sight: the weakest link, where, at which condition, have and need, and its cures, each with a
/// button that applies it. Says "not chosen" of an unfinished job and offers to choose.
class WeakestLine : public QWidget {
  Q_OBJECT

 public:
  explicit WeakestLine(QWidget* parent = nullptr);
  void setVerdict(const VerdictState& verdict);

 Q_SIGNALS:
  void applyRequested(const latchwright::verdict::Change& change);
  /// Parts are to be chosen by the program.
  void chooseRequested();
  void linkRequested(const latchwright::report::Link& link);
};

}  // namespace latchwright::desk

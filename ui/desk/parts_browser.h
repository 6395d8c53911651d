// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QDialog>

#include "desk/document.h"
#include "units/shown_unit.h"

namespace latchwright::desk {

/// All parts with the figures that one chooses by, filtered by kind and words; one part in full with unit,
/// meaning and origin of every figure. Own part files are added here, and a part can be copied into the job
/// and changed there.
class PartsBrowser : public QDialog {
  Q_OBJECT

 public:
  PartsBrowser(Document& document, units::UnitSystem units, QWidget* parent = nullptr);
  /// Shows only this kind and offers to put the chosen part at the pointer of the job.
  void chooseFor(const QString& kind, const QString& pointer);
};

}  // namespace latchwright::desk

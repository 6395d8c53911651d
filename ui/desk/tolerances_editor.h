// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "desk/field_editor.h"

class QComboBox;
class QPushButton;
class QTableWidget;

namespace latchwright::desk {

/// The tolerances of a part: which of its figures, and how far it may be off. Figures that are not listed
/// have none.
class TolerancesEditor : public FieldEditor {
  Q_OBJECT

 public:
  TolerancesEditor(Document& document, const std::string& record, const model::FieldInfo& field,
                   const std::string& pointer, QWidget* parent);
  void refresh() override;

 private:
  void takeCell(int row, int column);
  void add();
  void remove();
  void putRows();

  QTableWidget* table_;
  QComboBox* figures_;
  QPushButton* add_;
  QPushButton* remove_;
  model::Raw::Object rows_;
  bool filling_ = false;
};

/// "motor: winding resistance" of /motor/resistance_ohm, a figure of an actuator.
QString actuator_figure_label(const std::string& pointer);

}  // namespace latchwright::desk

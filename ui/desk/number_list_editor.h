// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "desk/field_editor.h"

class QPushButton;
class QTableWidget;

namespace latchwright::desk {

/// Lists of numbers that belong together row by row, such as places along the travel and the force there.
/// Taken as a whole: a row more or less is one step.
class NumberListEditor : public FieldEditor {
  Q_OBJECT

 public:
  /// `columns`: fields of one record that stands at `prefix`.
  NumberListEditor(Document& document, const std::string& record, std::vector<model::FieldInfo> columns,
                   std::string prefix, QWidget* parent);
  void refresh() override;
  bool giveUp() override;
  QString help() const override;

 protected:
  void unitsChanged() override;

 private:
  struct Cell {
    std::optional<model::Raw> held;  ///< as the job or a refused list holds it; none: a row that is missing
    QString shown;
  };
  std::string pointerOf(std::size_t column) const;
  std::optional<model::Raw::List> listOf(std::size_t column) const;
  QString textOf(std::size_t column, const model::Raw& item) const;
  QString cellFault(std::size_t column, const model::Raw& item) const;
  model::Raw typedItem(std::size_t column, const QString& text) const;
  void takeCell(int row, int column);
  void addRow();
  void removeRow();
  void putRows();
  void fitHeight();
  void setButtons();

  std::string record_name_;
  std::vector<model::FieldInfo> columns_;
  std::string prefix_;
  QTableWidget* table_;
  QPushButton* add_;
  QPushButton* remove_;
  std::vector<std::vector<Cell>> rows_;
  bool filling_ = false;
};

}  // namespace latchwright::desk

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QWidget>
#include <string>
#include <vector>

#include "desk/field_editor.h"

class QGridLayout;

namespace latchwright::desk {

/// A form built from a record's rows of the field tables, bound to a place of the document. Follows the
/// document; what is being typed stays.
class RecordForm : public QWidget {
  Q_OBJECT

 public:
  /// `keys`: only these, in the table's order; empty: all. Lists of records and of parts are left out.
  RecordForm(Document& document, const model::RecordInfo& record, std::string prefix,
             std::vector<std::string> keys, units::UnitSystem units, QWidget* parent);

  void setUnits(units::UnitSystem units);
  /// Takes what is typed and not yet taken.
  void commitPending();
  void refresh();
  /// Also of the records inside; null where there is none.
  FieldEditor* editorAt(const std::string& pointer) const;
  std::vector<FieldEditor*> editors() const;

 Q_SIGNALS:
  void helpRequested(const QString& text);
  void browseRequested(const QString& kind, const QString& pointer);

 private:
  /// A form inside another follows it, not the document.
  RecordForm(RecordForm& owner, const model::RecordInfo& record, std::string prefix);
  void build();
  void rebuild();
  void addEditor(FieldEditor* editor, QGridLayout* grid, bool whole_width);
  void addField(const model::FieldInfo& field, QGridLayout* grid);
  void addRecord(const model::FieldInfo& field, QGridLayout* grid);
  void addInner(const model::RecordInfo& record, const std::string& prefix, QGridLayout* grid);
  bool shows(const model::FieldInfo& field) const;
  bool isOptionalRecord(const model::FieldInfo& field) const;
  const model::Raw* held(const std::string& key) const;
  /// What decides which rows there are.
  std::string structure() const;
  std::vector<Edit> reshape(const std::optional<model::Raw>& shape) const;
  model::Raw firstValue(const model::FieldInfo& field) const;

  Document& document_;
  const model::RecordInfo& record_;
  std::string prefix_;
  std::vector<std::string> keys_;
  units::UnitSystem units_;
  QWidget* content_ = nullptr;
  std::vector<FieldEditor*> own_;
  std::vector<RecordForm*> inner_;
  std::string built_;
};

/// A heading of a section.
QLabel* make_heading(const QString& text, QWidget* parent);

}  // namespace latchwright::desk

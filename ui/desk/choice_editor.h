// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QStringList>

#include "desk/field_editor.h"

class QComboBox;

namespace latchwright::desk {

/// A box that opens to its items' width and asks for little itself.
QComboBox* make_choice_box(QWidget* parent);

/// One of a few words or a few numbers.
class ChoiceEditor : public FieldEditor {
  Q_OBJECT

 public:
  ChoiceEditor(Document& document, const std::string& record, const model::FieldInfo& field,
               const std::string& pointer, QWidget* parent);
  void refresh() override;

 private:
  void take(int index);

  QComboBox* box_;
  std::vector<model::Raw> values_;
};

/// A part of the right kind, or none yet; for the fuse of a door run also: none fitted.
class ReferenceEditor : public FieldEditor {
  Q_OBJECT

 public:
  /// What may stand there instead of a part.
  struct Instead {
    bool open = false;         ///< still to be chosen
    bool none_fitted = false;  ///< nothing, for good
    bool in_place = false;     ///< a curve in the part itself
  };
  ReferenceEditor(Document& document, const std::string& record, const model::FieldInfo& field,
                  const std::string& pointer, std::string kind, Instead instead, QWidget* parent);
  const std::string& kind() const { return kind_; }
  void refresh() override;

 protected:
  void unitsChanged() override;

 private:
  void take(int index);
  void takeInPlace();
  void fill();

  std::string kind_;
  Instead instead_;
  QComboBox* box_;
  QStringList ids_;  ///< beside the box's items
  std::vector<model::PartPtr> parts_;
};

/// The kind of part that a key of the job or of a part refers to; empty: it refers to none.
std::string referred_kind(const model::FieldInfo& field);

/// The parts that the job can take: the catalogue's with its own.
const model::Catalogue& parts_of(const Document& document);

}  // namespace latchwright::desk

// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/choice_editor.h"
#include "desk/number_editor.h"
#include "desk/number_list_editor.h"
#include "desk/text_editor.h"
#include "desk/tolerances_editor.h"

namespace latchwright::desk {

FieldEditor* FieldEditor::make(Document& document, const std::string& record, const model::FieldInfo& field,
                               const std::string& pointer, bool needed, QWidget* parent) {
  using model::FieldKind;
  if (const std::string kind = referred_kind(field); !kind.empty()) {
    ReferenceEditor::Instead instead;
    instead.open = field.kind == FieldKind::reference;
    instead.none_fitted = record == "door" && field.key == "fuse";
    instead.in_place = field.kind == FieldKind::curve;
    return new ReferenceEditor(document, record, field, pointer, kind, instead, parent);
  }
  switch (field.kind) {
    case FieldKind::number:
    case FieldKind::whole:
      if (field.values.empty()) return new NumberEditor(document, record, field, pointer, needed, parent);
      return new ChoiceEditor(document, record, field, pointer, parent);
    case FieldKind::choice:
      return new ChoiceEditor(document, record, field, pointer, parent);
    case FieldKind::number_list:
    case FieldKind::gate_list:
      return new NumberListEditor(document, record, {field}, pointer.substr(0, pointer.rfind('/')), parent);
    case FieldKind::tolerances:
      return new TolerancesEditor(document, record, field, pointer, parent);
    default:
      return new TextEditor(document, record, field, pointer, parent);
  }
}

}  // namespace latchwright::desk

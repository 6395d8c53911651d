// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QUndoCommand>
#include <cstddef>
#include <optional>

#include "desk/document.h"
#include "model/tree_change.h"

namespace latchwright::desk {

/// One undoable step of a document: the values that it changed, not the trees before and after.
class EditCommand : public QUndoCommand {
 public:
  /// `first`: what the step leads to, worked out already. `slider`: may join with others of its pointer.
  EditCommand(Document& document, model::TreeChanges changes, Document::Taken first, const QString& what,
              bool slider);

  void undo() override;
  void redo() override;
  int id() const override;
  bool mergeWith(const QUndoCommand* next) override;
  std::size_t bytes() const;

 private:
  Document& document_;
  model::TreeChanges changes_;
  std::optional<Document::Taken> first_;
  bool slider_;
};

}  // namespace latchwright::desk

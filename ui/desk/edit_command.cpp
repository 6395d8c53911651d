// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/edit_command.h"

#include <utility>

namespace latchwright::desk {

EditCommand::EditCommand(Document& document, model::TreeChanges changes, Document::Taken first,
                         const QString& what, bool slider)
    : QUndoCommand(what),
      document_(document),
      changes_(std::move(changes)),
      first_(std::move(first)),
      slider_(slider && changes_.size() == 1 && !changes_.front().at) {
  changes_.shrink_to_fit();
}

void EditCommand::undo() {
  if (!document_.step(changes_, false)) setObsolete(true);
}

void EditCommand::redo() {
  if (first_) {
    document_.put(std::move(*first_));
    first_.reset();
  } else if (!document_.step(changes_, true)) {
    setObsolete(true);
  }
}

int EditCommand::id() const { return slider_ ? 1 : -1; }

bool EditCommand::mergeWith(const QUndoCommand* next) {
  // The same id: both follow a slider and hold one change.
  const model::TreeChange& then = static_cast<const EditCommand*>(next)->changes_.front();
  model::TreeChange& now = changes_.front();
  if (then.pointer != now.pointer) return false;
  now.after = then.after;
  const bool there_and_back = now.before.has_value() == now.after.has_value() &&
                              (!now.before || model::same(*now.before, *now.after));
  if (there_and_back) setObsolete(true);
  return true;
}

std::size_t EditCommand::bytes() const {
  return sizeof(*this) + model::stored_bytes(changes_) +
         static_cast<std::size_t>(text().capacity()) * sizeof(QChar);
}

}  // namespace latchwright::desk

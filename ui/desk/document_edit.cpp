// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <utility>

#include "desk/document.h"
#include "desk/edit_command.h"
#include "model/tree_edit.h"

// Editing the job: what is taken, what is refused, what is undone.
namespace latchwright::desk {

namespace {

bool is_below(const std::string& pointer, const std::string& owner) {
  return pointer.starts_with(owner + "/");
}

bool touches(const std::string& a, const std::string& b) {
  return a == b || is_below(a, b) || is_below(b, a);
}

/// What to tell beside a refused value: the faults at its own place, else those below it, else what stands
/// elsewhere, with the place named.
std::string reason_at(const std::string& pointer, const base::Issues& faults) {
  constexpr std::size_t most = 3;
  const auto joined = [&](auto concerns, bool named) {
    std::string text;
    std::size_t count = 0;
    for (const base::Issue& fault : faults) {
      if (!concerns(fault) || ++count > most) continue;
      if (!text.empty()) text += "; ";
      if (named && !fault.pointer.empty()) text += fault.pointer + ": ";
      text += fault.text;
    }
    return text;
  };
  std::string text = joined([&](const base::Issue& fault) { return fault.pointer == pointer; }, false);
  if (text.empty())
    text = joined([&](const base::Issue& fault) { return is_below(fault.pointer, pointer); }, true);
  if (text.empty()) text = joined([](const base::Issue&) { return true; }, true);
  return text;
}

/// Leaves out the values that a fault names; where it names none, any of them may be at fault.
void leave_out(RefusedValues& chosen, const base::Issues& faults) {
  const auto left_out = std::erase_if(chosen, [&](const auto& each) {
    return std::any_of(faults.begin(), faults.end(),
                       [&](const base::Issue& fault) { return touches(fault.pointer, each.first); });
  });
  if (left_out == 0) chosen.clear();
}

/// Whether an edit gives the pointer itself another value.
bool is_edited(const std::string& pointer, const std::vector<Edit>& edits) {
  return std::any_of(edits.begin(), edits.end(), [&](const Edit& edit) {
    const bool is_list = edit.value && edit.value->list();
    return edit.pointer == pointer || (is_below(pointer, edit.pointer) && !is_list);
  });
}

bool has_edits_below(const std::string& pointer, const std::vector<Edit>& edits) {
  return std::any_of(edits.begin(), edits.end(),
                     [&](const Edit& edit) { return is_below(edit.pointer, pointer); });
}

/// The values at their places in the new tree; those whose place is gone are dropped.
RefusedValues moved(const RefusedValues& refused, const model::Raw& from, const model::Raw& to) {
  RefusedValues found;
  for (const auto& [pointer, value] : refused) {
    if (auto place = model::moved_pointer(from, to, pointer)) found.emplace(std::move(*place), value);
  }
  return found;
}

}  // namespace

base::Issues Document::edit(const std::vector<Edit>& edits, const QString& what, bool merge) {
  if (!hasJob()) return {{fileName(), "", tr("there is no job yet").toStdString()}};
  RefusedValues waiting = refused_;
  std::erase_if(waiting, [&](const auto& each) { return is_edited(each.first, edits); });
  waiting = moved(waiting, tree_, withEdits({}, edits));

  RefusedValues chosen = waiting;
  for (;;) {
    std::vector<std::string> lost;
    auto tried = tryOut(withEdits(chosen, edits, &lost), fileName());
    if (tried.ok() && lost.empty()) {
      // What an edit reached into is no longer what was refused.
      std::erase_if(waiting, [&](const auto& each) {
        return chosen.contains(each.first) || has_edits_below(each.first, edits);
      });
      takeIn(tried.value(), waiting);
      take(std::move(tried.value()), std::move(waiting), what, merge && edits.size() == 1);
      return {};
    }
    base::Issues faults = tried.ok() ? base::Issues{} : tried.issues();
    if (chosen.empty()) return refuse(edits, lost, std::move(faults));
    leave_out(chosen, faults);
  }
}

model::Raw Document::withEdits(const RefusedValues& refused, const std::vector<Edit>& edits,
                               std::vector<std::string>* lost) const {
  model::Raw tree = tree_;
  // First what the edits reach into, such as a whole rod force of which one figure is mended now.
  for (const auto& [pointer, each] : refused) {
    if (has_edits_below(pointer, edits)) model::set_value(tree, pointer, each.value);
  }
  for (const Edit& edit : edits) {
    if (!model::set_value(tree, edit.pointer, edit.value) && lost != nullptr) lost->push_back(edit.pointer);
  }
  for (const auto& [pointer, each] : refused) {
    if (!has_edits_below(pointer, edits)) model::set_value(tree, pointer, each.value);
  }
  return tree;
}

base::Issues Document::refuse(const std::vector<Edit>& edits, const std::vector<std::string>& lost,
                              base::Issues faults) {
  for (const std::string& pointer : lost) {
    faults.push_back({fileName(), pointer, tr("there is no such place in the job").toStdString()});
  }
  RefusedValues refused = refused_;
  for (const Edit& edit : edits) {
    if (std::find(lost.begin(), lost.end(), edit.pointer) != lost.end()) continue;
    refused[edit.pointer] = {edit.value, reason_at(edit.pointer, faults)};
  }
  refused_ = std::move(refused);
  Q_EMIT refusedChanged();
  return faults;
}

void Document::takeIn(Taken& taken, RefusedValues& waiting) const {
  for (bool again = true; again;) {
    again = false;
    for (auto each = waiting.begin(); each != waiting.end();) {
      model::Raw tree = taken.tree;
      if (!model::set_value(tree, each->first, each->second.value)) {
        each = waiting.erase(each);
        continue;
      }
      auto tried = tryOut(tree, fileName());
      if (tried.ok()) {
        taken = std::move(tried.value());
        each = waiting.erase(each);
        again = true;
      } else {
        each->second.why = reason_at(each->first, tried.issues());
        ++each;
      }
    }
  }
}

void Document::take(Taken taken, RefusedValues refused, const QString& what, bool slider) {
  const bool had_refused = !refused_.empty();
  refused_ = std::move(refused);
  auto changes = model::changes_between(tree_, taken.tree);
  if (!changes.empty()) {
    undo_.push(new EditCommand(*this, std::move(changes), std::move(taken), what, slider));
    announce();
  }
  if (had_refused) Q_EMIT refusedChanged();
}

void Document::refreshRefused() {
  if (refused_.empty()) return;
  for (auto each = refused_.begin(); each != refused_.end();) {
    model::Raw tree = tree_;
    if (!model::set_value(tree, each->first, each->second.value)) {
      each = refused_.erase(each);
      continue;
    }
    const auto tried = tryOut(tree, fileName());
    each->second.why = tried.ok() ? tr("can be taken now: enter it again").toStdString()
                                  : reason_at(each->first, tried.issues());
    ++each;
  }
  Q_EMIT refusedChanged();
}

void Document::dropRefused(const std::string& pointer) {
  if (refused_.erase(pointer) > 0) Q_EMIT refusedChanged();
}

bool Document::step(const model::TreeChanges& changes, bool forwards) {
  model::Raw tree = tree_;
  const bool fits = model::apply_changes(tree, changes, forwards);
  auto tried = tryOut(tree, fileName());
  if (fits && tried.ok()) {
    RefusedValues still = moved(refused_, tree_, tried.value().tree);
    const bool all_gone = still.empty() && !refused_.empty();
    refused_ = std::move(still);
    put(std::move(tried.value()));
    refreshRefused();
    if (all_gone) Q_EMIT refusedChanged();
    return true;
  }
  // Part files went away that this step needs. The job stays as it is, and is not what the stack takes it
  // for.
  undo_.resetClean();
  if (!fits) return false;
  for (const model::TreeChange& change : changes) {
    if (change.at) continue;
    refused_[change.pointer] = {forwards ? change.after : change.before, {}};
  }
  refreshRefused();
  return false;
}

}  // namespace latchwright::desk

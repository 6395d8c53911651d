// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "support/verdict_jobs.h"
#include "verdict/cure.h"

// What the tests of the cures share: a sound job of catalogue parts, and a row with the cure that is named
// for it.
namespace latchwright::tests {

/// One sound door of catalogue parts.
std::string cure_job_json(const Changes& changes = {});

/// An id or number as JSON text.
std::string setting_json(const verdict::Setting& setting);

/// A row of a job and its cure.
class Trial {
 public:
  Trial(std::string job_json, verdict::CheckId id, std::optional<std::size_t> door, std::string part = "");

  const verdict::CheckRow& row() const { return row_; }
  const std::optional<verdict::Change>& change() const { return change_; }
  const model::Study& study() const { return bench_.findings().study(); }
  /// The part's id that the cure names.
  std::string named_id() const { return std::get<std::string>(change_->passes_at); }
  /// The id or number that the cure names, as JSON text.
  std::string passes_at() const;
  /// The row's verdict once the job holds `json` at the cure's pointer.
  verdict::Verdict verdict_with(const std::string& json) const;
  /// Ids of a kind of part between what the job has and the cure, by `size` (both ends left out).
  template <class Body, class Size>
  std::vector<std::string> between(Size size) const {
    const auto find = [&](const verdict::Setting& id) -> const Body& {
      return std::get<Body>(study().catalogue->find(std::get<std::string>(id))->body);
    };
    const double now = size(find(change_->now)), then = size(find(change_->passes_at));
    std::vector<std::string> ids;
    for (const auto& part : study().catalogue->parts_of<Body>()) {
      const double each = size(std::get<Body>(part->body));
      if (each > std::min(now, then) && each < std::max(now, then)) ids.push_back(part->id);
    }
    return ids;
  }

 private:
  std::string job_json_;
  verdict::CheckId id_;
  std::optional<std::size_t> door_;
  std::string part_;
  Bench bench_;
  verdict::CheckRow row_;
  std::optional<verdict::Change> change_;
};

/// The cure names this pointer and, applied, lets a failing row pass and a tight one hold.
void check_cures(const Trial& trial, const std::string& pointer);

/// Cures with a thicker wire of the same make: none of the sizes between, at least so many, does.
void check_thicker(const Trial& trial, const std::string& pointer, int between_at_least = 1);

}  // namespace latchwright::tests

// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/cure_moves.h"

#include <algorithm>
#include <cmath>

#include "base/failure.h"
#include "base/worker_pool.h"
#include "model/tree_edit.h"
#include "verdict/cure.h"

namespace latchwright::verdict {

namespace {

constexpr double least_move = 0.01;  // of the margin

bool moves(const std::optional<double>& now, const std::optional<double>& then) {
  if (now.has_value() != then.has_value()) return true;
  return now && std::fabs(*then - *now) > least_move * *now;
}

bool same_subject(const CheckRow& a, const CheckRow& b) {
  return a.id == b.id && a.door == b.door && a.part == b.part;
}

bool computed(const Change& change) { return !std::holds_alternative<std::monostate>(change.passes_at); }

bool same_setting(const Change& a, const Change& b) {
  return a.pointer == b.pointer && a.passes_at == b.passes_at;
}

std::vector<CheckId> broken_by(const std::vector<Move>& moves) {
  std::vector<CheckId> broken;
  for (const Move& move : moves) {
    const bool breaks = move.verdict_then == Verdict::fails && move.verdict_now != Verdict::fails;
    if (breaks && std::find(broken.begin(), broken.end(), move.id) == broken.end()) broken.push_back(move.id);
  }
  return broken;
}

/// One of several equal shares of a longer study.
class Share final : public base::Progress {
 public:
  Share(base::Progress& whole, std::size_t index, std::size_t count)
      : whole_(whole), index_(index), count_(count) {}
  void report(double fraction, std::string_view) override {
    whole_.report((static_cast<double>(index_) + fraction) / static_cast<double>(count_), "weighing cures");
  }
  bool cancelled() const override { return whole_.cancelled(); }

 private:
  base::Progress& whole_;
  std::size_t index_, count_;
};

/// The checks after each of several changes; one change that cures several rows is evaluated once.
class Outcomes {
 public:
  Outcomes(const std::vector<std::vector<Change>>& changes, const Findings& findings, unsigned workers) {
    for (const auto& of_row : changes) {
      for (const Change& change : of_row) {
        const bool known = std::any_of(changes_.begin(), changes_.end(),
                                       [&](const Change& each) { return same_setting(each, change); });
        if (computed(change) && !known) changes_.push_back(change);
      }
    }
    for (const Change& change : changes_) {
      // One change after the other, each on all workers: its simulations are many and short.
      Share share(findings.progress(), rows_.size(), changes_.size());
      rows_.push_back(worst_of(changed_study(findings.study(), change), workers, share));
    }
  }

  Cure weigh(const Change& change, const CheckRow& cured, const Rows& now) const {
    Cure cure{change, {}, {}};
    for (std::size_t n = 0; n < changes_.size(); ++n) {
      if (!same_setting(changes_[n], change)) continue;
      cure.moves = moves_between(cured, now, rows_[n]);
      cure.breaks = broken_by(cure.moves);
    }
    return cure;
  }

 private:
  std::vector<Change> changes_;
  std::vector<Rows> rows_;
};

}  // namespace

model::Study changed_study(const model::Study& study, const Change& change) {
  base::require(computed(change), "a change without a setting");
  model::Raw job = model::write_job(study.job);
  const auto* number = std::get_if<double>(&change.passes_at);
  const bool placed = model::set_value(
      job, change.pointer, number ? model::Raw(*number) : model::Raw(std::get<std::string>(change.passes_at)));
  base::require(placed, "a cure points to nothing");
  auto checked = model::check_job(job, "changed job", *study.catalogue);
  base::require(checked.ok(), "a cure made the job unlawful");
  return std::move(checked.value());
}

Rows worst_of(const model::Study& study, unsigned workers, base::Progress& progress) {
  Findings findings(study, progress, Detail::brief);
  findings.prepare(workers);
  return worst_rows(evaluate_all(findings));
}

std::vector<Move> moves_between(const CheckRow& cured, const Rows& now, const Rows& then) {
  std::vector<Move> moved;
  for (const CheckRow& after : then) {
    if (same_subject(after, cured)) continue;
    const auto before =
        std::find_if(now.begin(), now.end(), [&](const CheckRow& row) { return same_subject(row, after); });
    const bool is_new = before == now.end();
    if (!is_new && before->verdict == after.verdict && !moves(before->margin, after.margin)) continue;
    moved.push_back({after.id, after.door, after.part, is_new ? std::nullopt : before->margin, after.margin,
                     is_new ? std::nullopt : std::optional(before->verdict), after.verdict});
  }
  return moved;
}

void cure_rows(Rows& worst, const Findings& findings, unsigned workers) {
  std::vector<const CheckRow*> failing;
  std::vector<std::size_t> failing_at, tight_at;
  for (std::size_t k = 0; k < worst.size(); ++k) {
    if (worst[k].verdict == Verdict::fails) {
      failing.push_back(&worst[k]);
      failing_at.push_back(k);
    } else if (worst[k].id == CheckId::fuse_guard && worst[k].verdict == Verdict::tight) {
      tight_at.push_back(k);
    }
  }
  base::for_each_index(tight_at.size(), workers, [&](std::size_t n) {
    if (findings.progress().cancelled()) throw base::Cancelled();
    worst[tight_at[n]].change = find_cure(worst[tight_at[n]], findings);
  });
  const auto changes = find_cures(failing, findings, workers);
  const Outcomes outcomes(changes, findings, workers);
  for (std::size_t n = 0; n < failing.size(); ++n) {
    CheckRow& row = worst[failing_at[n]];
    for (const Change& change : changes[n]) row.cures.push_back(outcomes.weigh(change, row, worst));
    // Advice that makes another check fail is the worse advice, however near (docs/decisions/0013).
    std::stable_partition(row.cures.begin(), row.cures.end(),
                          [](const Cure& cure) { return computed(cure.change) && cure.breaks.empty(); });
    if (!row.cures.empty()) row.change = row.cures.front().change;
  }
}

}  // namespace latchwright::verdict

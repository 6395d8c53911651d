// SPDX-License-Identifier: GPL-3.0-or-later
#include "choose/wire_choice.h"

#include <algorithm>
#include <memory>
#include <set>

#include "verdict/checks.h"
#include "verdict/fuse_subjects.h"

namespace latchwright::choose {

using model::Place;
using model::PlaceKind;
using verdict::CheckId;
using verdict::CheckRow;
using verdict::Findings;
using verdict::Rows;
using verdict::Verdict;

namespace {

std::pair<CheckId, std::string> subject_of(const CheckRow& row) {
  return {row.id, row.door ? std::to_string(*row.door) : row.part};
}

/// Sizes the open wires of a set whose other parts sit.
class WireChoice {
 public:
  WireChoice(model::Study& study, const std::vector<Place>& open, const Parts& wires)
      : study_(study), wires_(wires) {
    for (const Place& place : open) {
      if (is_wire(place)) places_.push_back(place);
    }
  }

  void run() {
    if (places_.empty()) return;
    // What the wires and fuses alone decide first: it needs no simulation.
    lift({CheckId::fuse_clear, CheckId::fuse_guard});
    lift({CheckId::fuse_clear, CheckId::fuse_guard, CheckId::wire_heat, CheckId::force, CheckId::volt_drop});
    lift({CheckId::fuse_clear, CheckId::fuse_guard, CheckId::wire_heat, CheckId::force, CheckId::volt_drop,
          CheckId::throw_time});
  }

  /// What grew for the sake of another wire that has grown since may be larger than needed: sizes go back as
  /// far as no check becomes worse, the most copper first.
  void shrink() { shrink(places_); }
  /// The same for the feed alone, when runs have grown for the sake of a reel.
  void shrink_feed() {
    const Place feed{PlaceKind::feed_wire, 0};
    if (is_open(feed)) shrink({feed});
  }

  /// A run one size below another of the job takes that size.
  void save_reels() {
    const std::vector<model::PartPtr> before = sizes();
    for (std::size_t n = 0; n < places_.size(); ++n) {
      if (places_[n].kind != PlaceKind::door_wire) continue;
      // By one size only, and to a size that a run needs for itself.
      const auto next = next_size(places_[n]);
      const bool needed = next && std::find(before.begin(), before.end(), next) != before.end();
      const bool sits = next && std::any_of(study_.doors.begin(), study_.doors.end(),
                                            [&](const auto& door) { return door.wire == next; });
      if (needed && sits) model::fit(study_, places_[n], next);
    }
  }

 private:
  std::vector<model::PartPtr> sizes() const {
    std::vector<model::PartPtr> found;
    for (const Place& place : places_) found.push_back(model::part_at(study_, place));
    return found;
  }

  bool is_open(const Place& place) const {
    return std::find(places_.begin(), places_.end(), place) != places_.end();
  }

  model::PartPtr next_size(const Place& place) const {
    if (!is_open(place)) return nullptr;
    const double area = wire_of(model::part_at(study_, place)).area;
    const auto next = std::find_if(wires_.begin(), wires_.end(),
                                   [&](const model::PartPtr& wire) { return wire_of(wire).area > area; });
    return next == wires_.end() ? nullptr : *next;
  }

  using Subject = std::pair<CheckId, std::string>;

  /// Grows wires until these checks hold, or no size helps any more.
  void lift(const std::vector<CheckId>& checks) {
    std::set<Subject> given_up;
    // Where a tight row began to be worked on, in case no size lifts it.
    std::optional<Subject> worked_on;
    model::Study before = study_;
    while (true) {
      base::NoProgress quiet;
      const model::Study now = study_;
      const Findings findings(now, quiet, verdict::Detail::brief);
      const Rows rows = rows_to_lift(findings, checks, given_up);
      if (rows.empty()) return;
      if (rows.front().verdict == Verdict::fails && grow_own(rows)) continue;
      const CheckRow& row = rows.front();
      if (row.verdict == Verdict::tight && worked_on != subject_of(row)) {
        worked_on = subject_of(row);
        before = study_;
      }
      if (grow_for(row, rows, findings)) continue;
      given_up.insert(subject_of(row));
      if (row.verdict == Verdict::tight) study_ = before;
      worked_on.reset();
    }
  }

  /// Every wire that itself fails, at once.
  bool grow_own(const Rows& rows) {
    std::set<std::string> grown;
    bool any = false;
    for (const CheckRow& row : rows) {
      if (row.id != CheckId::wire_heat && row.id != CheckId::fuse_guard) continue;
      const Place place = row.door ? Place{PlaceKind::door_wire, *row.door} : Place{PlaceKind::feed_wire, 0};
      if (grown.insert(model::pointer_of(place)).second) any = grow(place) || any;
    }
    return any;
  }

  /// Failing rows, worst first; if none fails, tight ones that a wire may lift.
  Rows rows_to_lift(const Findings& findings, const std::vector<CheckId>& checks,
                    const std::set<Subject>& given_up) const {
    Rows all;
    for (const CheckId id : checks) {
      const Rows rows = verdict::evaluate(id, findings);
      all.insert(all.end(), rows.begin(), rows.end());
    }
    Rows worst = verdict::worst_rows(all);
    std::erase_if(worst, [&](const CheckRow& row) {
      // A door run that only a partial fault threatens asks for a fuse of its own, not for copper.
      const bool partial = row.id == CheckId::fuse_guard && row.door && row.verdict == Verdict::tight &&
                           (!row.margin || *row.margin >= verdict::info_of(row.id).tight_below);
      return row.verdict == Verdict::holds || partial || given_up.contains(subject_of(row));
    });
    std::stable_sort(worst.begin(), worst.end(), verdict::worse);
    if (!worst.empty() && worst.front().verdict == Verdict::fails) {
      std::erase_if(worst, [](const CheckRow& row) { return row.verdict != Verdict::fails; });
    }
    return worst;
  }

  bool grow(const Place& place) {
    const auto next = next_size(place);
    if (!next) return false;
    model::fit(study_, place, next);
    return true;
  }

  void shrink(std::vector<Place> order) {
    std::stable_sort(order.begin(), order.end(),
                     [&](const Place& a, const Place& b) { return saved_by(a) > saved_by(b); });
    base::NoProgress quiet;
    // Findings look at their study as long as they live: each has one of its own.
    auto now = std::make_unique<model::Study>(study_);
    auto before = std::make_unique<Findings>(*now, quiet, verdict::Detail::brief);
    for (const Place& place : order) {
      while (const auto smaller = last_size(place)) {
        auto changed = std::make_unique<model::Study>(study_);
        model::fit(*changed, place, smaller);
        auto after = std::make_unique<Findings>(*changed, quiet, verdict::Detail::brief);
        if (!as_good(*after, *before, place)) break;
        study_ = *changed;
        before = std::move(after);
        now = std::move(changed);
      }
    }
  }

  /// The size below; null where there is none.
  model::PartPtr last_size(const Place& place) const {
    const double area = wire_of(model::part_at(study_, place)).area;
    const auto last = std::find_if(wires_.rbegin(), wires_.rend(),
                                   [&](const model::PartPtr& wire) { return wire_of(wire).area < area; });
    return last == wires_.rend() ? nullptr : *last;
  }

  /// m³ of copper that one size down saves.
  double saved_by(const Place& place) const {
    const auto smaller = last_size(place);
    if (!smaller) return 0;
    return conductor_length(study_, place) *
           (wire_of(model::part_at(study_, place)).area - wire_of(smaller).area);
  }

  /// Whether no check of the wires says worse of a changed study. Those without simulation are asked first.
  static bool as_good(const Findings& after, const Findings& before, const Place& changed) {
    for (const CheckId id : {CheckId::fuse_clear, CheckId::fuse_guard, CheckId::volt_drop, CheckId::force,
                             CheckId::wire_heat, CheckId::throw_time}) {
      const Rows now = verdict::worst_rows(verdict::evaluate(id, before));
      const Rows then = verdict::worst_rows(verdict::evaluate(id, after));
      for (std::size_t n = 0; n < now.size(); ++n) {
        if (then[n].verdict > now[n].verdict) return false;
        // What fails must not fail by more, and a wire that fails by itself must not become thinner.
        const bool own = then[n].id == CheckId::wire_heat || then[n].id == CheckId::fuse_guard;
        const bool here = changed.kind == PlaceKind::door_wire ? then[n].door == changed.door : !then[n].door;
        if (then[n].verdict == Verdict::fails && own && here) return false;
        const bool worse = then[n].margin.value_or(1e9) < now[n].margin.value_or(1e9) * (1 - 1e-9);
        if (then[n].verdict == Verdict::fails && worse) return false;
      }
    }
    return true;
  }

  /// One size up where it helps the row; false where nothing can grow.
  bool grow_for(const CheckRow& row, const Rows& rows, const Findings& findings) {
    switch (row.id) {
      case CheckId::wire_heat:
      case CheckId::fuse_guard:
        return grow(row.door ? Place{PlaceKind::door_wire, *row.door} : Place{PlaceKind::feed_wire, 0});
      case CheckId::fuse_clear:
        return grow_for_short(row, findings);
      default:
        return grow_for_voltage(row, rows, findings);
    }
  }

  /// Ohms that the next size takes off, by the copper that it adds; 0 where there is no next size.
  double ohms_by_copper(const Place& place) const {
    const auto next = next_size(place);
    if (!next) return 0;
    const model::Wire& now = wire_of(model::part_at(study_, place));
    return (now.ohm_per_m - wire_of(next).ohm_per_m) / (wire_of(next).area - now.area);
  }

  bool grow_for_short(const CheckRow& row, const Findings& findings) {
    const auto fuses = verdict::fuses_of(findings.study());
    const auto wires = verdict::wires_of(findings, fuses);
    for (std::size_t n = 0; n < fuses.size(); ++n) {
      if (fuses[n].name != row.part) continue;
      const auto in_door = verdict::smallest_short(findings, wires, n).door;
      const Place feed{PlaceKind::feed_wire, 0};
      if (!in_door) return grow(feed);
      const Place run{PlaceKind::door_wire, *in_door};
      return grow(ohms_by_copper(feed) > ohms_by_copper(run) ? feed : run);
    }
    return false;
  }

  /// Feed or door run, whichever takes off the most voltage for its copper. The feed counts for every door
  /// that is short of voltage.
  bool grow_for_voltage(const CheckRow& row, const Rows& rows, const Findings& findings) {
    const auto& stall = findings.stall_currents(verdict::levels - 1, 0);
    double sum = 0;
    for (const double amps : stall) sum += amps;
    std::set<std::size_t> doors;
    for (const CheckRow& other : rows) {
      const bool voltage =
          other.id == CheckId::force || other.id == CheckId::throw_time || other.id == CheckId::volt_drop;
      if (voltage) doors.insert(*other.door);
    }
    const Place feed{PlaceKind::feed_wire, 0};
    const Place run{PlaceKind::door_wire, *row.door};
    const double by_feed = ohms_by_copper(feed) * sum * static_cast<double>(doors.size());
    const double by_run = ohms_by_copper(run) * stall[*row.door];
    if (by_feed <= 0 && by_run <= 0) return false;
    return grow(by_feed > by_run ? feed : run);
  }

  model::Study& study_;
  const Parts& wires_;
  std::vector<Place> places_;
};

}  // namespace

bool is_wire(const Place& place) {
  return place.kind == PlaceKind::feed_wire || place.kind == PlaceKind::door_wire;
}

double conductor_length(const model::Study& study, const Place& place) {
  return place.kind == PlaceKind::feed_wire ? study.job.feed.length
                                            : 2 * study.job.doors[place.door].branch_length;
}

void choose_wires(model::Study& study, const std::vector<Place>& open, const Parts& wires) {
  WireChoice choice(study, open, wires);
  choice.run();
  choice.shrink();
  choice.save_reels();
  choice.shrink_feed();
}

void grow_wires(model::Study& study, const std::vector<Place>& open, const Parts& wires) {
  WireChoice(study, open, wires).run();
}

}  // namespace latchwright::choose

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "sim/cubic.h"
#include "sim/drive_step.h"
#include "sim/waiting.h"

// A pulse's stretches as observers see them.
namespace latchwright::sim {

class DrivenSegment : public Segment {
 public:
  DrivenSegment(double begin, double end, const Drive& drive) : begin_(begin), end_(end), drive_(drive) {}
  double begin() const override { return begin_; }
  double end() const override { return end_; }
  bool driven() const override { return true; }
  const std::vector<DoorMode>& modes() const override { return drive_.modes(); }
  bool unlocking() const override { return drive_.unlocking(); }

 private:
  double begin_, end_;
  const Drive& drive_;
};

/// A whole step of moving doors.
class MovingSegment final : public DrivenSegment {
 public:
  /// start_s: the study's time when the pulse began.
  MovingSegment(const DriveStep& step, double start_s, const Drive& drive)
      : DrivenSegment(start_s + step.begin_s(), start_s + step.begin_s() + step.length_s(), drive),
        step_(step) {}
  void at(double t, State& full) const override {
    // The ends exactly, whatever the difference of two times rounds to.
    step_.at(t >= end() ? step_.length_s() : t - begin(), full);
  }
  DoorEnds door_ends(std::size_t door) const override {
    const double* first = step_.begin().data() + door * slots;
    const double* last = step_.end().data() + door * slots;
    const DriveStep::HeatRates rates = step_.heat_rates(door);
    return {.first_C = first + slot_temperature,
            .first_rate = rates.first,
            .last_C = last + slot_temperature,
            .last_rate = rates.last,
            .first_A = first[slot_current],
            .last_A = last[slot_current]};
  }
  double largest_current(std::size_t door, double above) const override {
    return step_.largest_current(door, above);
  }

 private:
  const DriveStep& step_;
};

/// A state and the rates of its fast part.
struct Moment {
  State x, rates;
};

/// A piece of such a step that is short enough for cubics, which cost much less than the response.
class PieceSegment final : public DrivenSegment {
 public:
  PieceSegment(double begin, double end, const Moment& first, const Moment& last, const Drive& drive)
      : DrivenSegment(begin, end, drive), first_(first), last_(last) {}
  void at(double t, State& full) const override {
    const double h = end() - begin(), u = h > 0 ? (t - begin()) / h : 1;
    full.resize(first_.x.size());
    for (std::size_t k = 0; k < full.size(); k += slots) {
      for (std::size_t n = 0; n < slot_temperature; ++n) {
        full[k + n] =
            Cubic{first_.x[k + n], first_.rates[k + n], last_.x[k + n], last_.rates[k + n], h}.at(u);
      }
      for (std::size_t n = slot_temperature; n < slots; ++n) {
        full[k + n] = first_.x[k + n] + u * (last_.x[k + n] - first_.x[k + n]);
      }
    }
  }
  void currents_at(double t, State&, PerDoor<double>& current) const override {
    const double h = end() - begin(), u = h > 0 ? (t - begin()) / h : 1;
    current.clear();
    for (std::size_t k = slot_current; k < first_.x.size(); k += slots) {
      current.push_back(Cubic{first_.x[k], first_.rates[k], last_.x[k], last_.rates[k], h}.at(u));
    }
  }
  // Only for observers of whole steps.
  DoorEnds door_ends(std::size_t) const override { return {}; }
  double largest_current(std::size_t, double) const override { return 0; }

 private:
  const Moment &first_, &last_;
};

/// Of a step at standstill.
inline Segment::DoorEnds ends_of(const Step& step, const StandstillSystem& system, std::size_t door) {
  const std::size_t first = door * physics::heat_nodes;
  return {.first_C = step.first().data() + first,
          .first_rate = step.first_rate().data() + first,
          .last_C = step.last().data() + first,
          .last_rate = step.last_rate().data() + first,
          .first_A = system.at(Place::begin).currents()[door],
          .last_A = system.at(Place::end).currents()[door]};
}

class WaitingSegment final : public DrivenSegment {
 public:
  WaitingSegment(const Step& step, double from, double to, double offset, const Drive& drive,
                 WaitingSystem& system, State& scratch)
      : DrivenSegment(offset + from, offset + to, drive),
        step_(step),
        offset_(offset),
        system_(system),
        scratch_(scratch) {}
  void at(double t, State& full) const override {
    // The currents at the step's end are at hand.
    if (t >= offset_ + step_.end()) {
      system_.expand_end(step_.last(), full);
    } else {
      step_.at(t - offset_, scratch_);
      system_.expand(scratch_, full);
    }
  }
  DoorEnds door_ends(std::size_t door) const override { return ends_of(step_, system_, door); }
  double largest_current(std::size_t, double) const override { return 0; }

 private:
  const Step& step_;
  double offset_;
  WaitingSystem& system_;
  State& scratch_;
};

class WaitingSink final : public StepSink {
 public:
  WaitingSink(const Observers& observers, double offset, const Drive& drive, WaitingSystem& system,
              State& scratch)
      : observers_(observers), offset_(offset), drive_(drive), system_(system), scratch_(scratch) {}
  void take(const Step& step) override {
    if (observers_.empty()) return;
    constexpr double longest_piece = 0.1;  // s
    const double length = step.end() - step.begin();
    const int pieces = 1 + static_cast<int>(length / longest_piece);
    for (Observer* observer : observers_) {
      const int parts = observer->takes_whole_steps() ? 1 : pieces;
      double from = step.begin();
      for (int n = 1; n <= parts; ++n) {
        const double to = n == parts ? step.end() : step.begin() + length * n / parts;
        observer->segment(WaitingSegment(step, from, to, offset_, drive_, system_, scratch_));
        from = to;
      }
    }
  }

 private:
  const Observers& observers_;
  double offset_;
  const Drive& drive_;
  WaitingSystem& system_;
  State& scratch_;
};

}  // namespace latchwright::sim

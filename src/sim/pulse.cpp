// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/pulse.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "base/failure.h"
#include "sim/pulse_segments.h"

namespace latchwright::sim {

using physics::heat_nodes;

namespace {

constexpr double same_moment = 1e-9;           // s: what lies this close together happens at once
constexpr double small_move = 1e-5;            // s: so far at most an end is moved by its Taylor series
constexpr double no_time = 1e-13;              // s
constexpr double shortest_step = 1e-20;        // s: below what time itself is rounded to
constexpr double unknown = 1e300;              // s
constexpr int most_rounds = 6;                 // of aiming and completing one step
constexpr int most_probes = 6;                 // for one event inside a step
constexpr std::size_t most_remembered = 1000;  // of them: a pulse with more has other worries than speed

}  // namespace

std::vector<double> ambient_temperatures(const Circuit& circuit) {
  return std::vector<double>(circuit.doors.size() * heat_nodes, circuit.at.ambient_C);
}

PulseEngine::PulseEngine(const Circuit& circuit, const Budget& budget)
    : circuit_(circuit),
      drive_(circuit),
      step_(circuit, drive_),
      waiting_(circuit, drive_),
      solver_(standstill_tolerance, budget.stand_steps),
      full_(circuit.doors.size() * slots),
      temps_(circuit.doors.size() * heat_nodes),
      budget_(budget) {
  for (const auto& door : circuit.doors) {
    time_constant_s_ = std::max(time_constant_s_, door.motor.inductance / door.motor.resistance_25);
  }
}

const std::vector<std::optional<double>>& PulseEngine::run(std::vector<double>& temperatures, double start_s,
                                                           double on_s, bool unlocking,
                                                           const Observers& observers) {
  const std::size_t count = circuit_.doors.size();
  for (std::size_t k = 0; k < count; ++k) {
    std::copy_n(temperatures.data() + k * heat_nodes, heat_nodes,
                full_.data() + k * slots + slot_temperature);
  }
  drive_.begin_pulse(unlocking, full_);
  step_.begin_pulse(on_s);
  // In so many time constants currents come to rest: what is left is 1e-5 of their change.
  const double relaxing_s = 12 * time_constant_s_;
  next_step_ = on_s;
  steps_ = pulse_count_ = 0;
  blamed_ = {};
  relaxed_ = false;
  double t = 0;
  while (t < on_s) {
    const bool moving = drive_.any_moving();
    if (!moving && relaxed_ && standing_still()) {
      stand(t, on_s, start_s, observers);
      next_step_ = on_s;
    } else {
      step(t, moving ? on_s : std::min(on_s, t + relaxing_s), start_s, observers);
    }
  }
  for (Observer* observer : observers) observer->pulse_ended(start_s + t, full_);
  for (std::size_t k = 0; k < count; ++k) {
    std::copy_n(full_.data() + k * slots + slot_temperature, heat_nodes,
                temperatures.data() + k * heat_nodes);
  }
  return drive_.arrivals();
}

PulseEngine::Outlook PulseEngine::outlook() const {
  Outlook out;
  for (const Drive::Crossing& g : after_) {
    const bool over = g.value > g.edge;
    if (out.over && !over) continue;
    // Newton's step back or ahead. A value that is over and falls again has been so for a time unknown; one
    // that stands on its edge almost without a rate has only just begun.
    const double ahead = g.rate > (over ? 0 : Drive::least_rate) ? -g.value / g.rate
                         : over                                  ? -unknown
                                                                 : unknown;
    if (over != out.over || ahead < out.ahead) out = {over, ahead, {g.door, g.kind}};
  }
  return out;
}

std::optional<double> PulseEngine::hidden_event(double h) {
  drive_.crossings(full_, step_.begin_point(), before_);
  bool looked = false;
  std::optional<double> found;
  for (std::size_t n = 0; n < after_.size() && !found; ++n) {
    Drive::Crossing a = before_[n], b = after_[n];
    double from = 0, to = h;
    for (int probes = 0; probes < most_probes && !found; ++probes) {
      const Cubic course{a.value, a.rate, b.value, b.rate, to - from};
      const auto top = course.top();
      if (!top) break;
      // What swings or is braked is no cubic: as far off as its ends' slopes reach beyond each other.
      const double reach = (to - from) * (a.rate - b.rate) / 8;
      if (course.at(*top) + reach <= b.edge) break;
      const double at = from + *top * (to - from);
      step_.look(at);
      looked = true;
      drive_.crossings(step_.end(), step_.end_point(), inside_);
      const Drive::Crossing& there = inside_[n];
      if (there.value > there.edge) {
        found = at;
      } else if (there.rate > 0) {
        from = at;
        a = there;
      } else {
        to = at;
        b = there;
      }
    }
  }
  if (looked && !found) step_.look(h);
  return found;
}

void PulseEngine::take_reached(const Event& sought, double moved, double t) {
  // What a rotor does in its settling time is more than one moment's.
  const double moment = std::min(same_moment, 0.02 * step_.settling_s());
  for (const Drive::Crossing& g : after_) {
    const bool sought_one = g.door == sought.door && g.kind == sought.kind;
    const double value = g.value + moved * g.rate;
    if (sought_one || value > g.edge || (g.rate > Drive::least_rate && value > -moment * g.rate)) {
      drive_.take(g.door, g.kind, full_, t);
    }
  }
  drive_.take_transitions(full_, t);
}

double PulseEngine::near_enough(double h) const {
  // Never less than time is rounded to: a bracket cannot shrink below that.
  constexpr double roundings = 4 * std::numeric_limits<double>::epsilon();
  const double changing = std::min({h, step_.time_constant(), step_.settling_s()});
  return std::max(std::min(small_move, 0.02 * changing), roundings * h);
}

PulseEngine::Reach PulseEngine::aim(double& h, double longest) {
  // low: nothing has happened yet; high: something has. Newton's method between them, halving where it fails.
  double low = 0, high = unknown;
  bool looked_inside = false;
  for (int tries = 1;; ++tries) {
    step_.look(h);
    drive_.crossings(step_.end(), step_.end_point(), after_);
    const Outlook next = outlook();
    // Where a value does not say when it rose, nothing can be moved to that moment afterwards.
    const bool untold = next.over && next.ahead == -unknown;
    const double near = untold ? std::min(same_moment, near_enough(h)) : near_enough(h);
    std::optional<Reach> reach;
    if (next.over) {
      high = h;
      if (-next.ahead <= near || high - low <= near || high < no_time) reach = {Reach::event, next};
    } else {
      low = h;
      if (next.ahead <= near && h + next.ahead <= longest) {
        reach = {Reach::event, next};
      } else if (high == unknown) {
        // An event close ahead is worth going for, rather than a short step after this one.
        if (next.ahead < 0.2 * h && h + next.ahead <= longest && tries < 6) {
          h += next.ahead;
          continue;
        }
        reach = {Reach::length, next};
      }
    }
    if (reach) {
      if (std::exchange(looked_inside, true)) return *reach;
      const auto earlier = hidden_event(h);
      if (!earlier) return *reach;
      h = *earlier;
      low = 0;
      continue;
    }
    double want = h + next.ahead;
    const double room = high - low;
    if (room <= near) {  // nothing lies between them
      h = high;
      continue;
    }
    // From the fourth try on halving keeps the bracket shrinking whatever the values do.
    if (!(want > low && want < high) || (tries > 4 && tries % 2 == 0)) want = low + 0.5 * room;
    h = want;
  }
}

void PulseEngine::step(double& t, double limit, double start_s, const Observers& observers) {
  step_.begin(full_, t);
  double longest = std::min(limit - t, step_.longest());
  // Pulses are much alike: a step is about as long as last time.
  if (steps_ == past_.size() && steps_ < most_remembered) past_.emplace_back();
  beyond_.seconds = 0;
  Past& past = steps_ < past_.size() ? past_[steps_] : beyond_;
  const bool known = past.seconds > same_moment;
  if (known) step_.expect(past.drift);
  double h = std::min(known ? past.seconds : next_step_, longest);
  const auto give_up = [&] {
    throw base::StudyError(
        fmt::format("the study cannot go on at t = {:.6g} s of a pulse: {}", t, drive_.describe(full_)));
  };
  ++steps_;
  count_step(t);
  Reach reach;
  double moved = 0;  // s, after the crossings were last looked at
  for (int rounds = 1;; ++rounds) {
    reach = aim(h, longest);
    if (reach.what == Reach::event && h < shortest_step) {
      // Nothing but an event, at once. Any longer, and the state goes there first: a rotor that is braked
      // hard changes its voltage by more than an event's edge in 1e-13 s.
      take_reached(reach.next.event, 0, t);
      return;
    }
    const double error = step_.complete();
    if (!(error <= 1)) {
      longest = next_step_ = h *= std::clamp(0.8 / std::cbrt(error), 0.1, 0.9);
      if (!(h > shortest_step)) give_up();
      step_.forget_pushes();
      continue;
    }
    // Better pushes have moved the end a little: on to where the event is now, or only just not.
    Outlook now = reach.next;
    if (step_.corrected()) {
      drive_.crossings(step_.end(), step_.end_point(), after_);
      now = outlook();
    }
    const double near = near_enough(h);
    const bool awaited = now.ahead <= (reach.what == Reach::event ? 0.2 * h : near);
    if (!now.over && !(awaited && h + now.ahead <= limit - t)) {
      reach.what = Reach::length;
      next_step_ = h * std::clamp(0.8 / std::cbrt(error), 1.0, 4.0);
      break;
    }
    const Outlook aimed = std::exchange(reach, {Reach::event, now}).next;
    next_step_ = std::max(next_step_, h);
    if (std::fabs(now.ahead) <= near) {
      step_.land(moved = now.ahead);
      break;
    }
    // Where nothing better comes of it, the event is taken where the step ends: what was aimed at has not
    // moved, and no shorter step may change a state by as much as it is rounded to.
    const bool stays = now.over && !step_.corrected();
    // One that does not say when it rose has been aimed at, or else has only come with the better pushes.
    const bool aimed_at = now.ahead == -unknown && aimed.over && aimed.ahead == -unknown;
    if (rounds >= most_rounds || aimed_at || stays) break;
    h = std::clamp(h + now.ahead, 0.5 * h, longest);
  }
  past.seconds = reach.what == Reach::event ? step_.length_s() : next_step_;
  step_.learn(past.drift);
  const DriveStep::Blame blame = step_.blame();
  ++blamed_[blame.door][static_cast<std::size_t>(blame.limit)];
  show(start_s, observers);
  std::copy(step_.end().begin(), step_.end().end(), full_.begin());
  relaxed_ = reach.what == Reach::length;
  const bool whole = relaxed_ && h >= limit - t;
  t = whole ? limit : t + step_.length_s();
  if (reach.what == Reach::event) take_reached(reach.next.event, moved, t);
}

void PulseEngine::show(double start_s, const Observers& observers) {
  if (observers.empty()) return;
  step_.finish();
  bool in_pieces = false;
  const MovingSegment whole(step_, start_s, drive_);
  for (Observer* observer : observers) {
    if (observer->takes_whole_steps()) {
      observer->segment(whole);
    } else {
      in_pieces = true;
    }
  }
  if (!in_pieces) return;
  // Pieces that grow from part of an electrical time constant to what is short against the rotor's.
  const double longest_piece = std::min(8e-3, step_.short_piece());
  const double h = step_.length_s(), begin = start_s + step_.begin_s();
  Moment first, last;
  step_.at(0, first.x, first.rates);
  double from = 0, piece = std::min({longest_piece, 0.5 * step_.time_constant(), step_.quick_node_s()});
  while (from < h) {
    const double to = from + 1.5 * piece >= h ? h : from + piece;
    step_.at(to, last.x, last.rates);
    const PieceSegment segment(begin + from, to < h ? begin + to : whole.end(), first, last, drive_);
    for (Observer* observer : observers) {
      if (!observer->takes_whole_steps()) observer->segment(segment);
    }
    from = to;
    piece = std::min(longest_piece, std::max(piece, 0.5 * from));
    std::swap(first, last);
  }
}

bool PulseEngine::standing_still() {
  // Handing over costs the difference between the current and its standstill value.
  constexpr double near = 1e-5, near_A = 1e-4;
  const std::size_t count = circuit_.doors.size();
  for (std::size_t k = 0; k < count; ++k) {
    std::copy_n(full_.data() + k * slots + slot_temperature, heat_nodes, temps_.data() + k * heat_nodes);
  }
  const StandstillCurrents& still = waiting_.look(temps_);
  if (!waiting_.follows(still)) return false;
  for (std::size_t k = 0; k < count; ++k) {
    const double current = still.currents()[k];
    if (std::fabs(full_[k * slots + slot_current] - current) > near_A + near * current) return false;
  }
  return true;
}

void PulseEngine::stand(double& t, double on_s, double start_s, const Observers& observers) {
  waiting_.begin(full_, on_s);
  WaitingSink sink(observers, start_s, drive_, waiting_, scratch_);
  solver_.run(waiting_, temps_, t, on_s, standing_step_, sink);
  standing_step_ = solver_.first_step();
  pulse_count_ += solver_.steps();
  study_count_ += solver_.steps();
  waiting_.hand_over(temps_, full_);
  if (t < on_s) drive_.resume(full_, t);
}

}  // namespace latchwright::sim

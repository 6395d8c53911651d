// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "model/field.h"
#include "model/job_fields.h"
#include "report/spread_report.h"
#include "spread/figures.h"
#include "spread/sobol_sums.h"

// A slice's JSON read back. Everything that sums are made from is looked at: a slice that was cut or edited
// must not go into a whole unseen.
namespace latchwright::report {

using model::pointer_to;
using model::Raw;

namespace {

constexpr double largest_exact = 9007199254740992.0;  // 2^53

/// A value of the file and where it stands.
struct Place {
  const Raw* raw = nullptr;
  std::string pointer;
};

class SliceReader {
 public:
  explicit SliceReader(const std::string& file) { context_.file = file; }

  base::Checked<SpreadReport> read(const Raw& raw) {
    const Place top{&raw, ""};
    if (!is_slice(top)) return std::move(context_.issues);
    SpreadReport report;
    report.title = text(member(top, "title"));
    report.invented_parts = flag(member(top, "example_parts"));
    read_plan(top, report.tally.plan);
    if (context_.issues.empty()) read_sources(member(top, "sources"), report.tally);
    if (context_.issues.empty()) read_tally(top, report.tally);
    if (!context_.issues.empty()) return std::move(context_.issues);
    report.result = spread::conclude(report.tally);
    return report;
  }

 private:
  void fault(const std::string& pointer, std::string text) { context_.add(pointer, std::move(text)); }

  Place member(const Place& of, const std::string& key) {
    Place place{nullptr, pointer_to(of.pointer, key)};
    if (of.raw == nullptr) return place;  // told already
    if (of.raw->object() == nullptr) {
      model::add_wrong_type(*of.raw, "an object", of.pointer, context_);
      return place;
    }
    place.raw = of.raw->find(key);
    if (place.raw == nullptr) fault(place.pointer, "is missing");
    return place;
  }

  std::string text(const Place& place) {
    if (place.raw == nullptr) return "";
    if (const auto* found = place.raw->text()) return *found;
    model::add_wrong_type(*place.raw, "a text", place.pointer, context_);
    return "";
  }

  bool flag(const Place& place) {
    if (place.raw == nullptr) return false;
    if (const auto* found = place.raw->boolean()) return *found;
    model::add_wrong_type(*place.raw, "true or false", place.pointer, context_);
    return false;
  }

  double number(const Place& place, double low, double high, bool is_whole) {
    if (place.raw == nullptr) return low;
    const double* found = place.raw->number();
    if (found == nullptr) {
      model::add_wrong_type(*place.raw, "a number", place.pointer, context_);
      return low;
    }
    if (!(*found >= low && *found <= high) || (is_whole && *found != std::floor(*found))) {
      fault(place.pointer, fmt::format("{} is not {} from {:.15g} to {:.15g}", place.raw->shown(),
                                       is_whole ? "a whole number" : "a number", low, high));
      return low;
    }
    return *found;
  }
  double number(const Place& place, const model::FieldInfo& info) {
    return number(place, info.low, info.high, info.kind == model::FieldKind::whole);
  }
  std::int64_t whole(const Place& place, std::int64_t low, std::int64_t high) {
    return static_cast<std::int64_t>(
        number(place, static_cast<double>(low), static_cast<double>(high), true));
  }
  std::int64_t count(const Place& place, std::int64_t most) { return whole(place, 0, most); }

  /// The items of a list of this length; none where it is not one.
  std::vector<Place> items(const Place& place, std::size_t length) {
    std::vector<Place> found = items(place);
    if (place.raw == nullptr || place.raw->list() == nullptr || found.size() == length) return found;
    fault(place.pointer, fmt::format("has {} where {} belong", model::entries_text(found.size()), length));
    return {};
  }
  std::vector<Place> items(const Place& place) {
    std::vector<Place> found;
    if (place.raw == nullptr) return found;
    const auto* list = place.raw->list();
    if (list == nullptr) {
      model::add_wrong_type(*place.raw, "a list", place.pointer, context_);
      return found;
    }
    for (std::size_t k = 0; k < list->size(); ++k)
      found.push_back({&(*list)[k], pointer_to(place.pointer, k)});
    return found;
  }

  std::vector<std::int64_t> counts(const Place& place, std::size_t length, std::int64_t most) {
    std::vector<std::int64_t> found;
    for (const Place& item : items(place, length)) found.push_back(count(item, most));
    return found;
  }

  /// Whether this is a slice of a spread by this version of the program at all.
  bool is_slice(const Place& top) {
    const auto is = [&](const char* key, const Raw& wanted) {
      const Raw* found = top.raw->find(key);
      return found != nullptr && found->shown() == wanted.shown();
    };
    if (!is("latchwright_result", Raw(result_format_version)) || !is("verb", Raw("spread"))) {
      fault("",
            "is no result of spread (latchwright spread JOB --slice 1/4 --json makes one of four slices)");
      return false;
    }
    if (top.raw->find("slice") == nullptr || top.raw->find("tally") == nullptr) {
      fault("", "is a whole spread and no slice of one: there is nothing to join");
      return false;
    }
    const Place version = member(member(top, "program"), "version");
    const std::string made_by = text(version);
    if (context_.issues.empty() && made_by != program_version()) {
      fault(version.pointer,
            fmt::format("was made by version {}, and this is {}: other versions may count otherwise",
                        version.raw->shown(), program_version()));
    }
    return context_.issues.empty();
  }

  void read_plan(const Place& top, spread::SpreadPlan& plan) {
    const Place at = member(top, "at"), settings = member(top, "settings"), slice = member(top, "slice");
    plan.ambient_C = number(member(at, "ambient_C"), model::climate_table().find("usual_C")->info);
    plan.voltage_V = number(member(at, "voltage_V"), model::supply_table().find("usual_V")->info);
    plan.cycles =
        static_cast<int>(number(member(settings, "cycles"), model::use_table().find("cycles")->info));
    plan.on_s = number(member(settings, "on_s"), model::pulse_table().find("on_s")->info);
    plan.gap_s = number(member(settings, "gap_s"), model::use_table().find("gap_s")->info);
    plan.samples = whole(member(settings, "samples"), 1, spread::most_samples);
    plan.seed = static_cast<std::uint64_t>(number(member(settings, "seed"), 0, largest_exact, true));
    plan.slice.of = static_cast<int>(whole(member(slice, "of"), 2, plan.samples));
    plan.slice.part = static_cast<int>(whole(member(slice, "part"), 1, plan.slice.of));
  }

  void read_sources(const Place& place, spread::SpreadTally& tally) {
    std::size_t columns = 0;
    constexpr std::int64_t most_things = 1000;
    for (const Place& item : items(place)) {
      spread::Uncertain source;
      source.key = text(member(item, "key"));
      source.name = text(member(item, "name"));
      source.unit = text(member(item, "unit"));
      source.half_width = number(member(item, "half_width"), 0, 1e6, false);
      source.origin = text(member(item, "origin"));
      const std::int64_t things = whole(member(item, "things"), 1, most_things);
      for (std::int64_t k = 0; k < things; ++k) source.columns.push_back(columns++);
      tally.sources.push_back(std::move(source));
    }
  }

  void read_bins(const Place& tally_place, spread::SpreadTally& tally) {
    const Place bins = member(tally_place, "bins"), without = member(tally_place, "without");
    constexpr std::int64_t far = 1'000'000'000;
    for (const spread::Figure& figure : spread::figures()) {
      std::int64_t sum = 0;
      const Raw* none = without.raw != nullptr ? without.raw->find(figure.name) : nullptr;
      if (none != nullptr) {
        sum += tally.without[figure.name] =
            whole({none, pointer_to(without.pointer, figure.name)}, 1, tally.done);
      }
      const Raw* some = bins.raw != nullptr ? bins.raw->find(figure.name) : nullptr;
      const std::string pointer = pointer_to(bins.pointer, figure.name);
      if (some != nullptr) {
        auto& into = tally.bins[figure.name];
        for (const Place& pair : items({some, pointer})) {
          const auto two = items(pair, 2);
          if (two.size() != 2) return;
          const std::int64_t bin = whole(two[0], -far, far), here = whole(two[1], 1, tally.done);
          if (!into.empty() && bin <= into.rbegin()->first) return fault(pair.pointer, "bins must rise");
          into[bin] = here;
          sum += here;
        }
      }
      if (context_.issues.empty() && sum != tally.done)
        fault(pointer, fmt::format("counts {} samples of {}", sum, tally.done));
    }
  }

  void read_influence(const Place& tally_place, spread::SpreadTally& tally) {
    const Place rows = member(tally_place, "influence");
    std::int64_t samples = 0;
    for (const Place& row : items(rows, spread::sobol_blocks)) {
      tally.influence.push_back(counts(row, spread::sobol_common + 2 * tally.sources.size(),
                                       static_cast<std::int64_t>(largest_exact)));
      if (!tally.influence.back().empty()) samples += tally.influence.back().front();
    }
    if (context_.issues.empty() && samples != tally.tried)
      fault(rows.pointer, fmt::format("counts {} samples of {}", samples, tally.tried));
  }

  void read_tally(const Place& top, spread::SpreadTally& tally) {
    const Place place = member(top, "tally"), weak = member(top, "missed_throw_at");
    tally.slices = {tally.plan.slice.part};
    tally.weak_V = number(member(weak, "voltage_V"), model::supply_table().find("low_V")->info);
    tally.weak_C = number(member(weak, "ambient_C"), model::climate_table().find("cold_C")->info);
    tally.done = count(member(top, "done"), spread::samples_of(tally.plan));
    tally.input = text(member(place, "input"));
    tally.missed_throws = count(member(place, "missed_throws"), tally.done);
    const Place cycles = member(place, "cycles");
    tally.cycles =
        counts(cycles, static_cast<std::size_t>(spread::counted_cycles(tally.plan)) + 1, tally.done);
    const std::int64_t sum = std::accumulate(tally.cycles.begin(), tally.cycles.end(), std::int64_t{0});
    if (context_.issues.empty() && sum != tally.done)
      fault(cycles.pointer, fmt::format("counts {} samples of {}", sum, tally.done));
    read_bins(place, tally);
    tally.influence_on_trip = flag(member(place, "influence_on_trip"));
    tally.tried = count(member(place, "tried"), spread::tried_of(tally.plan, tally.sources.size()));
    tally.tried_lockouts = count(member(place, "tried_lockouts"), tally.tried);
    tally.tightened = counts(member(place, "tightened"), tally.sources.size(), tally.tried);
    read_influence(place, tally);
  }

  model::ReadContext context_;
};

}  // namespace

base::Checked<SpreadReport> read_slice(const Raw& raw, const std::string& file) {
  return SliceReader(file).read(raw);
}

}  // namespace latchwright::report

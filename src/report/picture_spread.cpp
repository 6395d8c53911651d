// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "report/picture_tools.h"
#include "report/spread_pictures.h"

// Chances, drawn: how figures are spread, what spreads them, what would help.
namespace latchwright::report {

using spread::Chance;
using spread::Distribution;
using spread::SpreadResult;

namespace {

constexpr std::size_t most_bars = 12;
constexpr double percent = 100;

std::string spread_condition(const SpreadResult& result, const std::string& title) {
  const auto& plan = result.plan;
  std::string text = title.empty() ? std::string() : base::printable(title, 200) + ": ";
  text += fmt::format("{} V, {} °C, pulse {} s, rest {} s; ", base::exact_text(plan.voltage_V),
                      base::exact_text(plan.ambient_C), base::exact_text(plan.on_s),
                      base::exact_text(plan.gap_s));
  text += result.done < plan.samples ? fmt::format("{} of {} installations tried", result.done, plan.samples)
                                     : fmt::format("{} installations tried", result.done);
  return text;
}

/// "12.3 %"; what is certain where none or all were counted.
std::string chance_words(const Chance& chance) {
  if (chance.count == 0) return "less than " + base::significant(percent * chance.high) + " %";
  if (chance.count == chance.of) return "more than " + base::significant(percent * chance.low) + " %";
  return fmt::format("{} % ({} to {} %)", base::significant(percent * chance.estimate),
                     base::significant(percent * chance.low), base::significant(percent * chance.high));
}

std::string level_words(double level) { return base::exact_text(percent * level) + " %"; }

Picture chance_picture(const SpreadResult& result, const std::string& condition, bool invented_parts) {
  Picture picture;
  picture.key = "spread_chance";
  picture.title = "Chance that it stops before so many cycles";
  picture.condition = condition;
  picture.across.title = "cycles in a row";
  picture.up.title = "chance";
  picture.up.unit = "%";
  picture.up.low = 0;
  PictureBand band;
  band.name = fmt::format("where it lies with {} certainty", level_words(result.lockout.level));
  PictureLine line = picture_line("installations that stop", 0);
  PictureMarks marks;
  marks.name = line.name;
  for (std::size_t n = 0; n < result.lockout_by_cycles.size(); ++n) {
    const Chance& chance = result.lockout_by_cycles[n];
    const auto cycles = static_cast<double>(n + 1);
    add_point(line, cycles, percent * chance.estimate);
    add_mark(marks, cycles, percent * chance.estimate);
    band.lower_x.push_back(cycles);
    band.lower_y.push_back(percent * chance.low);
    band.upper_x.push_back(cycles);
    band.upper_y.push_back(percent * chance.high);
  }
  const bool likely =
      !band.upper_y.empty() && *std::max_element(band.upper_y.begin(), band.upper_y.end()) > 60;
  if (likely) picture.up.high = percent;
  constexpr std::size_t told_apart = 40;
  if (line.x.size() <= told_apart) picture.marks.push_back(std::move(marks));
  picture.lines.push_back(std::move(line));
  picture.bands.push_back(std::move(band));
  picture.limits.push_back(picture_limit(fmt::format("wanted: {} cycles", result.plan.cycles),
                                         result.plan.cycles, true, 1, Stroke::dashed));
  picture.note =
      picture_note({fmt::format("before {} cycles: {}", result.plan.cycles, chance_words(result.lockout))},
                   invented_parts);
  return picture;
}

/// Bins beside each other put together until there are no more than the number of installations bears (twice
/// its cube root, Rice's rule, from memory): else the picture shows the draw.
std::vector<Distribution::Bin> together(const std::vector<Distribution::Bin>& bins, double installations) {
  const auto most = static_cast<std::size_t>(std::max(5.0, std::ceil(2 * std::cbrt(installations))));
  const std::size_t step = (bins.size() + most - 1) / most;
  std::vector<Distribution::Bin> wide;
  for (std::size_t n = 0; n < bins.size(); ++n) {
    if (n % step == 0) wide.push_back({bins[n].low, bins[n].high, 0});
    wide.back().high = bins[n].high;
    wide.back().share += bins[n].share;
  }
  return wide;
}

/// Bins as steps closed to a band from nothing.
PictureBand histogram(const std::vector<Distribution::Bin>& bins) {
  PictureBand band;
  band.name = "installations";
  band.lower_x = {bins.front().low, bins.back().high};
  band.lower_y = {0, 0};
  for (const auto& bin : bins) {
    for (const double edge : {bin.low, bin.high}) {
      band.upper_x.push_back(edge);
      band.upper_y.push_back(percent * bin.share);
    }
  }
  return band;
}

std::string with_capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

/// 5, 50 and 95 %; named with their values where who draws them would not add these. shift: of the axis.
void add_quantiles(Picture& picture, const Distribution& distribution, double shift) {
  const struct {
    double p;
    const char* words;
    Stroke stroke;
  } shown[] = {{0.05, "5 % at or below", Stroke::dotted},
               {0.5, "half at or below", Stroke::dashed},
               {0.95, "95 % at or below", Stroke::dash_dot}};
  const bool bare = picture.across.unit.empty();
  for (const auto& [p, words, stroke] : shown) {
    for (const auto& [quantile, value] : distribution.quantiles) {
      if (std::abs(quantile - p) > 1e-9) continue;
      std::string name = words;
      if (bare) name += " " + base::exact_text(value);
      picture.limits.push_back(picture_limit(std::move(name), value - shift, true, 1, stroke));
    }
  }
}

/// Few whole numbers are places of an axis of words: between them there is nothing. What 0 of the axis is.
double name_places(Picture& picture, const std::vector<Distribution::Bin>& bins) {
  const double first = std::round((bins.front().low + bins.front().high) / 2);
  for (std::size_t n = 0; n < bins.size(); ++n) {
    picture.across.words.push_back(base::exact_text(first + static_cast<double>(n)));
  }
  return first;
}

Picture distribution_picture(const Distribution& distribution, const std::string& condition,
                             double installations, bool invented_parts) {
  Picture picture;
  picture.key = "spread_" + distribution.name;
  picture.title = with_capital(distribution.title);
  picture.condition = condition;
  picture.up.title = "share of the installations in each step";
  picture.up.unit = "%";
  picture.up.low = 0;
  const bool cycles = distribution.unit == "cycles";
  picture.across.unit = cycles ? std::string() : distribution.unit;
  picture.across.title = cycles                      ? "whole cycles"
                         : distribution.unit == "s"  ? "time"
                         : distribution.unit == "°C" ? "temperature"
                                                     : "value";
  double shift = 0;
  if (!distribution.bins.empty()) {
    constexpr std::size_t most_places = 20;
    constexpr double wide = 20;
    auto bins = distribution.bins;
    if (cycles && bins.size() <= most_places) {
      shift = name_places(picture, bins);
    } else if (!cycles) {
      bins = together(bins, installations * (1 - distribution.without));
    }
    for (auto& bin : bins) {
      bin.low -= shift;
      bin.high -= shift;
    }
    picture.across.logarithmic =
        distribution.unit == "s" && bins.front().low > 0 && bins.back().high / bins.front().low > wide;
    picture.bands.push_back(histogram(bins));
  }
  add_quantiles(picture, distribution, shift);
  std::vector<std::string> remarks;
  if (distribution.without > 0) {
    remarks.push_back(fmt::format("not among them: {} % ({})",
                                  base::significant(percent * distribution.without),
                                  distribution.without_text));
  }
  picture.note = picture_note(remarks, invented_parts);
  return picture;
}

/// A bar along a row of an upright axis of words.
void add_bar(Picture& picture, std::string name, std::size_t row, double value, std::size_t hue) {
  constexpr double half = 0.36;
  const double y = static_cast<double>(row);
  PictureBand band;
  band.name = std::move(name);
  band.hue = hue;
  band.lower_x = band.upper_x = {0, std::max(0.0, value)};
  band.lower_y = {y - half, y - half};
  band.upper_y = {y + half, y + half};
  picture.bands.push_back(std::move(band));
}

/// From low to high, with short ends, so that it reads as a range in grey print too.
void add_whisker(Picture& picture, double low, double high, double y, std::size_t hue) {
  constexpr double end = 0.1;
  PictureLine line = picture_line("", hue);
  line.x = {low, low, low, high, high, high};
  line.y = {y - end, y + end, y, y, y - end, y + end};
  picture.lines.push_back(std::move(line));
}

std::vector<std::string> left_out(std::size_t count) {
  if (count <= most_bars) return {};
  return {fmt::format("{} that do less are left out", count - most_bars)};
}

Picture influence_picture(const SpreadResult& result, const std::string& condition, bool invented_parts) {
  Picture picture;
  picture.key = "spread_influence";
  picture.title = "What spreads it most: " + result.influence_of;
  picture.condition = condition;
  picture.across.title = "share of the variance";
  picture.across.unit = "%";
  picture.up.title = "what differs";
  PictureMarks first, total;
  total.name = "with all that it does together with others (total)";
  total.hue = 0;
  total.shape = Shape::square;
  first.name = "by itself (first order)";
  first.hue = 1;
  first.shape = Shape::circle;
  double lowest = 0;
  for (std::size_t k = 0; k < std::min(most_bars, result.influences.size()); ++k) {
    const auto& influence = result.influences[k];
    picture.up.words.push_back(influence.name);
    const double row = static_cast<double>(k);
    constexpr double apart = 0.17;
    add_bar(picture, "", k, percent * influence.total, 0);
    add_whisker(picture, percent * (influence.total - influence.total_error),
                percent * (influence.total + influence.total_error), row - apart, 0);
    add_mark(total, percent * influence.total, row - apart);
    add_whisker(picture, percent * (influence.first - influence.first_error),
                percent * (influence.first + influence.first_error), row + apart, 1);
    add_mark(first, percent * influence.first, row + apart);
    lowest =
        std::min({lowest, influence.first - influence.first_error, influence.total - influence.total_error});
  }
  if (lowest >= 0) picture.across.low = 0;
  picture.marks = {std::move(total), std::move(first)};
  std::vector<std::string> remarks = left_out(result.influences.size());
  remarks.push_back("lines beside the marks: one standard error either way");
  picture.note = picture_note(remarks, invented_parts);
  return picture;
}

Picture tightening_picture(const SpreadResult& result, const std::string& condition, bool invented_parts) {
  Picture picture;
  picture.key = "spread_tightening";
  picture.title =
      fmt::format("Chance that it stops before {} cycles, with one scatter halved", result.plan.cycles);
  picture.condition = condition;
  picture.across.title = "chance";
  picture.across.unit = "%";
  picture.across.low = 0;
  picture.up.title = "what differs half as much";
  PictureMarks marks;
  marks.name = "with this one halved";
  marks.shape = Shape::square;
  for (std::size_t k = 0; k < std::min(most_bars, result.tightenings.size()); ++k) {
    const auto& tightening = result.tightenings[k];
    picture.up.words.push_back(tightening.name);
    add_bar(picture, "", k, percent * tightening.halved.estimate, 0);
    add_whisker(picture, percent * tightening.halved.low, percent * tightening.halved.high,
                static_cast<double>(k), 0);
    add_mark(marks, percent * tightening.halved.estimate, static_cast<double>(k));
  }
  picture.marks.push_back(std::move(marks));
  picture.limits.push_back(
      picture_limit("as it is", percent * result.as_it_is.estimate, true, 1, Stroke::dashed));
  std::vector<std::string> remarks = left_out(result.tightenings.size());
  remarks.push_back(fmt::format("of the same {} installations; lines beside the marks: {} intervals",
                                result.as_it_is.of, level_words(result.as_it_is.level)));
  picture.note = picture_note(remarks, invented_parts);
  return picture;
}

}  // namespace

std::vector<Picture> spread_pictures(const SpreadResult& result, const std::string& title,
                                     bool invented_parts) {
  const std::string condition = spread_condition(result, title);
  std::vector<Picture> pictures;
  if (!result.lockout_by_cycles.empty()) {
    pictures.push_back(chance_picture(result, condition, invented_parts));
  }
  if (!result.influences.empty()) pictures.push_back(influence_picture(result, condition, invented_parts));
  if (!result.tightenings.empty()) pictures.push_back(tightening_picture(result, condition, invented_parts));
  for (const auto& distribution : result.distributions) {
    pictures.push_back(
        distribution_picture(distribution, condition, static_cast<double>(result.done), invented_parts));
  }
  return pictures;
}

}  // namespace latchwright::report

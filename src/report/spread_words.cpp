// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

#include "base/text.h"
#include "report/spread_report.h"

namespace latchwright::report {

using spread::Chance;
using spread::SpreadResult;

namespace {

/// "about 1 car in 8", and whether the verb after it is in the plural.
struct Odds {
  std::string text;
  bool many = false;
};

long two_digits(double number) {
  const double size = number < 20 ? 1 : std::pow(10, std::floor(std::log10(number)) - 1);
  return std::lround(std::round(number / size) * size);
}

/// Of a chance above 0 and below 1.
Odds odds_of(double chance) {
  if (chance < 0.3) return {fmt::format("about 1 car in {}", two_digits(1 / chance)), false};
  if (chance > 0.7) {
    return {fmt::format("all but about 1 car in {}", two_digits(1 / (1 - chance))), true};
  }
  constexpr int most = 10;
  int best = 1, of = 2;
  for (int n = 2; n <= most; ++n) {
    const int k = std::clamp(static_cast<int>(std::lround(chance * n)), 1, n - 1);
    const double miss = std::fabs(chance - static_cast<double>(k) / n);
    if (miss < std::fabs(chance - static_cast<double>(best) / of) - 0.01) {
      best = k;
      of = n;
    }
  }
  if (best == 1) return {fmt::format("about 1 car in {}", of), false};
  return {fmt::format("about {} cars in {}", best, of), true};
}

/// The first decimal place at or above a small share, in percent: 0.184 becomes 0.2.
std::string rounded_up(double share) {
  const double percent = 100 * share;
  const double size = std::pow(10, std::floor(std::log10(percent)));
  return base::significant(std::ceil(percent / size - 1e-9) * size, 1);
}

/// "About 1 car in 8 stops …: 12 % (10.6 to 13.5 %)."; one: "stops …", many: "stop …".
std::string told(const Chance& chance, const std::string& one, const std::string& many,
                 const std::string& where) {
  std::string who;
  bool plural = false;
  if (chance.count == 0) {
    who = fmt::format("none of {} cars", chance.of);
  } else if (chance.count == chance.of) {
    who = fmt::format("every one of {} cars", chance.of);
  } else {
    const Odds odds = odds_of(chance.estimate);
    who = odds.text;
    plural = odds.many;
  }
  std::string text = where + who + " " + (plural ? many : one) + ": " + chance_text(chance);
  text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
  text.push_back('.');
  return text;
}

/// Decimals of a percentage that keep so many digits of it or of what it lacks to 100, whichever is nearer.
int decimals_of(double chance, int digits) {
  const double percent = 100 * chance, nearer = std::min(percent, 100 - percent);
  if (nearer <= 0) return 0;
  // Rounding first, as 9.96 takes one decimal less than 9.94.
  const double rounded = base::number_in(fmt::format("{:.{}e}", nearer, digits - 1));
  return std::clamp(digits - 1 - static_cast<int>(std::floor(std::log10(rounded) + 1e-12)), 0, 6);
}

std::string cycles_text(int cycles) { return fmt::format("{} {}", cycles, cycles == 1 ? "cycle" : "cycles"); }

std::string place_text(double voltage_V, double ambient_C) {
  return fmt::format("{} V and {} °C", base::exact_text(voltage_V), base::exact_text(ambient_C));
}

std::string influence_sentence(const SpreadResult& result) {
  constexpr std::size_t most = 3;
  constexpr double worth_naming = 0.05;
  std::vector<std::string> names;
  for (const auto& each : result.influences) {
    if (names.size() == most || each.total < std::max(worth_naming, 2 * each.total_error)) break;
    names.push_back(fmt::format("{} ({:.0f} %)", each.name, 100 * std::min(1.0, each.total)));
  }
  if (names.empty()) return "";
  return fmt::format("What matters most for {} (share of its scatter): {}.", result.influence_of,
                     fmt::join(names, ", "));
}

std::string tightening_sentence(const SpreadResult& result) {
  if (result.as_it_is.of == 0 || result.as_it_is.count == 0) return "";
  constexpr std::size_t most = 2;
  // Both are of the same samples, so that there is little luck in the difference: a tenth is more than that.
  const double worth_naming = 0.9 * static_cast<double>(result.as_it_is.count);
  std::vector<std::string> gains;
  for (const auto& each : result.tightenings) {
    if (gains.size() == most || static_cast<double>(each.halved.count) > worth_naming) break;
    // Nobody tightens the weather or the alternator.
    if (each.key == "ambient_C" || each.key == "voltage_V") continue;
    gains.push_back(fmt::format("{}, {} %", each.name, percent_text(each.halved.estimate, 2)));
  }
  if (gains.empty()) {
    return "Half the tolerance of any one part would hardly lower the chance of stopping: it takes another "
           "part or "
           "gentler use.";
  }
  return fmt::format(
      "What tightening buys most: with half the tolerance the chance of stopping falls from {} % "
      "to this: {}.",
      percent_text(result.as_it_is.estimate, 2), fmt::join(gains, "; "));
}

}  // namespace

std::string percent_text(double chance, int digits) {
  return fmt::format("{:.{}f}", 100 * chance, decimals_of(chance, digits));
}

std::string chance_text(const Chance& chance) {
  if (chance.of == 0) return "not known";
  if (chance.count == 0) return fmt::format("less than {} %", rounded_up(chance.high));
  if (chance.count == chance.of) {
    const double rest = base::number_in(rounded_up(1 - chance.low));
    return fmt::format("more than {} %", base::exact_text(100 - rest));
  }
  const int decimals = std::max(1, decimals_of(chance.estimate, 2));
  return fmt::format("{} % ({:.{}f} to {:.{}f} %)", percent_text(chance.estimate, 2), 100 * chance.low,
                     decimals, 100 * chance.high, decimals);
}

std::vector<std::string> spread_sentences(const SpreadResult& result) {
  std::vector<std::string> sentences;
  const auto& plan = result.plan;
  if (result.done > 0) {
    const std::string before =
        fmt::format("working until it cools before {} in a row at {}", cycles_text(plan.cycles),
                    place_text(plan.voltage_V, plan.ambient_C));
    sentences.push_back(told(result.lockout, "stops " + before, "stop " + before, ""));
    sentences.push_back(told(result.missed_throw, "misses a first throw", "miss a first throw",
                             fmt::format("at {} ", place_text(result.weak_V, result.weak_C))));
  }
  if (result.sources.empty()) sentences.push_back("Nothing scatters in this job: every half-width is 0.");
  for (const auto& sentence : {influence_sentence(result), tightening_sentence(result)}) {
    if (!sentence.empty()) sentences.push_back(sentence);
  }
  if (plan.slice.of > 1) {
    sentences.push_back(fmt::format("This is slice {} of {}: latchwright join puts the slices together.",
                                    plan.slice.part, plan.slice.of));
  }
  if (result.done < result.wanted_done) {
    sentences.push_back(fmt::format("Stopped after {} of {} samples: the intervals say what these are worth.",
                                    result.done, result.wanted_done));
  } else if (!spread::finished(result)) {
    sentences.push_back(fmt::format("Stopped when {} of {} samples had been tried for what matters most.",
                                    result.as_it_is.of, result.wanted_tried));
  }
  return sentences;
}

}  // namespace latchwright::report

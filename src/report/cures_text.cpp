// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <limits>

#include "base/text.h"
#include "report/check_words.h"
#include "report/text_table.h"

// The table of cures: what fails, which figure of the job, from what to what, and what else that moves.
namespace latchwright::report {

using verdict::CheckRow;
using verdict::Cure;
using verdict::Move;
using verdict::Verdict;

namespace {

struct Parameter {
  std::string name;
  const char* unit;
};

/// A pointer into the job in the trade's words.
Parameter parameter_of(const model::Study& study, std::string_view pointer) {
  static constexpr std::string_view doors = "/doors/";
  std::string of_door;
  if (pointer.starts_with(doors)) {
    pointer.remove_prefix(doors.size());
    std::size_t door = 0;
    const auto end = std::from_chars(pointer.data(), pointer.data() + pointer.size(), door).ptr;
    pointer.remove_prefix(static_cast<std::size_t>(end - pointer.data()));
    of_door = ", " + base::printable(study.job.doors[door].name);
  }
  struct Known {
    std::string_view pointer;
    Parameter parameter;
  };
  static const Known known[] = {{"/pulse/on_s", {"pulse", "s"}},
                                {"/use/gap_s", {"rest between pulses", "s"}},
                                {"/use/cycles", {"cycles promised", "cycles"}},
                                {"/use/hot_cycles", {"cycles promised when hot", "cycles"}},
                                {"/feed/wire", {"wire of the feed", ""}},
                                {"/feed/fuse", {"main fuse", ""}},
                                {"/feed/relay", {"relay", ""}},
                                {"/feed/length_m", {"length of the feed", "m"}},
                                {"/wire", {"wire of the door run", ""}},
                                {"/fuse", {"fuse of the door run", ""}},
                                {"/actuator", {"actuator", ""}},
                                {"/branch_length_m", {"length of the door run", "m"}},
                                {"/rod_force/peak_N", {"rod's force", "N"}},
                                {"/rod_force", {"rod's force", ""}}};
  const auto found = std::find_if(std::begin(known), std::end(known),
                                  [&](const Known& each) { return each.pointer == pointer; });
  if (found == std::end(known)) return {std::string(pointer) + of_door, ""};
  return {found->parameter.name + of_door, found->parameter.unit};
}

std::string setting_text(const verdict::Setting& setting, const char* unit, const char* absent) {
  if (const auto* number = std::get_if<double>(&setting)) return base::exact_text(*number) + " " + unit;
  if (const auto* id = std::get_if<std::string>(&setting)) return *id;
  return absent;
}

double height(const std::optional<double>& margin) {
  return margin.value_or(std::numeric_limits<double>::infinity());
}

bool worsens(const Move& move) {
  const Verdict before = move.verdict_now.value_or(Verdict::holds);
  return move.verdict_then > before;
}

bool improves(const Move& move) { return move.verdict_now && move.verdict_then < *move.verdict_now; }

/// A check without a margin needs nothing: it cannot be missed.
std::string moved_margin(const std::optional<double>& margin) {
  return margin ? margin_text(margin) : "unlimited";
}

/// "throw ends within the pulse, tailgate: margin 3.07, then 1.21".
std::string move_text(const model::Study& study, const Move& move) {
  const std::string subject =
      title_of(move.id) + ", " + where_text(study, move.id, move.door, move.part) + ": margin ";
  return move.verdict_now ? fmt::format("{}{}, then {}", subject, moved_margin(move.margin_now),
                                        moved_margin(move.margin_then))
                          : subject + moved_margin(move.margin_then);
}

/// At most two sentences: what gets a worse verdict, else what it cures too, else the largest loss of margin.
std::vector<std::string> moves_text(const model::Study& study, const Cure& cure) {
  constexpr std::size_t most = 2;
  if (std::holds_alternative<std::monostate>(cure.change.passes_at)) {
    return {cure.change.text + "; what else that moves is not computed"};
  }
  if (cure.moves.empty()) return {"nothing else"};
  std::vector<Move> worse, better;
  std::copy_if(cure.moves.begin(), cure.moves.end(), std::back_inserter(worse), worsens);
  std::copy_if(cure.moves.begin(), cure.moves.end(), std::back_inserter(better), improves);
  std::stable_sort(worse.begin(), worse.end(), [](const Move& a, const Move& b) {
    if (a.verdict_then != b.verdict_then) return a.verdict_then > b.verdict_then;
    return height(a.margin_then) < height(b.margin_then);
  });
  // What failed counts more than what was only tight.
  std::stable_sort(better.begin(), better.end(),
                   [](const Move& a, const Move& b) { return a.verdict_now > b.verdict_now; });
  std::vector<std::string> said;
  for (const Move& move : worse) {
    said.push_back(fmt::format("{}: {}", move.verdict_then == Verdict::fails ? "fails then" : "gets tight",
                               move_text(study, move)));
  }
  for (const Move& move : better) {
    said.push_back(fmt::format("{}: {}",
                               *move.verdict_now == Verdict::fails ? "cures too" : "no longer tight",
                               move_text(study, move)));
  }
  if (said.size() > most) {
    const auto more = said.size() - most;
    said.resize(most);
    said.back() += fmt::format("; and {} more", more);
  }
  if (worse.empty() && said.size() < most) {
    const auto loss = [](const Move& move) {
      return move.margin_then && move.margin_now ? *move.margin_then / *move.margin_now : 1;
    };
    // A shorter pulse takes the same share from every throw: then the one with the least left.
    constexpr double alike = 1e-3;
    const Move& largest = *std::min_element(cure.moves.begin(), cure.moves.end(),
                                            [&](const Move& a, const Move& b) { return loss(a) < loss(b); });
    const auto rank = [&](const Move& move) {
      return loss(move) < 1 && loss(move) <= loss(largest) * (1 + alike) ? height(move.margin_then)
                                                                         : height({});
    };
    const auto most_lost = std::min_element(cure.moves.begin(), cure.moves.end(),
                                            [&](const Move& a, const Move& b) { return rank(a) < rank(b); });
    if (loss(*most_lost) < 1) said.push_back("loses most: " + move_text(study, *most_lost));
  }
  if (said.empty()) said.push_back("nothing for the worse");
  return said;
}

// The table's columns of words: beside two of settings they fit a terminal.
constexpr std::size_t fails_width = 28, parameter_width = 20, moves_width = 48;

/// A cell's text in lines; those after the first are set in.
std::vector<std::string> lines_of(const std::string& text, std::size_t width) {
  std::vector<std::string> lines;
  const std::string whole = wrapped(text, 0, width);
  for (std::size_t begin = 0; begin < whole.size();) {
    const std::size_t end = whole.find('\n', begin);
    lines.push_back((lines.empty() ? "" : "  ") + whole.substr(begin, end - begin));
    begin = end + 1;
  }
  return lines;
}

}  // namespace

std::string cures_text(const model::Study& study, const verdict::Rows& rows) {
  TextTable table({{"what fails (where)"}, {"parameter"}, {"now"}, {"just passes"}, {"what it moves"}});
  for (const CheckRow& row : rows) {
    // What fails runs on beside its ways.
    auto fails = lines_of(
        fmt::format("{} ({})", title_of(row.id), where_text(study, row.id, row.door, row.part)), fails_width);
    std::size_t line = 0;
    const auto add = [&](const std::string& name, const std::string& now, const std::string& then,
                         const std::string& moves) {
      table.add({line < fails.size() ? fails[line] : "", name, now, then, moves});
      ++line;
    };
    for (const Cure& cure : row.cures) {
      const auto [name, unit] = parameter_of(study, cure.change.pointer);
      const auto names = lines_of(name, parameter_width);
      std::vector<std::string> moves;
      for (const std::string& sentence : moves_text(study, cure)) {
        for (std::string& each : lines_of(sentence, moves_width)) moves.push_back(std::move(each));
      }
      for (std::size_t k = 0; k < std::max(names.size(), moves.size()); ++k) {
        const bool words = std::holds_alternative<std::monostate>(cure.change.passes_at);
        add(k < names.size() ? names[k] : "",
            k > 0 ? "" : setting_text(cure.change.now, unit, words ? "–" : "none"),
            k > 0 ? "" : setting_text(cure.change.passes_at, unit, "–"), k < moves.size() ? moves[k] : "");
      }
    }
    while (line > 0 && line < fails.size()) add("", "", "", "");
  }
  return table.empty()
             ? ""
             : "\nWhat would cure it: one change each, and what else moves with it\n" + table.text(2);
}

}  // namespace latchwright::report

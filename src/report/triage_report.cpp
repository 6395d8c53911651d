// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/triage_report.h"

#include <fmt/format.h>

#include <cmath>
#include <vector>

#include "base/text.h"

namespace latchwright::report {

using base::exact_text;
using base::wait_text;
using model::Raw;

namespace {

const char* id_of(bench::Moves moves) {
  return moves == bench::Moves::both ? "both" : moves == bench::Moves::one ? "one" : "neither";
}

/// The readings as options take them; what was not read is null.
Raw::Object settings_of(const TriageReport& report) {
  const bench::Readings& r = report.readings;
  const bool open = r.leads_ohm && std::isinf(*r.leads_ohm);
  return {{"part", Raw(report.part_id)},
          {"leads_ohm", open ? Raw("open") : figure(r.leads_ohm)},
          {"meter_ohm", figure(r.meter_ohm)},
          {"idle_min", figure(r.idle_min)},
          {"used", r.used ? Raw(*r.used) : Raw()},
          {"on_s", Raw(r.on_s)},
          {"gap_s", Raw(r.gap_s)},
          {"ambient_C", figure(r.ambient_C)},
          {"supply_V", figure(r.supply_V)},
          {"current_A", figure(r.current_A)},
          {"moves", r.moves ? Raw(id_of(*r.moves)) : Raw()},
          {"frees", r.frees ? Raw(*r.frees) : Raw()}};
}

constexpr const char* nothing = "nothing yet";

/// "2.4 Ω across the leads, 0.3 Ω of the meter's own, …".
std::string readings_text(const bench::Readings& r) {
  std::vector<std::string> read;
  if (r.leads_ohm) {
    read.push_back(std::isinf(*r.leads_ohm) ? std::string("open line across the leads")
                                            : exact_text(*r.leads_ohm) + " Ω across the leads");
  }
  if (r.meter_ohm) read.push_back(exact_text(*r.meter_ohm) + " Ω of that the meter's own leads");
  if (r.used && *r.used == 0) {
    read.push_back("no throws before");
  } else if (r.used) {
    read.push_back(fmt::format("about {} throw{} of {} s with {} s rest", *r.used, *r.used == 1 ? "" : "s",
                               exact_text(r.on_s), exact_text(r.gap_s)));
  }
  if (r.idle_min) {
    read.push_back(*r.idle_min > 0 ? "last used about " + wait_text(60 * *r.idle_min) + " before"
                                   : std::string("used just before"));
  }
  if (r.ambient_C) read.push_back(exact_text(*r.ambient_C) + " °C");
  if (r.supply_V) read.push_back(exact_text(*r.supply_V) + " V while energised");
  if (r.current_A) read.push_back(exact_text(*r.current_A) + " A then");
  if (r.moves) {
    read.push_back(*r.moves == bench::Moves::both  ? "moves both ways"
                   : *r.moves == bench::Moves::one ? "moves one way only"
                                                   : "moves neither way");
  }
  if (r.frees) read.push_back(*r.frees ? "moves again after a wait" : "does not move again after a wait");
  return read.empty() ? nothing : fmt::format("{}", fmt::join(read, ", "));
}

/// "97 %", and what rounds to neither end.
std::string percent(double chance) {
  if (chance > 0 && chance < 0.01) return "under 1 %";
  if (chance < 1 && chance > 0.99) return "over 99 %";
  return fmt::format("{:.0f} %", 100 * chance);
}

/// Text beside its heading, further lines as far in.
std::string hanging(const std::string& head, const std::string& text) {
  return head + wrapped(text, head.size()).substr(head.size());
}

std::string wait_sentence(const bench::Wait& wait) {
  const std::string longest = wait_text(wait.high), usual = wait_text(wait.s);
  return fmt::format(
      "Should it wait to cool: leave it for {} from {}, power off, then try again. By then 19 of 20 move "
      "again{}; "
      "{} That is for one throw: until it is cold all through it stops again sooner.",
      longest, wait.from_power_off ? "when the power was last on" : "when it was read",
      usual == longest ? "" : ", half of them after " + usual,
      wait.high < 60 ? "workshop practice gives it about a minute." : "more does no harm.");
}

}  // namespace

const char* words_of(bench::State state) {
  switch (state) {
    case bench::State::sound:
      return "sound";
    case bench::State::waiting:
      return "waiting to cool";
    case bench::State::open:
      return "open line (winding, brush, thermistor or wire)";
    case bench::State::shorted:
      return "shorted";
    case bench::State::seized:
      return "seized or jammed";
    case bench::State::worn:
      return "worn (high resistance)";
    case bench::State::supply:
      return "supply or wiring fault";
    case bench::State::end_switch:
      return "end-switch fault";
  }
  return "";
}

Raw triage_json(const TriageReport& report) {
  const bench::Triage& result = report.result;
  std::optional<verdict::At> at;
  if (report.readings.ambient_C && report.readings.supply_V) {
    at = verdict::At{.voltage_V = *report.readings.supply_V, .ambient_C = *report.readings.ambient_C};
  }
  Raw::Object head = result_head("triage", at, settings_of(report));
  Raw::List states;
  for (const auto& row : result.states) {
    states.emplace_back(Raw::Object{{"state", Raw(bench::id_of(row.state))},
                                    {"likelihood", figure(row.likelihood)},
                                    {"why", Raw(row.why)}});
  }
  head.emplace_back("states", Raw(std::move(states)));
  head.emplace_back("wait_s", result.wait ? figure(result.wait->high) : Raw());
  head.emplace_back("next", result.next ? Raw(Raw::Object{{"reading", Raw(result.next->reading)},
                                                          {"why", Raw(result.next->why)}})
                                        : Raw());
  head.emplace_back("settles", result.settles.empty() ? Raw() : Raw(result.settles));
  Raw::List remarks;
  for (const auto& remark : result.remarks) remarks.emplace_back(remark);
  head.emplace_back("remarks", Raw(std::move(remarks)));
  return Raw(std::move(head));
}

std::string triage_text(const TriageReport& report, const Style&) {
  const bench::Triage& result = report.result;
  std::string out = fmt::format("{}: {}\n", report.part_id, base::printable(report.part_title, 200));
  const std::string read = readings_text(report.readings);
  out += hanging("Read: ", read) + '\n';
  std::vector<std::string> unlikely;
  for (const auto& row : result.states) {
    // What the readings leave next to nothing of needs no reasons.
    if (row.likelihood < 0.01) {
      if (row.likelihood > 0) unlikely.emplace_back(words_of(row.state));
      continue;
    }
    out += fmt::format("{:>5}  {}\n", percent(row.likelihood), words_of(row.state));
    if (read != nothing) out += wrapped(row.why, 7);
  }
  if (!unlikely.empty()) out += wrapped(fmt::format("under 1 % each: {}", fmt::join(unlikely, ", ")), 2);
  out.push_back('\n');
  if (result.wait) out += wrapped(wait_sentence(*result.wait), 0);
  out += result.next ? hanging("Read next: ", result.next->why)
         : result.settles.empty()
             ? std::string("Read next: nothing; one more reading would hardly change this.\n")
             : hanging("Read next: ", "no reading that is left would tell more. " + result.settles);
  for (const auto& remark : result.remarks) out += wrapped(remark, 0);
  out +=
      "What each is before any reading, and how readings speak, is common practice without a source: this "
      "ranks,\n"
      "it does not prove.\n";
  if (report.invented_part) out += "Example part: measure yours before promising this.\n";
  return out + cautions_text();
}

}  // namespace latchwright::report

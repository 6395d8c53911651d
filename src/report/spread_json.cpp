// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <iterator>

#include "report/spread_report.h"

namespace latchwright::report {

using model::Raw;

namespace {

Raw whole(std::int64_t number) { return Raw(static_cast<double>(number)); }

Raw whole_list(const std::vector<std::int64_t>& numbers) {
  Raw::List list;
  for (const std::int64_t number : numbers) list.push_back(whole(number));
  return Raw(std::move(list));
}

Raw::Object chance_object(const spread::Chance& chance) {
  return {{"estimate", chance.of > 0 ? Raw(chance.estimate) : Raw()},
          {"low", Raw(chance.low)},
          {"high", Raw(chance.high)},
          {"level", Raw(chance.level)},
          {"count", whole(chance.count)},
          {"of", whole(chance.of)}};
}

Raw distributions_raw(const spread::SpreadResult& result) {
  Raw::List list;
  for (const auto& each : result.distributions) {
    Raw::List quantiles, bins;
    for (const auto& [share, value] : each.quantiles) {
      quantiles.emplace_back(Raw::List{Raw(share), Raw(value)});
    }
    for (const auto& bin : each.bins) {
      bins.emplace_back(
          Raw::Object{{"low", Raw(bin.low)}, {"high", Raw(bin.high)}, {"share", Raw(bin.share)}});
    }
    list.emplace_back(
        Raw::Object{{"name", Raw(each.name)},
                    {"title", Raw(each.title)},
                    {"unit", Raw(each.unit)},
                    {"quantiles", Raw(std::move(quantiles))},
                    {"bins", Raw(std::move(bins))},
                    {"without", Raw(each.without)},
                    {"without_text", each.without_text.empty() ? Raw() : Raw(each.without_text)}});
  }
  return Raw(std::move(list));
}

Raw sources_raw(const spread::SpreadResult& result) {
  Raw::List list;
  for (const auto& source : result.sources) {
    list.emplace_back(Raw::Object{{"key", Raw(source.key)},
                                  {"name", Raw(source.name)},
                                  {"unit", Raw(source.unit)},
                                  {"half_width", Raw(source.half_width)},
                                  {"origin", Raw(source.origin)},
                                  {"things", whole(static_cast<std::int64_t>(source.columns.size()))}});
  }
  return Raw(std::move(list));
}

Raw tally_raw(const spread::SpreadTally& tally) {
  Raw::Object bins;
  for (const auto& [figure, counts] : tally.bins) {
    Raw::List pairs;
    for (const auto& [bin, count] : counts) pairs.emplace_back(Raw::List{whole(bin), whole(count)});
    bins.emplace_back(figure, Raw(std::move(pairs)));
  }
  Raw::Object without;
  for (const auto& [figure, count] : tally.without) without.emplace_back(figure, whole(count));
  Raw::List influence;
  for (const auto& row : tally.influence) influence.push_back(whole_list(row));
  return Raw(Raw::Object{{"input", Raw(tally.input)},
                         {"missed_throws", whole(tally.missed_throws)},
                         {"cycles", whole_list(tally.cycles)},
                         {"bins", Raw(std::move(bins))},
                         {"without", Raw(std::move(without))},
                         {"influence_on_trip", Raw(tally.influence_on_trip)},
                         {"influence", Raw(std::move(influence))},
                         {"tried", whole(tally.tried)},
                         {"tried_lockouts", whole(tally.tried_lockouts)},
                         {"tightened", whole_list(tally.tightened)}});
}

}  // namespace

Raw spread_json(const SpreadReport& report) {
  const spread::SpreadResult& result = report.result;
  const spread::SpreadPlan& plan = result.plan;
  const Raw seed(static_cast<double>(plan.seed));
  Raw::Object out = result_head("spread", verdict::At{plan.voltage_V, plan.ambient_C},
                                {{"samples", whole(plan.samples)},
                                 {"seed", seed},
                                 {"cycles", Raw(plan.cycles)},
                                 {"on_s", Raw(plan.on_s)},
                                 {"gap_s", Raw(plan.gap_s)}});
  out.emplace_back("title", Raw(report.title));
  out.emplace_back("example_parts", Raw(report.invented_parts));
  out.emplace_back("samples", whole(plan.samples));
  out.emplace_back("seed", seed);
  out.emplace_back("done", whole(result.done));
  out.emplace_back("lockout_chance", Raw(chance_object(result.lockout)));
  out.emplace_back("missed_throw_chance", Raw(chance_object(result.missed_throw)));
  out.emplace_back("missed_throw_at", at_raw(verdict::At{result.weak_V, result.weak_C}));
  Raw::List by_cycles;
  for (std::size_t n = 0; n < result.lockout_by_cycles.size(); ++n) {
    Raw::Object entry{{"cycles", whole(static_cast<std::int64_t>(n) + 1)}};
    for (auto& member : chance_object(result.lockout_by_cycles[n])) entry.push_back(std::move(member));
    by_cycles.emplace_back(std::move(entry));
  }
  out.emplace_back("lockout_by_cycles", Raw(std::move(by_cycles)));
  out.emplace_back("distributions", distributions_raw(result));
  out.emplace_back("sensitivity_of", result.influence_of.empty() ? Raw() : Raw(result.influence_of));
  Raw::List sensitivity;
  for (const auto& each : result.influences) {
    sensitivity.emplace_back(Raw::Object{{"parameter", Raw(each.key)},
                                         {"name", Raw(each.name)},
                                         {"first", Raw(each.first)},
                                         {"first_error", Raw(each.first_error)},
                                         {"total", Raw(each.total)},
                                         {"total_error", Raw(each.total_error)}});
  }
  out.emplace_back("sensitivity", Raw(std::move(sensitivity)));
  Raw::List halved;
  for (const auto& each : result.tightenings) {
    Raw::Object entry{{"parameter", Raw(each.key)}, {"name", Raw(each.name)}};
    for (auto& member : chance_object(each.halved)) entry.push_back(std::move(member));
    halved.emplace_back(std::move(entry));
  }
  out.emplace_back("tightening", Raw(Raw::Object{{"as_it_is", Raw(chance_object(result.as_it_is))},
                                                 {"halved", Raw(std::move(halved))}}));
  out.emplace_back("sources", sources_raw(result));
  if (plan.slice.of > 1) {
    out.emplace_back("slice", Raw(Raw::Object{{"part", Raw(plan.slice.part)}, {"of", Raw(plan.slice.of)}}));
    out.emplace_back("tally", tally_raw(report.tally));
  }
  return Raw(std::move(out));
}

std::string spread_csv(const spread::SpreadResult& result) {
  std::string out = "figure,unit,from,to,share\n";
  for (const auto& each : result.distributions) {
    for (const auto& bin : each.bins) {
      fmt::format_to(std::back_inserter(out), "{},{},{:.9g},{:.9g},{:.9g}\n", each.name, each.unit, bin.low,
                     bin.high, bin.share * (1 - each.without));
    }
  }
  return out;
}

}  // namespace latchwright::report

// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/fit_report.h"

#include <fmt/format.h>

#include <cmath>

#include "base/text.h"
#include "model/part_fields.h"
#include "report/picture_tools.h"
#include "report/trace_csv.h"

namespace latchwright::report {

using base::significant;
using model::Raw;

namespace {

std::string plain_name(const std::string& name) {
  if (name == "/motor/resistance_ohm") return "motor resistance";
  if (name == "/ptc/resistance_ohm") return "thermistor resistance";
  if (name == "/ptc/heat_J_per_K") return "thermistor heat capacity";
  if (name == "/ptc/to_housing_mW_per_K") return "thermistor loss to housing";
  if (name == "/thermal/winding_J_per_K") return "winding heat capacity";
  if (name == "curve_shift_K") return "thermistor's switching shifted by";
  if (name == "/motor/torque_constant_mNm_per_A") return "torque constant";
  if (name == "/motor/friction_mNm") return "motor friction";
  if (name == "/drive/efficiency") return "efficiency of the gears";
  return name;
}

std::string with_unit(double value, const std::string& unit, int digits) {
  std::string out = significant(value, digits);
  if (!unit.empty()) out += " " + (unit == "ohm" ? std::string("Ω") : unit);
  return out;
}

std::string joined_logs(const bench::Fit& fit) {
  std::vector<std::string> names;
  for (const auto& log : fit.logs)
    names.push_back(log.name + (log.free_running ? " (running free)" : " (held)"));
  return fmt::format("{}", fmt::join(names, ", "));
}

std::string hand_text(const model::HandReadings& hand) {
  std::string out = significant(hand.ambient_C) + " °C around";
  if (hand.cold_ohm) out += fmt::format(", {} Ω across the leads cold", significant(*hand.cold_ohm));
  if (hand.force_N) out += fmt::format(", {} N at the rod", significant(*hand.force_N));
  if (hand.throw_s) out += fmt::format(", one throw in {} s", significant(*hand.throw_s));
  return out;
}

std::string origin_of(const bench::FitParameter& parameter, bool is_part) {
  if (!parameter.identified) return "kept: the logs do not tell";
  return is_part ? "from the logs" : "not to be used";
}

/// Of a long log every so many-th sample: what a picture shows.
std::size_t stride_of(const bench::FittedLog& log) {
  constexpr std::size_t most_drawn = 4000;
  return log.time_s.size() / most_drawn + 1;
}

}  // namespace

model::Part measured_part(const bench::Fit& fit, const model::Part& like, const model::HandReadings& hand) {
  constexpr std::string_view ending = "-measured";
  constexpr std::size_t longest_id = 64, longest_title = 200, longest_note = 4000;
  model::Part part;
  part.id = like.id.substr(0, longest_id - ending.size()) + std::string(ending);
  // A measured part keeps the make of the part that it is like, not the figures in its title.
  part.title = base::printable("Measured actuator, like " + like.id, longest_title - 1);
  part.source.kind = "measured";
  std::string measured, kept;
  for (const auto& parameter : fit.parameters) {
    std::string& list = parameter.identified ? measured : kept;
    if (!list.empty()) list += ", ";
    list += plain_name(parameter.name);
  }
  part.source.note = fmt::format(
      "Fitted to {}; {}. From the logs: {}. As in {} because the logs do not tell: {}, and every figure not "
      "named here. "
      "Residual {} A r.m.s. Tolerances of the figures from the logs: half-width of 95 %, of "
      "this one actuator: others of its type scatter more.",
      joined_logs(fit), hand_text(hand), measured, like.id, kept.empty() ? "none of those sought" : kept,
      significant(fit.residual_rms_A, 2));
  if (part.source.note.size() > longest_note)
    part.source.note = base::printable(part.source.note, longest_note / 4);
  part.body = fit.actuator;
  return part;
}

FitReport make_fit_report(bench::Fit fit, const model::Part& like, const model::HandReadings& hand) {
  FitReport report{std::move(fit), std::nullopt, like.id, hand};
  if (!report.fit.refused.empty()) return report;
  model::Part part = measured_part(report.fit, like, hand);
  // A fit may lead a figure out of what a part file permits: then it is no part.
  model::ReadContext context{"measured part", {}};
  model::Part again;
  model::read_part(model::write_part(part), "", context, again);
  if (context.issues.empty()) model::check_part(again, "", context);
  if (context.issues.empty()) {
    report.part = std::move(part);
  } else {
    report.fit.refused.push_back(
        fmt::format("the fitted part is not lawful: {} ({} {} in all). Was it at ambient when the power came "
                    "on, does the log "
                    "begin before that, was the rod held all the time, is --like near what was measured?",
                    context.issues.front().line(), context.issues.size(),
                    context.issues.size() == 1 ? "fault" : "faults"));
  }
  return report;
}

Raw parts_file(const model::Part& part) {
  return Raw(Raw::Object{{"latchwright_parts", Raw(model::parts_format_version)},
                         {"parts", Raw(Raw::List{model::write_part(part)})}});
}

Raw fit_json(const FitReport& report) {
  const bench::Fit& fit = report.fit;
  Raw::List logs;
  for (const auto& log : fit.logs) {
    logs.emplace_back(Raw::Object{{"log", Raw(log.name)},
                                  {"free", Raw(log.free_running)},
                                  {"samples", Raw(static_cast<double>(log.time_s.size()))}});
  }
  Raw::Object result = result_head("fit", std::nullopt,
                                   {{"like", Raw(report.like)},
                                    {"ambient_C", Raw(report.hand.ambient_C)},
                                    {"cold_ohm", figure(report.hand.cold_ohm)},
                                    {"force_N", figure(report.hand.force_N)},
                                    {"throw_s", figure(report.hand.throw_s)},
                                    {"logs", Raw(std::move(logs))}});
  result.emplace_back("part", report.part ? model::write_part(*report.part) : Raw());
  Raw::List parameters, correlation, remarks, refused;
  for (const auto& p : fit.parameters) {
    parameters.emplace_back(Raw::Object{{"name", Raw(p.name)},
                                        {"unit", Raw(p.unit)},
                                        {"value", figure(p.value)},
                                        {"standard_error", figure(p.standard_error)},
                                        {"like", figure(p.prior)},
                                        {"identified", Raw(p.identified)}});
  }
  for (const auto& row : fit.correlation) {
    Raw::List cells;
    for (const double cell : row) cells.push_back(figure(cell));
    correlation.emplace_back(std::move(cells));
  }
  for (const auto& remark : fit.remarks) remarks.emplace_back(remark);
  for (const auto& reason : fit.refused) refused.emplace_back(reason);
  result.emplace_back("parameters", Raw(std::move(parameters)));
  result.emplace_back("correlation", Raw(std::move(correlation)));
  result.emplace_back("residual_rms_A", figure(fit.residual_rms_A));
  result.emplace_back("remarks", Raw(std::move(remarks)));
  result.emplace_back("refused", Raw(std::move(refused)));
  return Raw(std::move(result));
}

std::string fit_text(const FitReport& report) {
  const bench::Fit& fit = report.fit;
  std::string out =
      fmt::format("{}, like {}: {}\n{}\n\n", report.part ? "Measured actuator" : "No measurement",
                  report.like, base::printable(joined_logs(fit), 300), hand_text(report.hand));
  for (const auto& reason : fit.refused) out += wrapped("- " + base::printable(reason, 600), 0);
  if (!fit.refused.empty()) {
    out += wrapped("No part comes of this. What follows only shows how far the fit got.", 0);
    out.push_back('\n');
  }
  using Align = TextTable::Align;
  TextTable table({{"figure"},
                   {"fitted", Align::right},
                   {"standard error", Align::right},
                   {"like part", Align::right},
                   {""}});
  for (const auto& p : fit.parameters) {
    table.add({plain_name(p.name), with_unit(p.value, p.unit, 4),
               p.standard_error ? with_unit(*p.standard_error, p.unit, 2) : std::string("-"),
               with_unit(p.prior, p.unit, 4), origin_of(p, report.part.has_value())});
  }
  out += table.text();
  out += fmt::format("\nMeasured and fitted current differ by {} A (r.m.s.).\n",
                     significant(fit.residual_rms_A, 2));
  for (const auto& remark : fit.remarks) out += wrapped("- " + base::printable(remark, 600), 0);
  out +=
      "\nEvery figure that is not in this table is the like part's. The standard errors take those for "
      "right.\n";
  out += cautions_text();
  return out;
}

std::string fit_csv(const FitReport& report) {
  std::string out = "log,time_s,measured_A,fitted_A,residual_A\n";
  for (const auto& log : report.fit.logs) {
    const std::string name = csv_field(log.name);
    for (std::size_t k = 0; k < log.time_s.size(); ++k) {
      fmt::format_to(std::back_inserter(out), "{},{},{},{},{}\n", name, base::exact_text(log.time_s[k]),
                     base::exact_text(log.measured_A[k]), base::exact_text(log.fitted_A[k]),
                     base::exact_text(log.measured_A[k] - log.fitted_A[k]));
    }
  }
  return out;
}

std::vector<Picture> fit_pictures(const FitReport& report) {
  Picture current, residual;
  current.key = "fit_current";
  current.title = "Current, measured and fitted";
  residual.key = "fit_residual";
  residual.title = "Measured less fitted current";
  for (Picture* picture : {&current, &residual}) {
    picture->condition = fmt::format("like {}, {}", report.like, hand_text(report.hand));
    picture->across.title = "time since power on";
    picture->across.unit = "s";
    picture->across.low = 0;
    picture->up.unit = "A";
  }
  current.up.title = "current";
  residual.up.title = "measured less fitted";
  residual.limits.push_back({.name = "", .value = 0, .stroke = Stroke::solid});
  std::size_t hue = 0;
  for (const auto& log : report.fit.logs) {
    const std::string suffix = report.fit.logs.size() > 1 ? ", " + log.name : std::string();
    // Measured in a hue of its own below, the fit on top of it.
    PictureLine measured = picture_line("measured" + suffix, hue, Stroke::solid);
    PictureLine fitted = picture_line("fitted" + suffix, hue + 1, Stroke::dashed);
    PictureLine left =
        picture_line(report.fit.logs.size() > 1 ? log.name : "measured less fitted", hue, Stroke::solid);
    const std::size_t stride = stride_of(log);
    for (std::size_t k = 0; k < log.time_s.size(); k += stride) {
      add_point(measured, log.time_s[k], log.measured_A[k]);
      add_point(fitted, log.time_s[k], log.fitted_A[k]);
      add_point(left, log.time_s[k], log.measured_A[k] - log.fitted_A[k]);
    }
    current.lines.push_back(std::move(measured));
    current.lines.push_back(std::move(fitted));
    residual.lines.push_back(std::move(left));
    hue += 2;
  }
  residual.note = fmt::format("{} A r.m.s.; a good fit leaves noise without a shape",
                              significant(report.fit.residual_rms_A, 2));
  return {current, residual};
}

}  // namespace latchwright::report

// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/job_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>

#include "base/check_sum.h"
#include "base/failure.h"
#include "base/text.h"
#include "io/json.h"
#include "report/result_head.h"
#include "report/sheet_sections.h"

namespace latchwright::report {

std::string sheet_text(const std::string& text) { return base::printable(text, 200); }

std::string door_name(const model::Study& study, std::size_t door) {
  return sheet_text(study.job.doors[door].name);
}

std::string listed(const std::vector<std::string>& names) {
  std::string all;
  for (std::size_t n = 0; n < names.size(); ++n) {
    if (n > 0) all += n + 1 == names.size() ? " and " : ", ";
    all += names[n];
  }
  return all;
}

std::string door_names(const model::Study& study, const std::vector<std::size_t>& doors) {
  std::vector<std::string> names;
  for (const std::size_t door : doors) names.push_back(door_name(study, door));
  return listed(names);
}

std::string generous_wait(double seconds) {
  constexpr double minute = 60, hour = 3600;
  constexpr double steps[] = {5,           10,          15,           20,          30,
                              45,          minute,      1.5 * minute, 2 * minute,  3 * minute,
                              4 * minute,  5 * minute,  7 * minute,   10 * minute, 15 * minute,
                              20 * minute, 30 * minute, 45 * minute,  hour};
  const auto step = std::find_if(std::begin(steps), std::end(steps), [&](double s) { return s >= seconds; });
  const double wait = step != std::end(steps) ? *step : std::ceil(seconds / (0.5 * hour)) * 0.5 * hour;
  const auto counted = [](double value, const char* unit) {
    return fmt::format("{} {}{}", base::exact_text(value), unit, value == 1 ? "" : "s");
  };
  if (wait < minute) return counted(wait, "second");
  return wait < hour ? counted(wait / minute, "minute") : counted(wait / hour, "hour");
}

std::vector<model::PartPtr> used_parts(const model::Study& study) {
  std::map<std::string, model::PartPtr> parts;
  const auto add = [&](const model::PartPtr& part) {
    if (part) parts.emplace(part->id, part);
  };
  for (const auto& part : {study.feed.wire, study.feed.fuse, study.feed.fuse_family, study.feed.relay})
    add(part);
  for (const auto& door : study.doors) {
    for (const auto& part : {door.actuator, door.wire, door.fuse, door.fuse_family}) add(part);
    const auto& curve = std::get<model::Actuator>(door.actuator->body).ptc.curve;
    if (const auto* id = std::get_if<std::string>(&curve)) add(study.catalogue->find(*id));
  }
  std::vector<model::PartPtr> found;
  for (const auto& [id, part] : parts) found.push_back(part);
  return found;
}

std::string input_sum(const model::Study& study) {
  base::require(study.complete(), "a sheet is of a complete job");
  model::Job job = study.job;
  job.parts.clear();
  for (const auto& part : used_parts(study)) job.parts.push_back(*part);
  return base::check_sum_text(base::check_sum(io::write_json(model::write_job(job))));
}

JobSheet make_job_sheet(const model::Study& study, const SheetFindings& findings, const std::string& date) {
  JobSheet sheet;
  sheet.title = study.job.title.empty() ? "Power locks" : sheet_text(study.job.title);
  sheet.date = date;
  const auto& rows = findings.examination.worst;
  const auto failing = std::count_if(rows.begin(), rows.end(),
                                     [](const auto& row) { return row.verdict == verdict::Verdict::fails; });
  if (failing > 0) {
    sheet.stop = fmt::format(
        "Do not hand this installation over like this: {} of its {} checks {} (see \"For the fitter\").",
        failing, rows.size(), failing == 1 ? "fails" : "fail");
  }
  sheet.sections = {customer_section(study, findings), installer_section(study, findings),
                    acceptance_section(study, findings), cautions_section(study, findings)};
  sheet.origin = fmt::format("Latchwright {}, input {}", program_version(), input_sum(study));
  return sheet;
}

}  // namespace latchwright::report

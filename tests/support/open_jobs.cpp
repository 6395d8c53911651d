// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/open_jobs.h"

#include <fmt/format.h>

#include <stdexcept>

#include "support/examples.h"
#include "support/verdict_jobs.h"

namespace latchwright::tests {

model::Study again(const model::Study& study, const model::Job& job) {
  const auto checked = model::check_job(job, "changed job", *study.catalogue);
  if (!checked.ok()) throw std::runtime_error(checked.issues().front().line());
  return checked.value();
}

model::Study open_job(const std::vector<OpenDoor>& doors, const std::string& actuator) {
  std::string list;
  for (const OpenDoor& door : doors) {
    list +=
        fmt::format(R"({}{{"name": "{}", "actuator": {}, "fuse": null, "branch_length_m": {}, "stroke_mm": {},
                           "rod_force": {{"shape": "steady", "peak_N": {}}}}})",
                    list.empty() ? "" : ", ", door.name, actuator.empty() ? "null" : "\"" + actuator + "\"",
                    door.branch_length_m, door.stroke_mm, door.peak_N);
  }
  return catalogue_study(R"({"latchwright_job": 1, "title": "open", "feed": {"length_m": 2.0}, "doors": [)" +
                         list + "]}");
}

model::Study open_van() {
  model::Job job = open_job({{"cab", 3.2, 18, 24}, {"rear pair", 9.5, 20, 30}}).job;
  job.supply.internal_ohm = 0.035;
  job.supply.low_V = 8.5;
  job.supply.usual_V = 12.2;
  job.climate = {-30, 10, 60};
  job.feed.length = 4.5;
  job.pulse.on_s = 0.8;
  job.use = {6, 4, 2};
  return again(open_job({{"cab", 3.2}}), job);
}

model::Study open_example(const std::string& name) {
  const model::Study study = example_study(name);
  model::Job job = study.job;
  job.feed.wire.reset();
  job.feed.fuse.reset();
  job.feed.relay.reset();
  for (auto& door : job.doors) {
    door.actuator.reset();
    door.wire.reset();
    door.fuse = model::PartRef();
  }
  return again(study, job);
}

}  // namespace latchwright::tests

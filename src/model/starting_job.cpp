// SPDX-License-Identifier: GPL-3.0-or-later
#include "model/starting_job.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/failure.h"
#include "model/job_fields.h"
#include "model/study.h"

namespace latchwright::model {

namespace {

/// Run lengths from the controller behind the dashboard, m: common practice, no source; to be replaced by
/// measured ones, and the job's notes say so.
struct Body {
  const char* name;
  double feed_m, front_m, rear_m, tail_m;
};

constexpr Body bodies[] = {{"hatch", 2.0, 2.0, 3.0, 4.5},
                           {"saloon", 2.2, 2.2, 3.4, 5.0},
                           {"estate", 2.2, 2.2, 3.4, 5.5},
                           {"van", 2.5, 2.5, 4.5, 6.5}};

struct Run {
  std::string name;
  double length_m;
};

/// The doors by number: two in front, then a pair in the rear, the last odd one is the tailgate.
std::vector<Run> runs(int doors, const Body& body) {
  std::vector<Run> list{{"front left", body.front_m}};
  if (doors >= 2) list.push_back({"front right", body.front_m});
  if (doors == 3) list.push_back({"tailgate", body.tail_m});
  if (doors >= 4) {
    list.push_back({"rear left", body.rear_m});
    list.push_back({"rear right", body.rear_m});
  }
  if (doors >= 5) list.push_back({"tailgate", body.tail_m});
  for (int k = 6; k <= doors; ++k) list.push_back({fmt::format("extra {}", k - 5), body.tail_m});
  return list;
}

}  // namespace

const std::vector<std::string>& known_bodies() {
  static const std::vector<std::string> names = [] {
    std::vector<std::string> list;
    for (const Body& body : bodies) list.emplace_back(body.name);
    return list;
  }();
  return names;
}

Raw starting_job(int doors, const std::string& body_name) {
  const auto* body = std::find_if(std::begin(bodies), std::end(bodies),
                                  [&](const Body& each) { return body_name == each.name; });
  base::require(body != std::end(bodies), "a body of which no run lengths are known");
  base::require(doors >= 1 && doors <= static_cast<int>(most_doors), "a job has 1 to 12 doors");
  constexpr double usual_stroke_mm = 18, usual_rod_N = 22;  // common practice, no source
  Raw::List list;
  for (const Run& run : runs(doors, *body)) {
    Raw::Object door{{"name", Raw(run.name)}, {"actuator", Raw()}, {"wire", Raw()}};
    // From three doors up the main fuse alone no longer protects a door run.
    if (doors >= 3) door.emplace_back("fuse", Raw());
    door.emplace_back("branch_length_m", Raw(run.length_m));
    door.emplace_back("stroke_mm", Raw(usual_stroke_mm));
    door.emplace_back("rod_force", Raw(Raw::Object{{"shape", Raw("steady")}, {"peak_N", Raw(usual_rod_N)}}));
    list.emplace_back(std::move(door));
  }
  const Raw started(Raw::Object{
      {"latchwright_job", Raw(1)},
      {"title", Raw(fmt::format("{} with {} {}", body_name, doors, doors == 1 ? "door" : "doors"))},
      {"notes", Raw("Run lengths, strokes and rod forces are typical (common practice, no source): measure "
                    "yours and put them here. null: still to be chosen; latchwright parts lists what there "
                    "is.")},
      {"feed",
       Raw(Raw::Object{{"length_m", Raw(body->feed_m)}, {"wire", Raw()}, {"fuse", Raw()}, {"relay", Raw()}})},
      {"doors", Raw(std::move(list))}});
  // Through the checker, so that every default stands in the file to be seen and changed.
  const auto checked = check_job(started, "new job", Catalogue());
  base::require(checked.ok(), "a new job is lawful");
  return write_job(checked.value().job);
}

}  // namespace latchwright::model

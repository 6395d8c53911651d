// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <map>

#include "base/failure.h"
#include "cli/console.h"
#include "cli/verbs.h"
#include "io/files.h"
#include "io/json.h"

namespace latchwright::cli {

namespace {

/// Run lengths from the controller behind the dashboard, m: common practice, no source; to be replaced by measured
/// ones, and the job's notes say so.
struct Body {
  double feed_m, front_m, rear_m, tail_m;
};

const std::map<std::string, Body>& bodies() {
  static const std::map<std::string, Body> table{{"hatch", {2.0, 2.0, 3.0, 4.5}},
                                                 {"saloon", {2.2, 2.2, 3.4, 5.0}},
                                                 {"estate", {2.2, 2.2, 3.4, 5.5}},
                                                 {"van", {2.5, 2.5, 4.5, 6.5}}};
  return table;
}

struct Place {
  std::string name;
  double length_m;
};

/// The doors by number: two in front, then a pair in the rear, the last odd one is the tailgate.
std::vector<Place> places(int doors, const Body& body) {
  std::vector<Place> list{{"front left", body.front_m}};
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

int run_new(const Options& options) {
  using model::Raw;
  const Body& body = bodies().at(options.body);
  constexpr double usual_stroke_mm = 18, usual_rod_N = 22;  // common practice, no source
  Raw::List doors;
  for (const Place& place : places(options.door_count, body)) {
    Raw::Object door{{"name", Raw(place.name)}, {"actuator", Raw()}, {"wire", Raw()}};
    // From three doors up the main fuse alone no longer protects a door run.
    if (options.door_count >= 3) door.emplace_back("fuse", Raw());
    door.emplace_back("branch_length_m", Raw(place.length_m));
    door.emplace_back("stroke_mm", Raw(usual_stroke_mm));
    door.emplace_back("rod_force",
                      Raw(Raw::Object{{"shape", Raw("steady")}, {"peak_N", Raw(usual_rod_N)}}));
    doors.emplace_back(std::move(door));
  }
  const Raw started(Raw::Object{
      {"latchwright_job", Raw(1)},
      {"title", Raw(fmt::format("{} with {} {}", options.body, options.door_count,
                                options.door_count == 1 ? "door" : "doors"))},
      {"notes", Raw("Run lengths, strokes and rod forces are typical (common practice, no source): measure yours and put "
                    "them here. null: still to be chosen; latchwright parts lists what there is.")},
      {"feed", Raw(Raw::Object{{"length_m", Raw(body.feed_m)}, {"wire", Raw()}, {"fuse", Raw()}, {"relay", Raw()}})},
      {"doors", Raw(std::move(doors))}});
  // Through the checker, so that every default stands in the file to be seen and changed.
  const auto checked = model::check_job(started, "new job", model::Catalogue());
  base::require(checked.ok(), "a new job is lawful");
  const std::string text = io::write_json(model::write_job(checked.value().job));
  if (options.output.empty()) {
    print(text);
    return exit_good;
  }
  io::save_text(options.output, text, options.force);
  if (options.json) {
    print(text);
  } else if (!options.quiet) {
    print(fmt::format("Wrote {}. Next: put in what you measured; null is still to be chosen:\n"
                      "  latchwright size {} -o chosen.json\n",
                      options.output, options.output));
  }
  return exit_good;
}

}  // namespace latchwright::cli

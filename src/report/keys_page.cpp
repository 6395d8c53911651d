// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/keys_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "base/text.h"
#include "model/job_fields.h"
#include "model/part_fields.h"

namespace latchwright::report {

namespace {

using base::exact_text;
using model::FieldInfo;
using model::FieldKind;
using model::RecordInfo;

/// A group of keys, and where in a file it may stand.
struct Group {
  const RecordInfo* info;
  std::vector<std::string> places;
};

/// Groups in the order in which they are first met, each once.
class Groups {
 public:
  void add(const RecordInfo& info, const std::string& place) {
    for (Group& group : groups_) {
      if (group.info->name != info.name) continue;
      group.places.push_back(place);
      return;
    }
    groups_.push_back({&info, {place}});
    add_children(info, place);
  }

  void add_children(const RecordInfo& info, const std::string& place) {
    for (const FieldInfo& field : info.fields) {
      if (field.child == nullptr) continue;
      add(*field.child, place + "/" + field.key + (field.kind == FieldKind::record_list ? "/…" : ""));
    }
  }

  const std::vector<Group>& all() const { return groups_; }

 private:
  std::vector<Group> groups_;
};

std::string group_link(const RecordInfo& info) { return fmt::format("[{0}](#{0})", info.name); }

std::string count_range(std::size_t low, std::size_t high, const char* what) {
  return low > 0 ? fmt::format("{} to {} {}", low, high, what) : fmt::format("up to {} {}", high, what);
}

std::string length_text(const FieldInfo& field) {
  return count_range(static_cast<std::size_t>(field.low), static_cast<std::size_t>(field.high), "characters");
}

/// What may stand there.
std::string permitted_values(const FieldInfo& field) {
  const std::string range = exact_text(field.low) + " to " + exact_text(field.high);
  switch (field.kind) {
    case FieldKind::number:
    case FieldKind::whole:
      if (!field.values.empty()) return fmt::format("{}", fmt::join(field.values, " or "));
      return range + (field.kind == FieldKind::whole ? ", whole" : "");
    case FieldKind::text:
      return length_text(field);
    case FieldKind::identifier:
      return "an id: " + length_text(field);
    case FieldKind::choice:
      return fmt::format("`{}`", fmt::join(field.choices, "`, `"));
    case FieldKind::reference:
      return "id of a part, or `null`";
    case FieldKind::number_list:
      return count_range(field.min_items, field.max_items, "numbers, each ") + range;
    case FieldKind::gate_list:
      return count_range(field.min_items, field.max_items, "numbers or `null`, each ") + range;
    case FieldKind::record:
      return "group " + group_link(*field.child);
    case FieldKind::record_list:
      return count_range(field.min_items, field.max_items, "of ") + group_link(*field.child);
    case FieldKind::curve:
      return "group " + group_link(*field.child) + ", or the id of such a part";
    case FieldKind::tolerances:
      return "figures of this actuator, each " + range;
    case FieldKind::parts:
      return fmt::format("up to {} [parts](#part)", field.max_items);
  }
  return {};
}

/// The shapes of rod force that a key belongs to.
std::vector<std::string> shapes_of(const std::string& key) {
  std::vector<std::string> shapes;
  for (std::size_t k = 0; k < model::rod_shape_names().size(); ++k) {
    const auto& keys = model::rod_shape_keys(static_cast<model::RodShape>(k));
    if (std::find(keys.begin(), keys.end(), key) != keys.end()) shapes.push_back(model::rod_shape_names()[k]);
  }
  return shapes;
}

std::string default_of(const RecordInfo& info, const FieldInfo& field) {
  if (field.required) return "must be given";
  if (info.name == model::rod_force_table().info().name) {
    if (const auto shapes = shapes_of(field.key); !shapes.empty()) {
      return fmt::format("must be given with `{}`, and only there", fmt::join(shapes, "`, `"));
    }
  }
  if (field.fallback)
    return field.kind == FieldKind::record ? std::string("its defaults") : exact_text(*field.fallback);
  return field.meaning.find("default") == std::string::npos ? "none" : "see the meaning";
}

void add_table(const RecordInfo& info, std::string& page) {
  page += "| key | unit | range | default | meaning |\n| --- | --- | --- | --- | --- |\n";
  for (const FieldInfo& field : info.fields) {
    page += fmt::format("| `{}` | {} | {} | {} | {} |\n", field.key, field.unit, permitted_values(field),
                        default_of(info, field), field.meaning);
  }
  page.push_back('\n');
}

void add_groups(const Groups& groups, std::string& page) {
  for (const Group& group : groups.all()) {
    page += fmt::format("### {}\n\nAt `{}`.\n\n", group.info->name, fmt::join(group.places, "`, `"));
    add_table(*group.info, page);
  }
}

}  // namespace

std::string keys_page() {
  std::string page =
      "# Keys\n\n"
      "Every key of a job and of a part file. This page is written from the tables that the program checks "
      "with\n"
      "(`latchwright_write_schemas docs`): do not edit it. What a table cannot say (which figures must not "
      "cross, lists\n"
      "of equal length) is in [files.md](files.md); how a figure is measured, in the [guide](guide.md).\n\n"
      "A key with a default may be left out, and one with \"none\", which then has no value. A part that is "
      "left out or\n"
      "`null` is still to be chosen (a door's `fuse`: see there). An id is letters, digits, dots, hyphens "
      "and underscores.\n\n";

  const RecordInfo& job = model::job_table().info();
  page += fmt::format("## A job\n\nAt the top, beside `\"latchwright_job\": {}` (the format's version):\n\n",
                      model::job_format_version);
  add_table(job, page);
  Groups of_job;
  of_job.add_children(job, "");
  add_groups(of_job, page);

  page += fmt::format(
      "## A part file\n\nAt the top, beside `\"latchwright_parts\": {}` (the format's version), `parts`: a "
      "list of up to {} parts. A job's own `parts` are the same.\n\n",
      model::parts_format_version, model::most_parts);
  Groups common;
  common.add(model::part_table().info(), "/parts/…");
  add_groups(common, page);
  page += "A part has these keys and those of its kind.\n\n";
  Groups by_kind;
  for (const std::string& kind : model::part_kinds()) by_kind.add(*model::part_body_info(kind), "/parts/…");
  add_groups(by_kind, page);
  page.pop_back();
  return page;
}

}  // namespace latchwright::report

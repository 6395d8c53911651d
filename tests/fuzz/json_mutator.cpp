// SPDX-License-Identifier: GPL-3.0-or-later
#include "fuzz/json_mutator.h"

#include <algorithm>
#include <cstring>
#include <map>
#include <string>
#include <vector>

#include "base/failure.h"
#include "io/json.h"
#include "model/job_fields.h"
#include "model/part_fields.h"
#include "support/lawful_draw.h"

extern "C" std::size_t LLVMFuzzerMutate(std::uint8_t* data, std::size_t size, std::size_t room);

namespace latchwright::fuzz {

namespace {

using model::Raw;
using tests::Draw;

/// A value inside the text, and the key that it stands under (of a list's items: the list's).
struct Place {
  Raw* value;
  Raw* owner;  ///< null for the whole
  std::string key;
  std::size_t index;  ///< in its owner
};

void collect(Raw& value, Raw* owner, const std::string& key, std::size_t index, std::vector<Place>& places) {
  places.push_back({&value, owner, key, index});
  if (auto* members = value.object()) {
    for (std::size_t k = 0; k < members->size(); ++k) {
      collect((*members)[k].second, &value, (*members)[k].first, k, places);
    }
  } else if (auto* list = value.list()) {
    for (std::size_t k = 0; k < list->size(); ++k) collect((*list)[k], &value, key, k, places);
  }
}

void collect_rows(const model::RecordInfo& info, std::multimap<std::string, model::FieldInfo>& rows) {
  for (const auto& row : info.fields) {
    rows.emplace(row.key, row);
    if (row.child) collect_rows(*row.child, rows);
  }
}

const std::multimap<std::string, model::FieldInfo>& rows() {
  static const auto all = [] {
    std::multimap<std::string, model::FieldInfo> found;
    collect_rows(model::job_table().info(), found);
    collect_rows(model::part_table().info(), found);
    for (const auto& kind : model::part_kinds()) collect_rows(*model::part_body_info(kind), found);
    return found;
  }();
  return all;
}

Raw new_number(const std::string& key, double old, Draw& draw) {
  const auto [begin, end] = rows().equal_range(key);
  const auto count = static_cast<std::size_t>(std::distance(begin, end));
  const auto way = draw.below(10);
  if (count > 0 && way < 6)
    return Raw(tests::lawful_number(std::next(begin, static_cast<long>(draw.below(count)))->second, draw));
  if (way == 6 && count > 0) {
    const auto& row = std::next(begin, static_cast<long>(draw.below(count)))->second;
    return Raw(draw.chance(0.5) ? row.high * 1.001 : row.low - 0.001);
  }
  if (way < 9) return Raw(old * draw.between(0.5, 2));
  constexpr double odd[] = {0, -0.0, 1e-300, -1, 1e300, 2147483648.0, 9007199254740993.0, 0.1};
  return Raw(odd[draw.below(std::size(odd))]);
}

Raw new_value(Draw& draw) {
  switch (draw.below(6)) {
    case 0:
      return Raw();
    case 1:
      return Raw(draw.chance(0.5));
    case 2:
      return Raw(Raw::List{});
    case 3:
      return Raw(Raw::Object{});
    case 4:
      return Raw(std::string(draw.below(300), 'x'));
    default:
      return Raw(draw.between(-100, 100));
  }
}

/// Doubles an entry of the owner, or takes it out.
void change_owner(const Place& place, bool twice) {
  if (place.owner == nullptr) return;
  const auto at = static_cast<std::ptrdiff_t>(place.index);
  if (auto* list = place.owner->list()) {
    if (twice) {
      const Raw copy = (*list)[place.index];
      list->insert(list->begin() + at, copy);
    } else {
      list->erase(list->begin() + at);
    }
  } else if (auto* members = place.owner->object(); !twice) {
    members->erase(members->begin() + at);
  }
}

void change_text(std::string& text, const std::vector<Place>& places, Draw& draw) {
  // References lead elsewhere when they take another text of the file.
  const Place& other = places[draw.below(places.size())];
  if (other.value->text() && draw.chance(0.6)) {
    text = std::string(*other.value->text());
    return;
  }
  static const char* const odd[] = {"", "\n", "\u202e", "é", "</script>", "steady", "over_centre", "table"};
  text = odd[draw.below(std::size(odd))];
}

void change(Raw& tree, Draw& draw) {
  std::vector<Place> places;
  collect(tree, nullptr, "", 0, places);
  // Numbers are what a job is mostly of, and what studies hang on.
  Place place = places[draw.below(places.size())];
  for (int tries = 0; tries < 6 && !place.value->number(); ++tries) place = places[draw.below(places.size())];
  const auto way = draw.below(20);
  if (way == 0) {
    change_owner(place, true);
  } else if (way == 1) {
    change_owner(place, false);
  } else if (way == 2) {
    *place.value = new_value(draw);
  } else if (way == 3) {
    // A key under which nothing stood.
    const auto& all = rows();
    const auto& row = std::next(all.begin(), static_cast<long>(draw.below(all.size())))->second;
    for (const Place& other : places) {
      if (other.value->object() && other.value->find(row.key) == nullptr && draw.chance(0.3)) {
        tests::set_member(*other.value, row.key, new_number(row.key, 1, draw));
        break;
      }
    }
  } else if (const double* number = place.value->number()) {
    *place.value = new_number(place.key, *number, draw);
  } else if (const std::string* text = place.value->text()) {
    std::string other = *text;
    change_text(other, places, draw);
    *place.value = Raw(other);
  }
}

}  // namespace

std::size_t mutate_json(std::uint8_t* data, std::size_t size, std::size_t room, unsigned seed) {
  Draw draw(seed);
  if (draw.chance(0.15)) return LLVMFuzzerMutate(data, size, room);
  auto read = io::parse_json({reinterpret_cast<const char*>(data), size}, "input");
  if (!read.ok()) return LLVMFuzzerMutate(data, size, room);
  Raw tree = read.value();
  for (auto changes = 1 + draw.below(draw.chance(0.2) ? 20 : 3); changes > 0; --changes) change(tree, draw);
  std::string text;
  try {
    text = io::write_json(tree);
  } catch (const base::InternalError&) {
    return size;  // twice 1e300
  }
  if (text.size() > room) return LLVMFuzzerMutate(data, size, room);
  std::memcpy(data, text.data(), text.size());
  return text.size();
}

}  // namespace latchwright::fuzz

// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/lawful_draw.h"

#include <algorithm>
#include <cmath>

namespace latchwright::tests {

using model::FieldKind;
using model::Raw;

double lawful_number(const model::FieldInfo& info, Draw& draw) {
  if (!info.values.empty()) return info.values[draw.below(info.values.size())];
  double value = info.low;
  const auto way = draw.below(20);
  if (way == 0) {
    value = info.low;
  } else if (way == 1) {
    value = info.high;
  } else if (info.low > 0 && info.high / info.low > 10) {
    value = draw.around(info.low, info.high);
  } else if (info.low == 0 && way < 14) {
    value = draw.around(1e-4 * info.high, info.high);
  } else {
    value = draw.between(info.low, info.high);
  }
  if (info.kind == FieldKind::whole) value = std::floor(value);
  return std::clamp(value, info.low, info.high);  // exp and log may end a little outside
}

namespace {

/// Nothing: the key is left out.
std::optional<Raw> scattered_value(const Raw* now, const model::FieldInfo& info, double wild, Draw& draw) {
  if (info.kind == FieldKind::number || info.kind == FieldKind::whole) {
    if (!draw.chance(now != nullptr ? wild : 0.3 * wild))
      return now ? std::optional<Raw>(*now) : std::nullopt;
    if (!info.required && draw.chance(0.2)) return std::nullopt;
    return Raw(lawful_number(info, draw));
  }
  if (now == nullptr) {
    // A record of defaults may be left out; some of its numbers then come.
    if (info.kind != FieldKind::record || !info.fallback || !info.child || !draw.chance(wild))
      return std::nullopt;
    return scattered(Raw(Raw::Object{}), *info.child, wild, draw);
  }
  if (info.kind == FieldKind::record && info.child) return scattered(*now, *info.child, wild, draw);
  if (info.kind == FieldKind::record_list && now->list()) {
    Raw::List items;
    for (const Raw& item : *now->list()) items.push_back(scattered(item, *info.child, wild, draw));
    return Raw(std::move(items));
  }
  return *now;
}

}  // namespace

Raw scattered(const Raw& record, const model::RecordInfo& info, double wild, Draw& draw) {
  if (record.object() == nullptr) return record;
  Raw::Object out;
  for (const auto& [key, value] : *record.object()) {
    const bool known =
        std::any_of(info.fields.begin(), info.fields.end(), [&name = key](const auto& row) { return row.key == name; });
    if (!known) out.emplace_back(key, value);
  }
  for (const auto& row : info.fields) {
    if (auto value = scattered_value(record.find(row.key), row, wild, draw)) {
      out.emplace_back(row.key, std::move(*value));
    }
  }
  return Raw(std::move(out));
}

void set_member(Raw& object, std::string_view key, Raw value) {
  for (auto& [name, old] : *object.object()) {
    if (name == key) {
      old = std::move(value);
      return;
    }
  }
  object.object()->emplace_back(std::string(key), std::move(value));
}

void drop_member(Raw& object, std::string_view key) {
  auto& members = *object.object();
  members.erase(
      std::remove_if(members.begin(), members.end(), [&](const auto& member) { return member.first == key; }),
      members.end());
}

double number_at(const Raw& object, std::string_view key) {
  const Raw* value = object.find(key);
  return value && value->number() ? *value->number() : 0;
}

}  // namespace latchwright::tests

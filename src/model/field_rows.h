// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <utility>

#include "base/text.h"
#include "model/field.h"

// Makers of field rows, one per kind of value. `scale`: SI value = file value * scale.
namespace latchwright::model {

inline constexpr double milli = 1e-3;

struct Bounds {
  double low;
  double high;
};

// NOLINTBEGIN(performance-unnecessary-value-param): moved into members of a Field<R>, which the check cannot
// see before R is known.

template <class R, class Get, class Set>
Field<R> number_row(std::string key, std::string unit, Bounds range, std::string meaning, Get get, Set set) {
  Field<R> field;
  field.info.key = std::move(key);
  field.info.unit = std::move(unit);
  field.info.low = range.low;
  field.info.high = range.high;
  field.info.meaning = std::move(meaning);
  field.get = std::move(get);
  field.set = std::move(set);
  field.read = [info = field.info, set = field.set](const Raw& raw, const std::string& pointer,
                                                    ReadContext& context, R& record) {
    if (const auto value = read_number(raw, info, pointer, context)) set(record, *value);
  };
  field.write = [get = field.get](const R& record) -> std::optional<Raw> {
    if (const auto value = get(record)) return Raw(*value);
    return std::nullopt;
  };
  return field;
}

/// A number that must stand in the file.
template <class R>
Field<R> number(double R::*member, std::string key, std::string unit, double scale, Bounds range,
                std::string meaning) {
  return number_row<R>(
      std::move(key), std::move(unit), range, std::move(meaning),
      [member, scale](const R& record) -> std::optional<double> { return to_file_unit(record.*member, scale); },
      [member, scale](R& record, double value) { record.*member = value * scale; });
}

/// A number with a default.
template <class R>
Field<R> number(double R::*member, std::string key, std::string unit, double scale, Bounds range, double fallback,
                std::string meaning) {
  auto field = number(member, std::move(key), std::move(unit), scale, range, std::move(meaning));
  field.info.required = false;
  field.info.fallback = fallback;
  return field;
}

/// A number that may be left out and then has no value.
template <class R>
Field<R> number(std::optional<double> R::*member, std::string key, std::string unit, double scale, Bounds range,
                std::string meaning) {
  auto field = number_row<R>(
      std::move(key), std::move(unit), range, std::move(meaning),
      [member, scale](const R& record) -> std::optional<double> {
        if (!(record.*member)) return std::nullopt;
        return to_file_unit(*(record.*member), scale);
      },
      [member, scale](R& record, double value) { record.*member = value * scale; });
  field.info.required = false;
  return field;
}

/// A whole number; `fallback` none: must stand in the file.
template <class R>
Field<R> whole(int R::*member, std::string key, std::string unit, Bounds range, std::optional<double> fallback,
               std::string meaning) {
  auto field = number_row<R>(
      std::move(key), std::move(unit), range, std::move(meaning),
      [member](const R& record) -> std::optional<double> { return record.*member; },
      [member](R& record, double value) { record.*member = static_cast<int>(value); });
  field.info.kind = FieldKind::whole;
  field.info.required = !fallback;
  field.info.fallback = fallback;
  field.read = [info = field.info, set = field.set](const Raw& raw, const std::string& pointer,
                                                    ReadContext& context, R& record) {
    if (const auto value = read_number(raw, info, pointer, context)) set(record, *value);
  };
  return field;
}

using base::Lines;

/// A text of limited length; kind: text, identifier or choice.
template <class R>
Field<R> text(std::string R::*member, std::string key, FieldKind kind, bool required, Bounds length,
              std::string meaning, std::vector<std::string> choices = {}, Lines lines = Lines::one) {
  Field<R> field;
  field.info.many_lines = lines == Lines::many;
  field.info.key = std::move(key);
  field.info.kind = kind;
  field.info.required = required;
  field.info.low = length.low;
  field.info.high = length.high;
  field.info.meaning = std::move(meaning);
  field.info.choices = std::move(choices);
  field.read = [info = field.info, member](const Raw& raw, const std::string& pointer, ReadContext& context,
                                           R& record) {
    if (auto value = read_text(raw, info, pointer, context)) record.*member = std::move(*value);
  };
  field.write = [member, required](const R& record) -> std::optional<Raw> {
    if ((record.*member).empty() && !required) return std::nullopt;
    return Raw(record.*member);
  };
  return field;
}

/// A list of numbers that must stand in the file.
template <class R>
Field<R> number_list(std::vector<double> R::*member, std::string key, std::string unit, double scale, Bounds range,
                     Bounds items, bool required, std::string meaning) {
  Field<R> field;
  field.info.key = std::move(key);
  field.info.kind = FieldKind::number_list;
  field.info.unit = std::move(unit);
  field.info.low = range.low;
  field.info.high = range.high;
  field.info.min_items = static_cast<std::size_t>(items.low);
  field.info.max_items = static_cast<std::size_t>(items.high);
  field.info.required = required;
  field.info.meaning = std::move(meaning);
  field.read = [info = field.info, member, scale](const Raw& raw, const std::string& pointer,
                                                  ReadContext& context, R& record) {
    const auto values = read_list(raw, info, pointer, context);
    if (!values) return;
    (record.*member).clear();
    for (const auto& value : *values) (record.*member).push_back(*value * scale);
  };
  field.write = [member, scale, required](const R& record) -> std::optional<Raw> {
    if ((record.*member).empty() && !required) return std::nullopt;
    Raw::List items_out;
    for (const double value : record.*member) items_out.emplace_back(to_file_unit(value, scale));
    return Raw(std::move(items_out));
  };
  return field;
}

/// A record inside a record. `defaults`: the key may be absent, its numbers then take their defaults.
template <class R, class C>
Field<R> record(C R::*member, std::string key, const Table<C>& table, bool defaults, std::string meaning) {
  Field<R> field;
  field.info.key = std::move(key);
  field.info.kind = FieldKind::record;
  field.info.required = !defaults;
  if (defaults) field.info.fallback = 0;  // read_record then reads an empty object
  field.info.meaning = std::move(meaning);
  field.info.child = &table.info();
  field.read = [&table, member](const Raw& raw, const std::string& pointer, ReadContext& context, R& owner) {
    read_record(raw, table, pointer, context, owner.*member);
  };
  field.write = [&table, member](const R& owner) -> std::optional<Raw> {
    return Raw(write_record(owner.*member, table));
  };
  return field;
}

/// A record that may be left out and then is not there.
template <class R, class C>
Field<R> optional_record(std::optional<C> R::*member, std::string key, const Table<C>& table,
                         std::string meaning) {
  Field<R> field;
  field.info.key = std::move(key);
  field.info.kind = FieldKind::record;
  field.info.required = false;
  field.info.meaning = std::move(meaning);
  field.info.child = &table.info();
  field.read = [&table, member](const Raw& raw, const std::string& pointer, ReadContext& context, R& owner) {
    C inner;
    read_record(raw, table, pointer, context, inner);
    owner.*member = std::move(inner);
  };
  field.write = [&table, member](const R& owner) -> std::optional<Raw> {
    if (!(owner.*member)) return std::nullopt;
    return Raw(write_record(*(owner.*member), table));
  };
  return field;
}

/// A list of records.
template <class R, class C>
Field<R> record_list(std::vector<C> R::*member, std::string key, const Table<C>& table, Bounds items,
                     std::string meaning) {
  Field<R> field;
  field.info.key = std::move(key);
  field.info.kind = FieldKind::record_list;
  field.info.min_items = static_cast<std::size_t>(items.low);
  field.info.max_items = static_cast<std::size_t>(items.high);
  field.info.meaning = std::move(meaning);
  field.info.child = &table.info();
  field.read = [info = field.info, &table, member](const Raw& raw, const std::string& pointer,
                                                   ReadContext& context, R& owner) {
    const Raw::List* list = raw.list();
    if (list == nullptr) {
      add_wrong_type(raw, "a list", pointer, context);
      return;
    }
    if (list->size() < info.min_items || list->size() > info.max_items) {
      context.add(pointer, "has " + entries_text(list->size()) + " (" + std::to_string(info.min_items) + " to " +
                               std::to_string(info.max_items) + " permitted)");
      return;
    }
    for (std::size_t k = 0; k < list->size(); ++k) {
      read_record((*list)[k], table, pointer_to(pointer, k), context, (owner.*member).emplace_back());
    }
  };
  field.write = [&table, member](const R& owner) -> std::optional<Raw> {
    Raw::List list;
    for (const auto& item : owner.*member) list.emplace_back(write_record(item, table));
    return Raw(std::move(list));
  };
  return field;
}

// NOLINTEND(performance-unnecessary-value-param)

}  // namespace latchwright::model

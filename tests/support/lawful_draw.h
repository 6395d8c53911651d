// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "model/field.h"
#include "support/draw.h"

// Numbers drawn from the field tables' own ranges, for random jobs and for mutations of them.
namespace latchwright::tests {

/// A number that the row permits, in the file's unit: now and then an end of its range, else spread over the
/// whole of it, by decades where it spans them. Only for numbers and for items of lists of numbers.
double lawful_number(const model::FieldInfo& info, Draw& draw);

/// The record of a file with numbers drawn anew. wild: the chance of each number to be drawn (0: all stay as
/// they are); numbers that may be left out come and go. Lists, texts and references stay; records inside are
/// scattered too.
model::Raw scattered(const model::Raw& record, const model::RecordInfo& info, double wild, Draw& draw);

/// Sets a member of an object, which it gets where it has none.
void set_member(model::Raw& object, std::string_view key, model::Raw value);
/// Takes a member out; nothing where there is none.
void drop_member(model::Raw& object, std::string_view key);
/// A member's number; 0 where there is none.
double number_at(const model::Raw& object, std::string_view key);

}  // namespace latchwright::tests

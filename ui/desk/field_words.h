// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>
#include <string>
#include <string_view>

#include "model/field.h"
#include "model/raw.h"

// What people read for the keys of the field tables.
namespace latchwright::desk {

/// A key in words, without its unit: "plugs and joints" of door/joints_mohm.
QString field_label(const std::string& record, const model::FieldInfo& field);
/// A record in words, as a heading: "feed", "battery and charging".
QString record_label(const std::string& record);
/// A word of a choice: "over centre".
QString choice_label(const std::string& choice);
/// A kind of part: "thermistor curve".
QString kind_label(const std::string& kind);
/// What the field means.
QString meaning_of(const model::FieldInfo& field);

/// A place of the job in words: "tailgate: wire"; the name of an undo step. The pointer itself where it leads
/// nowhere.
QString place_label(const model::Raw& tree, std::string_view pointer);
/// A fault's text with the pointers in it put in words; those of the record at `near` by their label alone.
QString in_words(const model::Raw& tree, const std::string& fault, const std::string& near);

}  // namespace latchwright::desk

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLineEdit>
#include <QTest>
#include <cmath>
#include <string>

#include "desk/field_editor.h"
#include "io/json.h"
#include "model/raw.h"
#include "model/tree_edit.h"

// A job for the tests of forms, and hands that type in them.
namespace latchwright::desk_tests {

/// Two doors; every kind of field holds something.
inline model::Raw small_job() {
  static const char* text = R"({
    "latchwright_job": 1, "title": "Two doors", "notes": "Invented.",
    "supply": { "internal_mohm": 15, "low_V": 9.0, "usual_V": 12.6, "charge_V": 14.4, "high_V": 15.0 },
    "climate": { "cold_C": -20, "usual_C": 23, "hot_C": 60 },
    "feed": { "length_m": 2.4, "wire": "wire-4.0", "fuse": "fuse-medium-30", "relay": "relay-40" },
    "doors": [
      { "name": "front left", "actuator": "act-ordinary-2w", "wire": "wire-1.0", "fuse": "fuse-medium-7.5",
        "branch_length_m": 2.2, "stroke_mm": 18, "rod_force": { "shape": "steady", "peak_N": 22 } },
      { "name": "tailgate", "actuator": "act-heavy-2w", "wire": "wire-1.5", "branch_length_m": 5.5,
        "stroke_mm": 20, "rod_force": { "shape": "table", "x_mm": [0, 4, 12, 20], "N": [12, 32, 26, -4] },
        "rod_force_unlock": { "shape": "over_centre", "friction_N": 8, "peak_N": 20 } } ],
    "pulse": { "on_s": 0.5 },
    "use": { "cycles": 10, "hot_cycles": 5, "gap_s": 1.0 } })";
  return io::parse_json(text, "test").value();
}

inline double number_at(const desk::Document& document, const std::string& pointer) {
  const model::Raw* value = model::value_at(document.tree(), pointer);
  return value && value->number() ? *value->number() : std::nan("");
}

inline std::string text_at(const desk::Document& document, const std::string& pointer) {
  const model::Raw* value = model::value_at(document.tree(), pointer);
  return value && value->text() ? *value->text() : std::string();
}

inline QLineEdit* line_of(const desk::FieldEditor* editor) { return editor->findChild<QLineEdit*>(); }

/// Types over what stands there, without Enter.
inline void type_only(desk::FieldEditor* editor, const QString& text) {
  QLineEdit* line = line_of(editor);
  line->setFocus();
  line->selectAll();
  QTest::keyClick(line, Qt::Key_Delete);
  QTest::keyClicks(line, text);
}

inline void type_in(desk::FieldEditor* editor, const QString& text) {
  type_only(editor, text);
  QTest::keyClick(line_of(editor), Qt::Key_Return);
}

}  // namespace latchwright::desk_tests

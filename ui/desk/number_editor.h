// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLineEdit>

#include "desk/field_editor.h"

namespace latchwright::desk {

/// A line of text in a form: Enter stays in it, and undoing goes on to the window where the line itself has
/// nothing to undo.
class FormLine : public QLineEdit {
  Q_OBJECT

 public:
  explicit FormLine(QWidget* parent = nullptr) : QLineEdit(parent) {}

 Q_SIGNALS:
  void stepRequested(bool up);

 protected:
  bool event(QEvent* event) override;
  void keyPressEvent(QKeyEvent* event) override;
};

/// A number, in the shown unit. Enter or leaving takes it, Up and Down step.
class NumberEditor : public FieldEditor {
  Q_OBJECT

 public:
  NumberEditor(Document& document, const std::string& record, const model::FieldInfo& field,
               const std::string& pointer, bool needed, QWidget* parent);
  void refresh() override;
  void commitPending() override;
  bool giveUp() override;

 protected:
  void unitsChanged() override;

 private:
  QString textOf(const std::optional<model::Raw>& value) const;
  QString faultOf(const Refused& refused) const;
  void showText(const QString& text, bool keep_typing);
  void step(bool up);

  bool needed_;
  FormLine* line_;
  QLabel* unit_;
  QString shown_;  ///< what was shown last: anything else was typed
};

}  // namespace latchwright::desk

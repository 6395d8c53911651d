// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "desk/field_editor.h"

class QPlainTextEdit;

namespace latchwright::desk {

class FormLine;

/// A text of one line (names, ids) or of many (notes). Enter or leaving takes it.
class TextEditor : public FieldEditor {
  Q_OBJECT

 public:
  TextEditor(Document& document, const std::string& record, const model::FieldInfo& field,
             const std::string& pointer, QWidget* parent);
  void refresh() override;
  void commitPending() override;
  bool giveUp() override;

 protected:
  bool eventFilter(QObject* watched, QEvent* event) override;

 private:
  QString text() const;
  void setText(const QString& text);

  FormLine* line_ = nullptr;
  QPlainTextEdit* lines_ = nullptr;
  QString shown_;
};

}  // namespace latchwright::desk

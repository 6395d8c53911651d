// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/text_editor.h"

#include <QEvent>
#include <QHBoxLayout>
#include <QPlainTextEdit>

#include "desk/field_words.h"
#include "desk/number_editor.h"

namespace latchwright::desk {

TextEditor::TextEditor(Document& document, const std::string& record, const model::FieldInfo& field,
                       const std::string& pointer, QWidget* parent)
    : FieldEditor(document, record, field, pointer, parent) {
  if (field.many_lines) {
    lines_ = new QPlainTextEdit(this);
    lines_->setTabChangesFocus(true);
    lines_->setFixedHeight(5 * fontMetrics().lineSpacing() + 2 * fontMetrics().descent());
    row()->insertWidget(0, lines_, 1);
    setMain(lines_);
    watch(lines_->viewport());
  } else {
    line_ = new FormLine(this);
    row()->insertWidget(0, line_, 1);
    setMain(line_);
    connect(line_, &QLineEdit::editingFinished, this, &TextEditor::commitPending);
  }
  TextEditor::refresh();
}

QString TextEditor::text() const { return line_ ? line_->text() : lines_->toPlainText(); }

void TextEditor::setText(const QString& text) {
  if (line_) {
    line_->setText(text);
    line_->setCursorPosition(0);
  } else {
    lines_->setPlainText(text);
  }
}

void TextEditor::refresh() {
  const Refused* bad = refused();
  const model::Raw* held = value();
  const std::string* said = bad ? (bad->value ? bad->value->text() : nullptr) : held ? held->text() : nullptr;
  const QString shown = said ? QString::fromStdString(*said) : QString();
  const bool typing = (line_ ? line_->hasFocus() : lines_->hasFocus()) && text() != shown_;
  if (!typing && shown != text()) setText(shown);
  shown_ = shown;
  setFault(bad ? reasonOf(bad->why) : QString());
}

void TextEditor::commitPending() {
  const QString typed = line_ ? line_->text().trimmed() : text();
  if (typed == shown_) {
    if (text() != shown_) setText(shown_);
    return;
  }
  shown_ = typed;
  if (text() != typed) setText(typed);
  if (typed.isEmpty() && !field().required) {
    put(std::nullopt);
  } else {
    put(model::Raw(typed.toStdString()));
  }
  refresh();
}

bool TextEditor::giveUp() {
  const bool typing = text() != shown_;
  if (typing) setText(shown_);
  if (!FieldEditor::giveUp()) return typing;
  refresh();
  return true;
}

bool TextEditor::eventFilter(QObject* watched, QEvent* event) {
  if (watched == lines_ && event->type() == QEvent::FocusOut) commitPending();
  // Many lines scroll by themselves.
  if (lines_ && watched == lines_->viewport() && event->type() == QEvent::Wheel && lines_->hasFocus())
    return false;
  return FieldEditor::eventFilter(watched, event);
}

}  // namespace latchwright::desk

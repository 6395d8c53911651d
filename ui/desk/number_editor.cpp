// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/number_editor.h"

#include <QHBoxLayout>
#include <QKeyEvent>

#include "desk/field_words.h"
#include "desk/number_entry.h"

namespace latchwright::desk {

bool FormLine::event(QEvent* event) {
  if (event->type() == QEvent::ShortcutOverride) {
    const auto* key = static_cast<QKeyEvent*>(event);
    if ((key->matches(QKeySequence::Undo) && !isUndoAvailable()) ||
        (key->matches(QKeySequence::Redo) && !isRedoAvailable())) {
      event->ignore();
      return true;
    }
  }
  return QLineEdit::event(event);
}

void FormLine::keyPressEvent(QKeyEvent* event) {
  if (event->key() == Qt::Key_Up || event->key() == Qt::Key_Down) {
    Q_EMIT stepRequested(event->key() == Qt::Key_Up);
    event->accept();
    return;
  }
  QLineEdit::keyPressEvent(event);
  // Else a dialog around the form would close.
  if (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter) event->accept();
}

NumberEditor::NumberEditor(Document& document, const std::string& record, const model::FieldInfo& field,
                           const std::string& pointer, bool needed, QWidget* parent)
    : FieldEditor(document, record, field, pointer, parent),
      needed_(needed || field.required),
      line_(new FormLine(this)),
      unit_(new QLabel(this)) {
  line_->setAlignment(Qt::AlignRight);
  row()->insertWidget(0, line_, 1);
  row()->insertWidget(1, unit_);
  setMain(line_);
  connect(line_, &QLineEdit::editingFinished, this, &NumberEditor::commitPending);
  connect(line_, &FormLine::stepRequested, this, &NumberEditor::step);
  connect(line_, &QLineEdit::textEdited, this, [this] { setNote({}); });
  NumberEditor::unitsChanged();
  NumberEditor::refresh();
}

void NumberEditor::unitsChanged() {
  unit_->setText(shownUnit().text);
  // The units stand in a column.
  unit_->setMinimumWidth(fontMetrics().horizontalAdvance(QStringLiteral("cycles")));
  if (needed_) return;
  line_->setPlaceholderText(field().fallback
                                ? tr("%1 (default)").arg(shown_number(*field().fallback, shownUnit()))
                            : meaning_of(field()).contains(QLatin1String("default")) ? tr("default")
                                                                                     : tr("not given"));
}

QString NumberEditor::textOf(const std::optional<model::Raw>& value) const {
  if (!value || value->is_null()) return {};
  if (const double* number = value->number()) return shown_number(*number, shownUnit());
  if (const std::string* text = value->text()) return QString::fromStdString(*text);
  return QString::fromStdString(value->shown());
}

QString NumberEditor::faultOf(const Refused& bad) const {
  if (!bad.value) return tr("a number is wanted (%1)").arg(shown_range(field(), units()));
  if (const double* number = bad.value->number()) {
    QString range = range_fault(*number, field(), units());
    if (!range.isEmpty()) return range;
  } else if (const std::string* text = bad.value->text()) {
    const QString why = read_typed(QString::fromStdString(*text), shownUnit().text).why;
    if (!why.isEmpty()) return tr("%1 (%2 wanted)").arg(why, shown_range(field(), units()));
  }
  return reasonOf(bad.why);
}

void NumberEditor::refresh() {
  const Refused* bad = refused();
  const model::Raw* held = value();
  showText(textOf(bad ? bad->value : held ? std::optional<model::Raw>(*held) : std::nullopt), true);
  setFault(bad ? faultOf(*bad) : QString());
}

void NumberEditor::showText(const QString& text, bool keep_typing) {
  const bool typing = line_->hasFocus() && line_->text() != shown_;
  const bool fresh = text != shown_;
  shown_ = text;
  if (keep_typing && typing) return;
  // Setting a text forgets what can be undone in the line, and where the cursor is.
  if (fresh || line_->text() != text) line_->setText(text);
}

void NumberEditor::commitPending() {
  const QString text = line_->text().trimmed();
  if (text == shown_) return;
  if (text.isEmpty()) {
    shown_ = text;
    put(std::nullopt);
    refresh();
    return;
  }
  const TypedNumber typed = read_typed(text, shownUnit().text);
  if (!typed.value) {
    shown_ = text;
    put(model::Raw(text.toStdString()));
    refresh();
    return;
  }
  const double number = file_number(*typed.value, shownUnit());
  // Another way to write what is shown already changes nothing: 0.866 in stays the file's 22 mm.
  const QString plain = short_number(*typed.value);
  if (refused() == nullptr && (plain == shown_ || shown_number(number, shownUnit()) == shown_)) {
    showText(shown_, false);
  } else {
    shown_ = shown_number(number, shownUnit());
    line_->setText(shown_);
    put(model::Raw(number));
  }
  refresh();
  if (typed.other_form) {
    setNote(tr("\"%1\" understood as %2").arg(text, (plain + QLatin1Char(' ') + shownUnit().text).trimmed()));
  }
}

bool NumberEditor::giveUp() {
  const bool typing = line_->text() != shown_;
  if (typing) line_->setText(shown_);
  const bool dropped = FieldEditor::giveUp();
  if (dropped) {
    refresh();
    showText(shown_, false);
  }
  if (typing || dropped) line_->selectAll();
  return typing || dropped;
}

void NumberEditor::step(bool up) {
  const QString text = line_->text().trimmed();
  const TypedNumber typed = read_typed(text, shownUnit().text);
  if (!typed.value && !text.isEmpty()) return;
  const double from = typed.value ? *typed.value : shownUnit().shown(field().fallback.value_or(field().low));
  const double next = stepped(from, up, field(), shownUnit());
  if (next == from && typed.value) return;
  const double number = file_number(next, shownUnit());
  shown_ = shown_number(number, shownUnit());
  line_->setText(shown_);
  put(model::Raw(number), true);
  refresh();
}

}  // namespace latchwright::desk

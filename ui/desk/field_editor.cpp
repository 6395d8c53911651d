// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/field_editor.h"

#include <QHBoxLayout>
#include <QKeyEvent>
#include <QPainter>
#include <QStyle>
#include <QVBoxLayout>

#include "desk/field_words.h"
#include "desk/number_entry.h"
#include "model/tree_edit.h"

namespace latchwright::desk {

namespace {
constexpr int frame_width = 2;
}

QColor fault_colour(const QPalette& palette) {
  const bool dark = palette.color(QPalette::Window).lightness() < 128;
  return dark ? QColor(0xff, 0x8a, 0x80) : QColor(0xb0, 0x00, 0x20);
}

FieldEditor::FieldEditor(Document& document, std::string record, const model::FieldInfo& field,
                         std::string pointer, QWidget* parent)
    : QWidget(parent),
      document_(document),
      record_(std::move(record)),
      field_(field),
      pointer_(std::move(pointer)) {
  setObjectName(QString::fromStdString(pointer_));
  auto* column = new QVBoxLayout(this);
  column->setContentsMargins(frame_width, frame_width, frame_width, frame_width);
  column->setSpacing(2);
  row_ = new QHBoxLayout;
  row_->setSpacing(4);
  column->addLayout(row_);
  sign_ = new QLabel(this);
  const int size = fontMetrics().height();
  sign_->setPixmap(style()->standardIcon(QStyle::SP_MessageBoxWarning).pixmap(size, size));
  beneath_row_ = new QWidget(this);
  auto* line = new QHBoxLayout(beneath_row_);
  line->setContentsMargins(0, 0, 0, 0);
  line->setSpacing(4);
  line->addWidget(sign_, 0, Qt::AlignTop);
  beneath_ = new QLabel(beneath_row_);
  beneath_->setObjectName(QStringLiteral("beneath"));
  beneath_->setWordWrap(true);
  beneath_->setTextFormat(Qt::PlainText);
  beneath_->setTextInteractionFlags(Qt::TextSelectableByMouse);
  line->addWidget(beneath_, 1);
  beneath_row_->hide();
  column->addWidget(beneath_row_);
}

QString FieldEditor::label() const { return field_label(record_, field_); }

QString FieldEditor::help() const {
  QString text = tr("%1: %2.").arg(label(), meaning_of(field_));
  using model::FieldKind;
  const bool number = field_.kind == FieldKind::number || field_.kind == FieldKind::whole ||
                      field_.kind == FieldKind::number_list || field_.kind == FieldKind::gate_list;
  if (number) text += QLatin1Char(' ') + tr("Permitted: %1.").arg(shown_range(field_, units_));
  if (number && field_.fallback && field_.kind != FieldKind::number_list) {
    text += QLatin1Char(' ') + tr("Empty: %1, the default.").arg(shown_number(*field_.fallback, shownUnit()));
  }
  if (field_.kind == FieldKind::text) {
    text += QLatin1Char(' ') + tr("At most %1 characters.").arg(static_cast<int>(field_.high));
  }
  return text + QLatin1Char(' ') + tr("In the file: %1.").arg(QString::fromStdString(field_.key));
}

void FieldEditor::setUnits(units::UnitSystem units) {
  units_ = units;
  if (main_ != nullptr) setMain(main_);
  unitsChanged();
  refresh();
}

bool FieldEditor::giveUp() {
  if (refused() == nullptr) return false;
  document_.dropRefused(pointer_);
  return true;
}

const model::Raw* FieldEditor::value() const { return model::value_at(document_.tree(), pointer_); }

const Refused* FieldEditor::refused() const {
  const auto found = document_.refused().find(pointer_);
  return found == document_.refused().end() ? nullptr : &found->second;
}

QString FieldEditor::reasonOf(const std::string& why) const {
  return in_words(document_.tree(), why, pointer_.substr(0, pointer_.rfind('/')));
}

units::ShownUnit FieldEditor::shownUnit() const { return units::shown_unit(field_.unit, units_); }

void FieldEditor::setMain(QWidget* main) {
  const bool first = main_ == nullptr;
  main_ = main;
  main->setToolTip(help());
  const QString unit = shownUnit().text;
  main->setAccessibleName(unit.isEmpty() ? label() : tr("%1 in %2").arg(label(), unit));
  main->setAccessibleDescription(fault_text_.isEmpty() ? help() : tr("Not taken: %1").arg(fault_text_));
  setFocusProxy(main);
  if (first) watch(main);
}

void FieldEditor::watch(QWidget* part) { part->installEventFilter(this); }

void FieldEditor::put(std::optional<model::Raw> value, bool merge) {
  const QString what = place_label(document_.tree(), pointer_);
  setNote({});
  if (make_edits_) {
    const std::vector<Edit> edits = make_edits_(value);
    if (!edits.empty()) document_.edit(edits, what, merge);
  } else {
    document_.edit({{pointer_, std::move(value)}}, what, merge);
  }
}

void FieldEditor::setFault(const QString& reason) {
  if (reason == fault_text_) return;
  fault_text_ = reason;
  if (main_ != nullptr) setMain(main_);
  showBeneath();
  update();
}

void FieldEditor::setNote(const QString& note) {
  if (note == note_) return;
  note_ = note;
  showBeneath();
}

void FieldEditor::showBeneath() {
  const bool fault = !fault_text_.isEmpty();
  beneath_->setText(fault ? fault_text_ : note_);
  sign_->setVisible(fault);
  beneath_row_->setVisible(fault || !note_.isEmpty());
  colourBeneath();
}

void FieldEditor::colourBeneath() {
  QPalette colours = palette();
  if (!fault_text_.isEmpty()) colours.setColor(QPalette::WindowText, fault_colour(palette()));
  beneath_->setPalette(colours);
}

bool FieldEditor::eventFilter(QObject* watched, QEvent* event) {
  if (event->type() == QEvent::FocusIn) {
    askForHelp();
  } else if (event->type() == QEvent::Wheel) {
    // A wheel scrolls the pane that the fields are in; it never turns a number or a choice on the way.
    event->ignore();
    return true;
  } else if (event->type() == QEvent::ShortcutOverride) {
    // A window or dialog that knows Escape itself must not take it from a text that is to be given up.
    const auto* key = static_cast<QKeyEvent*>(event);
    if (key->key() == Qt::Key_Escape && refused() != nullptr) {
      event->accept();
      return true;
    }
  } else if (event->type() == QEvent::KeyPress) {
    const auto* key = static_cast<QKeyEvent*>(event);
    if (key->key() == Qt::Key_Escape && key->modifiers() == Qt::NoModifier && giveUp()) return true;
  }
  return QWidget::eventFilter(watched, event);
}

void FieldEditor::paintEvent(QPaintEvent* event) {
  QWidget::paintEvent(event);
  if (fault_text_.isEmpty() || main_ == nullptr) return;
  QPainter painter(this);
  painter.setPen(QPen(fault_colour(palette()), frame_width));
  constexpr int out = frame_width / 2;
  const QPoint corner = main_->mapTo(this, QPoint(0, 0));
  painter.drawRect(QRect(corner, main_->size()).adjusted(-out, -out, out, out));
}

void FieldEditor::changeEvent(QEvent* event) {
  QWidget::changeEvent(event);
  if (event->type() == QEvent::PaletteChange && beneath_ != nullptr) colourBeneath();
}

}  // namespace latchwright::desk

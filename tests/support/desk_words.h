// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QAbstractButton>
#include <QComboBox>
#include <QLabel>
#include <QLineEdit>
#include <QTableWidget>
#include <QTextDocument>
#include <QWidget>

namespace latchwright {

/// Everything that a widget and those in it say: texts, accessible names and descriptions, cells of tables. One line
/// each, markup taken away.
inline QString shown_words(const QWidget& widget) {
  QStringList words;
  const auto add = [&](const QString& text) {
    if (text.isEmpty()) return;
    QTextDocument plain;
    Qt::mightBeRichText(text) ? plain.setHtml(text) : plain.setPlainText(text);
    words << plain.toPlainText();
  };
  const auto look = [&](const QWidget& each) {
    add(each.accessibleName());
    add(each.accessibleDescription());
    if (const auto* label = qobject_cast<const QLabel*>(&each)) add(label->text());
    if (const auto* button = qobject_cast<const QAbstractButton*>(&each)) add(button->text());
    if (const auto* line = qobject_cast<const QLineEdit*>(&each)) add(line->text());
    if (const auto* box = qobject_cast<const QComboBox*>(&each)) add(box->currentText());
    if (const auto* table = qobject_cast<const QTableWidget*>(&each)) {
      for (int row = 0; row < table->rowCount(); ++row) {
        for (int column = 0; column < table->columnCount(); ++column) {
          if (const auto* item = table->item(row, column)) add(item->text());
        }
      }
    }
  };
  look(widget);
  for (const auto* child : widget.findChildren<QWidget*>()) look(*child);
  return words.join(QLatin1Char('\n'));
}

}  // namespace latchwright

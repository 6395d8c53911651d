// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/part_view.h"

#include <QVBoxLayout>
#include <algorithm>

#include "base/text.h"
#include "desk/field_words.h"
#include "desk/flat_table.h"
#include "desk/part_figures.h"
#include "desk/record_form.h"

namespace latchwright::desk {

namespace {

bool is_wanted(const std::string& pointer, const std::vector<std::string>& prefixes) {
  return prefixes.empty() || std::any_of(prefixes.begin(), prefixes.end(), [&](const std::string& prefix) {
           return pointer == prefix || pointer.starts_with(prefix + "/");
         });
}

QLabel* make_text(QWidget* parent) {
  auto* text = new QLabel(parent);
  text->setWordWrap(true);
  text->setTextFormat(Qt::PlainText);
  text->setTextInteractionFlags(Qt::TextSelectableByMouse);
  return text;
}

/// The note without the sentence that stands above it already.
QString note_text(const model::Source& source) {
  QString note = QString::fromStdString(source.note);
  for (const char* said : {"Example part: measure yours before promising this.", "Example part."}) {
    if (note.startsWith(QLatin1String(said)))
      note = note.mid(static_cast<qsizetype>(std::string_view(said).size()));
  }
  return note.trimmed();
}

QString tip_of(const QString& meaning, const QString& origin) {
  return QStringLiteral("<p>%1</p><p>%2</p>").arg(meaning.toHtmlEscaped(), origin.toHtmlEscaped());
}

std::string record_of(const PartFigure& figure) {
  return figure.pointer.substr(0, figure.pointer.rfind('/'));
}

}  // namespace

PartView::PartView(QWidget* parent)
    : QWidget(parent),
      title_(make_heading({}, this)),
      caution_(make_text(this)),
      figures_(new FlatTable({tr("figure"), tr("value"), tr("unit"), tr("origin")}, this)),
      lists_(new QWidget(this)),
      note_(make_text(this)) {
  figures_->setAccessibleName(tr("figures of the part"));
  title_->setTextInteractionFlags(Qt::TextSelectableByMouse);
  auto* column = new QVBoxLayout(this);
  column->setContentsMargins(0, fontMetrics().height() / 2, 0, 0);
  column->setSpacing(4);
  for (QWidget* each : {static_cast<QWidget*>(title_), static_cast<QWidget*>(caution_),
                        static_cast<QWidget*>(figures_), lists_, static_cast<QWidget*>(note_)}) {
    column->addWidget(each);
  }
}

void PartView::showLists(const std::vector<PartFigure>& lists, const QString& tip_end) {
  delete lists_->layout();
  for (QObject* each : lists_->findChildren<QWidget*>(QString(), Qt::FindDirectChildrenOnly)) delete each;
  auto* column = new QVBoxLayout(lists_);
  column->setContentsMargins(0, 0, 0, 0);
  for (std::size_t begin = 0; begin < lists.size();) {
    std::size_t end = begin;
    QStringList heads;
    qsizetype rows = 0;
    for (; end < lists.size() && record_of(lists[end]) == record_of(lists[begin]); ++end) {
      heads.append(lists[end].unit.isEmpty() ? lists[end].name
                                             : tr("%1, %2").arg(lists[end].name, lists[end].unit));
      rows = std::max(rows, lists[end].items.size());
    }
    auto* table = new FlatTable(heads, lists_);
    table->setAccessibleName(heads.join(QStringLiteral("; ")));
    for (qsizetype row = 0; row < rows; ++row) {
      QStringList cells;
      for (std::size_t k = begin; k < end; ++k) cells.append(lists[k].items.value(row));
      table->setRow(static_cast<int>(row), cells, tip_of(lists[begin].meaning, tip_end));
    }
    for (std::size_t k = begin; k < end; ++k) {
      table->horizontalHeaderItem(static_cast<int>(k - begin))->setToolTip(lists[k].meaning);
    }
    table->fit();
    column->addWidget(table);
    begin = end;
  }
  lists_->setVisible(!lists.empty());
}

void PartView::setPart(const model::PartPtr& part, const std::vector<std::string>& prefixes,
                       units::UnitSystem units) {
  setVisible(part != nullptr);
  const bool same = part == part_ && prefixes == prefixes_ && units == units_;
  if (!part || same) return;
  part_ = part;
  prefixes_ = prefixes;
  units_ = units;
  title_->setText(tr("%1 (%2)").arg(QString::fromStdString(part->title), QString::fromStdString(part->id)));
  caution_->setText(origin_line(part->source));
  const QString origin = origin_word(part->source);
  const QString note = note_text(part->source);
  constexpr qsizetype most_shown = 600;
  const QString origin_tip = tr("%1: %2").arg(origin, note.left(most_shown));
  figures_->setRowCount(0);
  std::vector<PartFigure> lists;
  int row = 0;
  for (const PartFigure& figure : part_figures(*part, units)) {
    if (!is_wanted(figure.pointer, prefixes)) continue;
    if (!figure.items.isEmpty()) {
      lists.push_back(figure);
      continue;
    }
    const QString value =
        figure.tolerance.isEmpty() ? figure.value : tr("%1 %2").arg(figure.value, figure.tolerance);
    figures_->setRow(row++, {figure.name, value, figure.unit, origin}, tip_of(figure.meaning, origin_tip));
  }
  figures_->setVisible(row > 0);
  figures_->fit();
  showLists(lists, origin_tip);
  note_->setText(note.isEmpty() ? QString() : tr("Where the figures come from: %1").arg(note));
  note_->setVisible(!note.isEmpty());
}

}  // namespace latchwright::desk

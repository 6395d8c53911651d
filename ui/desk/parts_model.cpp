// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/parts_model.h"

#include <QFileInfo>
#include <algorithm>

#include "base/text.h"
#include "desk/choice_editor.h"
#include "desk/field_words.h"
#include "desk/part_figures.h"
#include "io/builtin_parts.h"

namespace latchwright::desk {

PartsModel::PartsModel(const Document& document, units::UnitSystem units, QObject* parent)
    : QAbstractTableModel(parent), document_(document), units_(units) {
  reload();
}

void PartsModel::reload() {
  beginResetModel();
  rows_.clear();
  // The job's own parts are the layer over those of the document's catalogue.
  const std::size_t own_layer = document_.catalogue().layers().size();
  const std::size_t built_in = io::builtin_part_files().size();
  for (const auto* entry : parts_of(document_).entries()) {
    Row row;
    row.part = entry->part;
    row.own = document_.study() != nullptr && entry->layer >= own_layer;
    row.path = QString::fromStdString(entry->file);
    row.file = row.own                   ? tr("this job")
               : entry->layer < built_in ? tr("built-in")
                                         : QFileInfo(row.path).fileName();
    fillTexts(row);
    rows_.push_back(std::move(row));
  }
  endResetModel();
}

void PartsModel::fillTexts(Row& row) const {
  const model::Part& part = *row.part;
  row.texts = {QString::fromStdString(part.id),
               kind_label(kind_of(part)),
               QString::fromStdString(base::printable(part.title, 200)),
               key_figures(part, units_),
               origin_word(part.source),
               row.file};
}

void PartsModel::setUnits(units::UnitSystem units) {
  units_ = units;
  for (Row& row : rows_) fillTexts(row);
  if (!rows_.empty()) Q_EMIT dataChanged(index(0, 0), index(rowCount() - 1, column_count - 1));
}

int PartsModel::rowCount(const QModelIndex& parent) const {
  return parent.isValid() ? 0 : static_cast<int>(rows_.size());
}

int PartsModel::columnCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : column_count; }

QVariant PartsModel::data(const QModelIndex& index, int role) const {
  if (!index.isValid()) return {};
  const Row& row = rows_[static_cast<std::size_t>(index.row())];
  if (role == Qt::DisplayRole) return row.texts[index.column()];
  if (role != Qt::ToolTipRole) return {};
  if (index.column() == file) return row.path;
  if (index.column() == origin) {
    const QString text = QString::fromStdString(row.part->source.note).left(600);
    return QStringLiteral("<p>%1 %2</p>")
        .arg(origin_line(row.part->source).toHtmlEscaped(), text.toHtmlEscaped());
  }
  return row.texts[index.column()];
}

QVariant PartsModel::headerData(int section, Qt::Orientation orientation, int role) const {
  if (orientation != Qt::Horizontal || role != Qt::DisplayRole) return {};
  const QString heads[] = {tr("id"), tr("kind"), tr("title"), tr("figures"), tr("origin"), tr("file")};
  return section >= 0 && section < column_count ? QVariant(heads[section]) : QVariant();
}

PartsFilter::PartsFilter(PartsModel& parts, QObject* parent) : QSortFilterProxyModel(parent), parts_(parts) {
  setSourceModel(&parts);
  setSortCaseSensitivity(Qt::CaseInsensitive);
  setDynamicSortFilter(true);
}

void PartsFilter::setKind(const QString& kind) {
  kind_ = kind;
  invalidateFilter();
}

void PartsFilter::setWords(const QString& words) {
  words_ = words.split(QLatin1Char(' '), Qt::SkipEmptyParts);
  invalidateFilter();
}

bool PartsFilter::filterAcceptsRow(int row, const QModelIndex& parent) const {
  if (!kind_.isEmpty() && kind_ != QLatin1String(kind_of(*parts_.partAt(row)))) return false;
  return std::all_of(words_.begin(), words_.end(), [&](const QString& word) {
    for (const int column : {PartsModel::id, PartsModel::title, PartsModel::figures}) {
      const QString text = parts_.index(row, column, parent).data().toString();
      if (text.contains(word, Qt::CaseInsensitive)) return true;
    }
    return false;
  });
}

bool PartsFilter::lessThan(const QModelIndex& left, const QModelIndex& right) const {
  if (left.column() == PartsModel::figures) {
    const model::Part& a = *parts_.partAt(left.row());
    const model::Part& b = *parts_.partAt(right.row());
    if (a.body.index() != b.body.index()) return a.body.index() < b.body.index();
    const double first = principal_number(a), second = principal_number(b);
    if (first != second) return first < second;
    return a.id < b.id;
  }
  return QSortFilterProxyModel::lessThan(left, right);
}

}  // namespace latchwright::desk

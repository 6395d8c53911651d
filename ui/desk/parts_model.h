// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QAbstractTableModel>
#include <QSortFilterProxyModel>
#include <QStringList>
#include <vector>

#include "desk/document.h"
#include "units/shown_unit.h"

namespace latchwright::desk {

/// All parts that the document's job can take: id, kind, title, key figures, origin, file.
class PartsModel : public QAbstractTableModel {
  Q_OBJECT

 public:
  enum Column { id, kind, title, figures, origin, file, column_count };

  PartsModel(const Document& document, units::UnitSystem units, QObject* parent);
  /// Reads the catalogue again.
  void reload();
  void setUnits(units::UnitSystem units);
  const model::PartPtr& partAt(int row) const { return rows_[static_cast<std::size_t>(row)].part; }
  /// It travels with the job.
  bool isOwn(int row) const { return rows_[static_cast<std::size_t>(row)].own; }

  int rowCount(const QModelIndex& parent = {}) const override;
  int columnCount(const QModelIndex& parent = {}) const override;
  QVariant data(const QModelIndex& index, int role) const override;
  QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

 private:
  struct Row {
    model::PartPtr part;
    QString file;
    QString path;
    bool own = false;
    QStringList texts;
  };
  void fillTexts(Row& row) const;

  const Document& document_;
  units::UnitSystem units_;
  std::vector<Row> rows_;
};

/// Rows of one kind that hold every word in id, title or figures. Figures sort by kind, then by number.
class PartsFilter : public QSortFilterProxyModel {
  Q_OBJECT

 public:
  explicit PartsFilter(PartsModel& parts, QObject* parent);
  /// Empty: all kinds.
  void setKind(const QString& kind);
  void setWords(const QString& words);

 protected:
  bool filterAcceptsRow(int row, const QModelIndex& parent) const override;
  bool lessThan(const QModelIndex& left, const QModelIndex& right) const override;

 private:
  PartsModel& parts_;
  QString kind_;
  QStringList words_;
};

}  // namespace latchwright::desk

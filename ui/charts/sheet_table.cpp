// SPDX-License-Identifier: GPL-3.0-or-later
#include <QFontMetricsF>
#include <QPen>
#include <algorithm>
#include <numeric>

#include "charts/sheet_pieces.h"

// Tables of a job sheet: how wide columns are, a piece a row.
namespace latchwright::charts {

namespace {

constexpr double table_pt = 8.2;
constexpr double cell_pad_mm = 1.2, box_width_mm = 19, box_height_mm = 8.5;

struct TableColumn {
  QString title;
  bool right = false;
  bool box = false;
  double least = 0;    ///< longest word
  double natural = 0;  ///< on one line
  double width = 0;
};

double longest_word(const QString& text, const QFontMetricsF& metrics) {
  double longest = 0;
  for (const QString& word : text.split(QLatin1Char(' ')))
    longest = std::max(longest, metrics.horizontalAdvance(word));
  return longest;
}

std::vector<TableColumn> table_columns(const report::SheetTable& table) {
  const QFontMetricsF plain(sheet_font(table_pt)), bold(sheet_font(table_pt, true));
  const double pad = 2 * sheet_mm(cell_pad_mm) + 2;  // dots to spare against rounding
  std::vector<TableColumn> laid_out;
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    TableColumn column{QString::fromStdString(table.columns[c].title), table.columns[c].right};
    column.least = longest_word(column.title, bold) + pad;
    column.natural = bold.horizontalAdvance(column.title) + pad;
    for (const auto& row : table.rows) {
      const QString cell = QString::fromStdString(row[c]);
      const double whole = plain.horizontalAdvance(cell) + pad;
      // A figure stays with its unit.
      column.least = std::max(column.least, column.right ? whole : longest_word(cell, plain) + pad);
      column.natural = std::max(column.natural, whole);
    }
    laid_out.push_back(std::move(column));
  }
  for (const auto& title : table.boxes) {
    TableColumn column{QString::fromStdString(title), false, true};
    column.least = std::max(sheet_mm(box_width_mm), longest_word(column.title, bold) + pad);
    column.natural = column.least;
    laid_out.push_back(std::move(column));
  }
  return laid_out;
}

/// Shares a width out: every column its least, the rest by how much more each could use.
void share_width(std::vector<TableColumn>& laid_out, double width) {
  const auto sum = [&](double TableColumn::*what) {
    return std::accumulate(laid_out.begin(), laid_out.end(), 0.0,
                           [&](double s, const auto& c) { return s + c.*what; });
  };
  const double least = sum(&TableColumn::least), natural = sum(&TableColumn::natural);
  for (auto& column : laid_out) {
    if (least >= width) {
      column.width = column.least * width / least;
    } else if (natural <= width) {
      column.width = column.natural * width / natural;
    } else {
      column.width = column.least + (column.natural - column.least) * (width - least) / (natural - least);
    }
  }
}

/// Cells beside each other, as a piece.
PagePiece table_row(const std::vector<TableColumn>& laid_out, const std::vector<QString>& cells, bool head) {
  const double pad = sheet_mm(cell_pad_mm), pad_above = sheet_mm(0.7);
  const QFont font = sheet_font(table_pt, head);
  std::vector<SheetWords> words;
  double height = 0;
  for (std::size_t c = 0; c < laid_out.size(); ++c) {
    const bool right = laid_out[c].right;
    words.emplace_back(c < cells.size() ? cells[c] : QString(), font, laid_out[c].width - 2 * pad,
                       right ? Qt::AlignRight : Qt::AlignLeft);
    height = std::max(height, words.back().height() + 2 * pad_above);
    if (laid_out[c].box && !head) height = std::max(height, sheet_mm(box_height_mm));
  }
  PagePiece piece;
  piece.height = height;
  piece.paint = [words = std::move(words), laid_out, head, pad, pad_above, height](QPainter& painter,
                                                                                   double x, double y) {
    double left = x;
    for (std::size_t c = 0; c < laid_out.size(); ++c) {
      const QRectF cell(left, y, laid_out[c].width, height);
      if (head) painter.fillRect(cell, QColor(0xea, 0xea, 0xea));
      const bool box = laid_out[c].box && !head;
      QPen pen(box ? QColor(Qt::black) : QColor(0x88, 0x88, 0x88));
      pen.setWidthF(sheet_mm(box ? 0.35 : 0.15));
      painter.setPen(pen);
      painter.setBrush(Qt::NoBrush);
      painter.drawRect(cell);
      painter.setPen(Qt::black);
      words[c].paint(painter, left + pad, y + pad_above);
      left += laid_out[c].width;
    }
  };
  return piece;
}

}  // namespace

void SheetComposer::operator()(const report::SheetTable& table) {
  std::vector<TableColumn> laid_out = table_columns(table);
  share_width(laid_out, width_);
  if (!table.title.empty()) {
    addLines(SheetWords(QString::fromStdString(table.title), sheet_font(9, true), width_), 0, sheet_mm(4), {},
             {}, true);
  }
  std::vector<QString> titles;
  for (const auto& column : laid_out) titles.push_back(column.title);
  PagePiece head = table_row(laid_out, titles, true);
  head.gap = sheet_mm(1);
  head.with_next = true;
  add(std::move(head));
  const std::size_t head_place = pieces_.size();  // 1 + its index
  for (const auto& row : table.rows) {
    std::vector<QString> cells;
    for (const auto& cell : row) cells.push_back(QString::fromStdString(cell));
    PagePiece piece = table_row(laid_out, cells, false);
    piece.head = head_place;
    add(std::move(piece));
  }
}

}  // namespace latchwright::charts

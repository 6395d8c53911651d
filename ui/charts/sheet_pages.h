// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QByteArray>
#include <QPainter>
#include <QSizeF>
#include <QString>
#include <functional>
#include <vector>

#include "report/job_sheet.h"

namespace latchwright::charts {

/// A stretch of a page that is never split: a line of text, a row of a table, a box, a picture.
struct PagePiece {
  double height = 0;
  double gap = 0;          ///< above it, but for the first of a page
  bool with_next = false;  ///< does not end a page
  bool begins_page = false;
  int section = 0;
  std::size_t head =
      0;  ///< 1 + index of the table's head, repeated where a page begins with this row; 0: none
  std::function<void(QPainter&, double x, double y)> paint;
};

/// The pages of a job sheet for one paper. Lengths are in dots of 300 to the inch. Needs a QApplication
/// (offscreen will do).
class SheetPages {
 public:
  SheetPages(const report::JobSheet& sheet, report::Paper paper);
  static constexpr int dots_per_inch = 300;

  int count() const { return static_cast<int>(pages_.size()); }
  QSizeF size() const { return size_; }
  /// Draws one page, from 0, with its corner at the painter's origin.
  void paint(QPainter& painter, int page) const;

 private:
  struct Placed {
    std::size_t piece;
    double y;
  };
  struct PageOfSheet {
    int section = 0;
    std::vector<Placed> pieces;
  };
  void place();

  QSizeF size_;
  QString title_, stop_, origin_;
  std::vector<QString> section_titles_;
  std::vector<PagePiece> pieces_;
  std::vector<PageOfSheet> pages_;
};

/// The pages as a PDF; the same sheet gives the same bytes.
QByteArray draw_sheet_pdf(const report::JobSheet& sheet, report::Paper paper);

}  // namespace latchwright::charts

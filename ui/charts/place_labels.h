// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QList>
#include <QPointF>
#include <QRectF>
#include <QSizeF>
#include <optional>
#include <vector>

// Finds room for the words beside marks.
namespace latchwright::charts {

/// Which parts of an area lines run through, in small cells.
class Traffic {
 public:
  explicit Traffic(const QRectF& area);
  void add(const QList<QPointF>& line);
  /// Cells of the rectangle that a line runs through.
  int in(const QRectF& rect) const;

 private:
  QRectF area_;
  int columns_, rows_;
  std::vector<char> taken_;
};

struct Label {
  QPointF mark;  ///< middle of what it belongs to
  QSizeF size;
};

struct Placed {
  QRectF rect;
  bool apart = false;  ///< so far from its mark that a thin line should join them
};

/// A place for each label inside the area where it covers no other label, no mark and no thin line of another
/// label, on as few lines as possible and as near as possible; none where there is no such place. Labels are
/// placed in order.
std::vector<std::optional<Placed>> place_labels(const QRectF& area, const std::vector<Label>& labels,
                                                const std::vector<QPointF>& marks, double mark_size,
                                                const Traffic& traffic);

}  // namespace latchwright::charts

// SPDX-License-Identifier: GPL-3.0-or-later
#include "charts/place_labels.h"

#include <QLineF>
#include <algorithm>
#include <cmath>

namespace latchwright::charts {

namespace {

constexpr double cell = 4;  // pixels

struct Candidate {
  QRectF rect;
  bool apart;
  double distance;
};

/// The rectangle whose nearest point to the mark lies in that direction at that distance.
QRectF rect_at(const Label& label, double direction, double distance) {
  const double x = std::cos(direction), y = -std::sin(direction);
  const double w = label.size.width(), h = label.size.height();
  // Sideways from the mark the label begins there; above and below it is centred.
  const double left = label.mark.x() + distance * x + (x - 1) / 2 * w;
  const double top = label.mark.y() + distance * y + (y - 1) / 2 * h;
  return {left, top, w, h};
}

std::vector<Candidate> candidates(const Label& label, double mark_size) {
  std::vector<Candidate> found;
  const double close = mark_size / 2 + 3;
  // Right first, as people read; then left, above, below, and between.
  for (const double quarter : {0.0, 2.0, 1.0, 3.0, 0.5, 1.5, 3.5, 2.5}) {
    found.push_back({rect_at(label, quarter * M_PI / 2, close), false, close});
  }
  for (double distance = close + 14; distance < 180; distance *= 1.3) {
    for (int k = 0; k < 24; ++k) {
      found.push_back({rect_at(label, k * M_PI / 12, distance), true, distance});
    }
  }
  return found;
}

/// The thin line from a mark to its label.
QLineF leader(const QPointF& mark, const QRectF& rect) {
  return {mark, QPointF(std::clamp(mark.x(), rect.left(), rect.right()),
                        std::clamp(mark.y(), rect.top(), rect.bottom()))};
}

bool crosses(const QLineF& line, const QRectF& rect) {
  if (rect.contains(line.p1()) || rect.contains(line.p2())) return true;
  for (const QLineF& side :
       {QLineF(rect.topLeft(), rect.bottomRight()), QLineF(rect.topRight(), rect.bottomLeft())}) {
    if (line.intersects(side) == QLineF::BoundedIntersection) return true;
  }
  return false;
}

}  // namespace

Traffic::Traffic(const QRectF& area)
    : area_(area),
      columns_(std::max(1, static_cast<int>(std::ceil(area.width() / cell)))),
      rows_(std::max(1, static_cast<int>(std::ceil(area.height() / cell)))),
      taken_(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_)) {}

void Traffic::add(const QList<QPointF>& line) {
  for (qsizetype k = 0; k + 1 < line.size(); ++k) {
    const QPointF from = line[k], way = line[k + 1] - line[k];
    const int steps =
        std::clamp(static_cast<int>(std::max(std::abs(way.x()), std::abs(way.y())) / (cell / 2)), 1, 10000);
    for (int step = 0; step <= steps; ++step) {
      const QPointF at = (from + way * step / steps - area_.topLeft()) / cell;
      const int column = static_cast<int>(std::floor(at.x())), row = static_cast<int>(std::floor(at.y()));
      if (column < 0 || row < 0 || column >= columns_ || row >= rows_) continue;
      taken_[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) +
             static_cast<std::size_t>(column)] = 1;
    }
  }
}

int Traffic::in(const QRectF& rect) const {
  const auto place = [](double from, double start, int most) {
    return std::clamp(static_cast<int>((from - start) / cell), 0, most - 1);
  };
  const int left = place(rect.left(), area_.left(), columns_),
            right = place(rect.right(), area_.left(), columns_);
  const int top = place(rect.top(), area_.top(), rows_), bottom = place(rect.bottom(), area_.top(), rows_);
  int count = 0;
  for (int row = top; row <= bottom; ++row) {
    const auto first = taken_.begin() + static_cast<std::ptrdiff_t>(row) * columns_;
    count += static_cast<int>(std::count(first + left, first + right + 1, 1));
  }
  return count;
}

std::vector<std::optional<Placed>> place_labels(const QRectF& area, const std::vector<Label>& labels,
                                                const std::vector<QPointF>& marks, double mark_size,
                                                const Traffic& traffic) {
  std::vector<std::optional<Placed>> placed;
  std::vector<QRectF> taken;
  std::vector<QRectF> words;
  std::vector<QLineF> leaders;
  const QPointF half(mark_size / 2, mark_size / 2);
  for (const auto& mark : marks) taken.push_back(QRectF(mark - half, mark + half));
  for (const auto& label : labels) {
    std::optional<Placed> best;
    double best_cost = 0;
    for (const auto& candidate : candidates(label, mark_size)) {
      const double cost = 4.0 * traffic.in(candidate.rect) + candidate.distance + (candidate.apart ? 25 : 0);
      if (best && cost >= best_cost) continue;
      if (!area.contains(candidate.rect)) continue;
      const bool covers = std::any_of(taken.begin(), taken.end(),
                                      [&](const QRectF& other) { return other.intersects(candidate.rect); });
      if (covers) continue;
      const QLineF own = leader(label.mark, candidate.rect);
      const bool tangled =
          std::any_of(leaders.begin(), leaders.end(),
                      [&](const QLineF& other) { return crosses(other, candidate.rect); }) ||
          (candidate.apart &&
           std::any_of(words.begin(), words.end(), [&](const QRectF& other) { return crosses(own, other); }));
      if (tangled) continue;
      best = Placed{candidate.rect, candidate.apart};
      best_cost = cost;
    }
    if (best) {
      taken.push_back(best->rect.adjusted(-2, -1, 2, 1));
      words.push_back(taken.back());
      if (best->apart) leaders.push_back(leader(label.mark, best->rect));
    }
    placed.push_back(best);
  }
  return placed;
}

}  // namespace latchwright::charts

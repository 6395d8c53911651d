// SPDX-License-Identifier: GPL-3.0-or-later
#include "reference/cvode/rod.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace latchwright::tests::cvode {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double never = std::numeric_limits<double>::infinity();

/// Force over the rod's travel short of the stop's part.
struct TravelPiece {
  double begin, end;     // m
  double offset, slope;  // N at begin, N/m
  double swing = 0;      // N
};

void add_line(std::vector<TravelPiece>& out, double begin, double end, double offset, double slope) {
  if (end <= begin) return;
  const double zero = slope != 0 ? begin - offset / slope : never;
  if (zero > begin && zero < end) {
    out.push_back({begin, zero, offset, slope});
    out.push_back({zero, end, 0, slope});
  } else {
    out.push_back({begin, end, offset, slope});
  }
}

std::vector<TravelPiece> table_pieces(const model::RodForce& force, double stroke, double factor) {
  std::vector<TravelPiece> out;
  for (std::size_t k = 0; k + 1 < force.x.size(); ++k) {
    const double x0 = force.x[k], x1 = force.x[k + 1];
    const double slope = factor * (force.force[k + 1] - force.force[k]) / (x1 - x0);
    const double offset = factor * force.force[k];
    if (x0 < stroke && stroke < x1) {
      add_line(out, x0, stroke, offset, slope);
      add_line(out, stroke, x1, offset + slope * (stroke - x0), slope);
    } else {
      add_line(out, x0, x1, offset, slope);
    }
  }
  const double end = force.x.back();
  if (end < stroke) add_line(out, end, stroke, factor * force.force.back(), 0);
  add_line(out, std::max(end, stroke), never, factor * force.force.back(), 0);
  return out;
}

std::vector<TravelPiece> sine_pieces(const model::RodForce& force, double stroke, double factor) {
  const double middle = factor * force.friction, swing = factor * (force.peak - force.friction);
  std::vector<double> marks{0, stroke};
  if (middle < swing) {  // crosses zero in its second half
    const double angle = std::asin(middle / swing);
    marks.push_back(stroke * (pi + angle) / (2 * pi));
    marks.push_back(stroke * (2 * pi - angle) / (2 * pi));
  }
  std::sort(marks.begin(), marks.end());
  std::vector<TravelPiece> out;
  for (std::size_t k = 0; k + 1 < marks.size(); ++k) {
    if (marks[k + 1] > marks[k]) out.push_back({marks[k], marks[k + 1], middle, 0, swing});
  }
  out.push_back({stroke, never, middle, 0});
  return out;
}

std::vector<TravelPiece> travel_pieces(const model::RodForce& force, double stroke, double factor) {
  switch (force.shape) {
    case model::RodShape::table:
      return table_pieces(force, stroke, factor);
    case model::RodShape::over_centre:
      return sine_pieces(force, stroke, factor);
    default:
      return {{0, stroke, factor * force.peak, 0}, {stroke, never, factor * force.peak, 0}};
  }
}

}  // namespace

RodPieces::RodPieces(const model::RodForce& force, const model::Drive& drive, double stroke, double factor)
    : rod_per_rad_(drive.lead / (2 * pi * drive.gear_ratio)),
      stiffness_(drive.stop_stiffness),
      damping_(drive.stop_damping) {
  const double takeup = 2 * pi * drive.takeup_turns;
  stop_from_ = takeup + stroke / rod_per_rad_;
  if (takeup > 0) {
    RodPiece free;
    free.end = takeup;
    pieces_.push_back(free);
  }
  for (const TravelPiece& travel : travel_pieces(force, stroke, factor)) {
    RodPiece piece;
    piece.loaded = true;
    piece.at_stop = travel.begin >= stroke;
    piece.end = travel.end == stroke ? stop_from_ : takeup + travel.end / rod_per_rad_;
    piece.from = takeup + travel.begin / rod_per_rad_;
    piece.offset = travel.offset;
    piece.slope = travel.slope * rod_per_rad_;
    piece.swing = travel.swing;
    piece.per_rad = 2 * pi * rod_per_rad_ / stroke;
    if (piece.swing != 0) piece.from = takeup;
    const double middle =
        std::isinf(piece.end) ? piece.from : 0.5 * (takeup + travel.begin / rod_per_rad_ + piece.end);
    const double force_there =
        piece.offset + piece.slope * (middle - piece.from) +
        (piece.swing != 0 ? piece.swing * std::sin(piece.per_rad * (middle - piece.from)) : 0.0);
    piece.sign = force_there < 0 ? -1 : 1;
    pieces_.push_back(piece);
  }
}

RodForceValue RodPieces::at(std::size_t k, double theta, double w) const {
  const RodPiece& piece = pieces_[k];
  RodForceValue out;
  if (!piece.loaded) return out;
  const double d = theta - piece.from;
  out.force = piece.offset;
  if (piece.slope != 0) {
    out.force += piece.slope * d;
    out.per_rad = piece.slope;
  }
  if (piece.swing != 0) {
    out.force += piece.swing * std::sin(piece.per_rad * d);
    out.per_rad += piece.swing * piece.per_rad * std::cos(piece.per_rad * d);
  }
  if (piece.at_stop) {
    out.force += rod_per_rad_ * (stiffness_ * (theta - stop_from_) + damping_ * w);
    out.per_rad += rod_per_rad_ * stiffness_;
    out.per_speed = rod_per_rad_ * damping_;
  }
  return out;
}

}  // namespace latchwright::tests::cvode

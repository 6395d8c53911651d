// SPDX-License-Identifier: GPL-3.0-or-later
#include "charts/palette.h"

#include <array>

namespace latchwright::charts {

namespace {

struct Hue {
  QRgb light;  ///< on white paper
  QRgb dark;   ///< on dark paper
};

// Okabe and Ito (2008), "Color Universal Design": blue, vermilion, bluish green, reddish purple, black,
// orange, sky blue (from memory). Orange and sky blue are darkened for white paper, all but these lightened
// for dark. Their yellow is too faint on white. The first five are the easiest to tell apart.
constexpr std::array<Hue, 7> hues{{{0x0072B2, 0x4FA8E0},
                                   {0xD55E00, 0xF0803C},
                                   {0x009E73, 0x2FC79A},
                                   {0xCC79A7, 0xE3A0C6},
                                   {0x000000, 0xF2F2F2},
                                   {0xB87A00, 0xE6B94A},
                                   {0x2F8FC4, 0xA9D8F5}}};

}  // namespace

Ground ground(bool dark) {
  if (dark) return {QColor(0x1F2124), QColor(0xF2F2F2), QColor(0xB8BCC2), QColor(0x45494F), QColor(0x2F3236)};
  return {QColor(0xFFFFFF), QColor(0x1A1A1A), QColor(0x565B61), QColor(0xC9CDD2), QColor(0xE9EBED)};
}

std::size_t hue_count() { return hues.size(); }

QColor hue_color(std::size_t hue, bool dark) {
  const Hue& found = hues[hue % hues.size()];
  return QColor(dark ? found.dark : found.light);
}

QPen stroke_pen(report::Stroke stroke, const QColor& color, double width) {
  QPen pen(color, width, Qt::SolidLine, Qt::FlatCap, Qt::RoundJoin);
  // In multiples of the width; long enough to be told apart at arm's length in print.
  switch (stroke) {
    case report::Stroke::solid:
      pen.setCapStyle(Qt::RoundCap);
      break;
    case report::Stroke::dashed:
      pen.setDashPattern({5, 3});
      break;
    case report::Stroke::dotted:
      pen.setDashPattern({1.3, 2.2});
      break;
    case report::Stroke::dash_dot:
      pen.setDashPattern({7, 2.5, 1.3, 2.5});
      break;
  }
  return pen;
}

}  // namespace latchwright::charts

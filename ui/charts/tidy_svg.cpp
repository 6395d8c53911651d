// SPDX-License-Identifier: GPL-3.0-or-later
#include "charts/tidy_svg.h"

#include <QList>
#include <cmath>

namespace latchwright::charts {

namespace {

const QByteArray piece_start = "<polyline fill=\"none\" vector-effect=\"none\" points=\"";
const QByteArray piece_end = "\" />";
const QByteArray path_start = "<path vector-effect=\"none\" fill-rule=\"evenodd\" d=\"";

bool is_number_part(char c) { return (c >= '0' && c <= '9') || c == '.' || c == '-' || c == '+' || c == 'e'; }

QByteArray rounded_number(const QByteArray& number) {
  bool good = false;
  const double value = number.toDouble(&good);
  if (!good) return number;
  const double hundredth = std::round(value * 100) / 100;
  return QByteArray::number(hundredth == 0 ? 0.0 : hundredth, 'g', 10);
}

/// Every number of a list of coordinates to a hundredth.
QByteArray rounded(const QByteArray& coordinates) {
  QByteArray out, number;
  for (const char c : coordinates + ' ') {
    if (is_number_part(c)) {
      number += c;
      continue;
    }
    if (!number.isEmpty()) out += rounded_number(number);
    number.clear();
    out += c;
  }
  out.chop(1);
  return out;
}

/// The points of a line of the file that is one polyline; else none.
QList<QByteArray> points_of(const QByteArray& line) {
  if (!line.startsWith(piece_start) || !line.endsWith(piece_end)) return {};
  const qsizetype end = line.size() - piece_end.size();
  return rounded(line.mid(piece_start.size(), end - piece_start.size())).simplified().split(' ');
}

/// Consecutive polylines that go on where the last one ended as one; numbers rounded.
QList<QByteArray> joined_lines(const QList<QByteArray>& lines) {
  QList<QByteArray> out;
  QList<QByteArray> open;
  const auto close = [&] {
    if (!open.isEmpty()) out.push_back(piece_start + open.join(' ') + piece_end);
    open.clear();
  };
  for (const QByteArray& line : lines) {
    const QList<QByteArray> points = points_of(line);
    if (!points.isEmpty()) {
      if (open.isEmpty() || open.back() != points.front()) close();
      open += points.mid(open.isEmpty() ? 0 : 1);
      continue;
    }
    close();
    if (line.startsWith(path_start)) {
      const qsizetype end = line.indexOf('"', path_start.size());
      out.push_back(path_start + rounded(line.mid(path_start.size(), end - path_start.size())) +
                    line.mid(end));
    } else {
      out.push_back(line);
    }
  }
  close();
  return out;
}

/// Groups that hold nothing are the painter's changes of state before the next one.
QList<QByteArray> without_empty_groups(const QList<QByteArray>& lines) {
  QList<QByteArray> out;
  qsizetype group = -1;  // where in `out` the group begins that has no content yet
  for (const QByteArray& line : lines) {
    if (line.isEmpty()) continue;
    const bool in_tag = group >= 0 && (line == ">" || line.startsWith("font-family="));
    if (line.startsWith("<g ")) {
      group = out.size();
    } else if (line.startsWith("</g>") && group >= 0) {
      out.resize(group);
      group = -1;
      continue;
    } else if (!in_tag) {
      group = -1;
    }
    out.push_back(line);
  }
  return out;
}

}  // namespace

QByteArray tidy_svg(const QByteArray& svg) {
  return without_empty_groups(joined_lines(svg.split('\n'))).join('\n') + '\n';
}

}  // namespace latchwright::charts

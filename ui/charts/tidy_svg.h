// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QByteArray>

namespace latchwright::charts {

/// What QSvgGenerator wrote, shorter and drawn alike: pieces of a line as one line, coordinates to a
/// hundredth of a pixel, no groups without content.
QByteArray tidy_svg(const QByteArray& svg);

}  // namespace latchwright::charts

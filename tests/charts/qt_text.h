// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>
#include <ostream>

/// So that a failed check prints what it found.
inline std::ostream& operator<<(std::ostream& out, const QString& text) { return out << text.toStdString(); }

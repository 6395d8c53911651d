// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/usual_scatter.h"

namespace latchwright::spread {

namespace {

constexpr const char* choice = "choice of this project";

}  // namespace

const UsualScatter wire_scatter{"wire resistance", 0.03, choice};
const UsualScatter fuse_scatter{"fuse resistance", 0.10, choice};
const UsualScatter contact_scatter{"relay contact resistance", 0.30, choice};
// 10 to 20 mohm about the usual 15.
const UsualScatter battery_scatter{"internal resistance of the battery", 0.33, "common practice, no source"};

}  // namespace latchwright::spread

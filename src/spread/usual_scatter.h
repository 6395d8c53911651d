// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// What scatters beside the figures of actuators (model/tolerance.h), in one table.
namespace latchwright::spread {

/// A figure of the circuit that no part and no job states a tolerance of.
struct UsualScatter {
  const char* name;   ///< "wire resistance"
  double half_width;  ///< relative
  const char* origin;
};
extern const UsualScatter wire_scatter;     ///< mohm_per_m of every wire
extern const UsualScatter fuse_scatter;     ///< cold_mohm of every fuse
extern const UsualScatter contact_scatter;  ///< contact_mohm of the relay, both contacts together
extern const UsualScatter battery_scatter;  ///< internal_mohm

}  // namespace latchwright::spread

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "model/field.h"
#include "model/job.h"

// The rows of every job record: key, unit, range, default, meaning.
namespace latchwright::model {

inline constexpr int job_format_version = 1;
inline constexpr std::size_t most_doors = 12;
inline constexpr std::size_t most_rod_points = 64;

const Table<Supply>& supply_table();
const Table<Climate>& climate_table();
const Table<Feed>& feed_table();
const Table<RodForce>& rod_force_table();
/// The shapes of a rod force as a file names them, in the order of RodShape.
const std::vector<std::string>& rod_shape_names();
/// The keys that a shape needs beside `shape`; those of the other shapes do not belong to it.
const std::vector<std::string>& rod_shape_keys(RodShape shape);
const Table<Door>& door_table();
const Table<Pulse>& pulse_table();
const Table<Use>& use_table();
const Table<Limits>& limits_table();
const Table<Spread>& spread_table();
const Table<Job>& job_table();

}  // namespace latchwright::model

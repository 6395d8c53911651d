// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "model/field.h"
#include "model/parts.h"

// The rows of every part record: key, unit, range, default, meaning.
namespace latchwright::model {

inline constexpr int parts_format_version = 1;
inline constexpr std::size_t most_parts = 20000;   ///< in one file
inline constexpr std::size_t most_curve_points = 64;

const Table<Motor>& motor_table();
const Table<Drive>& drive_table();
const Table<Thermal>& thermal_table();
const Table<PtcCurve>& ptc_curve_table();
const Table<Ptc>& ptc_table();
const Table<Actuator>& actuator_table();
const Table<Wire>& wire_table();
const Table<Fuse>& fuse_table();
const Table<FuseFamily::Derating>& derating_table();
const Table<FuseFamily>& fuse_family_table();
const Table<Relay>& relay_table();
const Table<Source>& source_table();
/// What every part carries: id, kind, title, source, price.
const Table<Part>& part_table();
/// The kinds of part in the order of Part::body.
const std::vector<std::string>& part_kinds();
/// The rows that a kind adds to the common ones; null for an unknown kind.
const RecordInfo* part_body_info(std::string_view kind);

/// Pointers of all numbers of an actuator, such as /motor/resistance_ohm: what a tolerance may name.
const std::vector<std::string>& actuator_number_pointers();

/// Reads one part; adds every fault to the context.
void read_part(const Raw& raw, const std::string& pointer, ReadContext& context, Part& part);
Raw write_part(const Part& part);

}  // namespace latchwright::model

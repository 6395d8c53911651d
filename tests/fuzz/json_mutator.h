// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <cstdint>

namespace latchwright::fuzz {

/// Changes a JSON text in `data`, of `size` bytes with room for `room`: mostly a value inside, so that it
/// stays JSON and often lawful (numbers within what the field tables permit for their key, at its ends, or
/// just outside), else any bytes. The new size. What LLVMFuzzerCustomMutator may be.
std::size_t mutate_json(std::uint8_t* data, std::size_t size, std::size_t room, unsigned seed);

}  // namespace latchwright::fuzz

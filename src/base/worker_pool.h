// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <functional>

namespace latchwright::base {

/// Number of threads that a study may use: the machine's cores, at least 1.
unsigned available_workers();

/// Calls work(0) … work(count - 1), spread over `workers` threads, and returns when all are done. Each call
/// writes only its own slot of the caller's results, so they do not depend on the number of threads. If calls
/// throw, the exception of the lowest index is thrown again here.
void for_each_index(std::size_t count, unsigned workers, const std::function<void(std::size_t)>& work);

}  // namespace latchwright::base

// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/worker_pool.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <thread>
#include <vector>

namespace latchwright::base {

unsigned available_workers() { return std::max(1u, std::thread::hardware_concurrency()); }

void for_each_index(std::size_t count, unsigned workers, const std::function<void(std::size_t)>& work) {
  std::atomic<std::size_t> next{0};
  std::vector<std::exception_ptr> failures(count);
  const auto drain = [&] {
    for (std::size_t index = next++; index < count; index = next++) {
      try {
        work(index);
      } catch (...) {
        failures[index] = std::current_exception();
      }
    }
  };
  std::vector<std::jthread> threads;
  const auto extra = std::min<std::size_t>(workers > 0 ? workers - 1 : 0, count > 0 ? count - 1 : 0);
  for (std::size_t k = 0; k < extra; ++k) threads.emplace_back(drain);
  drain();
  threads.clear();
  for (const auto& failure : failures) {
    if (failure) std::rethrow_exception(failure);
  }
}

}  // namespace latchwright::base

#pragma once

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <exception>
#include <functional>
#include <thread>
#include <vector>

namespace pitchline::tools {

/// Runs jobs 0 to `jobs` - 1, so many at once, and returns when all are done. The first that
/// throws, by its number, is thrown on: so the outcome does not depend on the number of threads.
inline void side_by_side(std::size_t jobs, unsigned threads,
                         const std::function<void(std::size_t)>& job) {
  std::vector<std::exception_ptr> thrown(jobs);
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < jobs; i = next++) {
      try {
        job(i);
      } catch (...) {
        thrown[i] = std::current_exception();
      }
    }
  };
  {
    std::vector<std::jthread> others;
    for (std::size_t n = 1; n < std::min<std::size_t>(threads, jobs); ++n)
      others.emplace_back(work);
    work();
  }
  for (const std::exception_ptr& each : thrown)
    if (each) std::rethrow_exception(each);
}

}  // namespace pitchline::tools

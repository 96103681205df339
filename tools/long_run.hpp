#pragma once

#include <fmt/format.h>
#include <signal.h>  // NOLINT(modernize-deprecated-headers): sigaction is POSIX, not C++
#include <unistd.h>

#include <array>
#include <chrono>
#include <cstddef>
#include <cstdio>
#include <mutex>
#include <string_view>

namespace pitchline::tools {

/// Exit status of a program that was interrupted: 128 and the number of the signal, as customary.
inline constexpr int interrupted = 130;

/// While it lives, an interrupt from the keyboard ends the program at once, and says that nothing
/// was written. So it must not live while a file is.
class Interruptible {
 public:
  Interruptible() {
    struct sigaction action {};
    action.sa_handler = [](int) {
      // Nothing but these two calls is allowed here.
      constexpr std::string_view text = "\ninterrupted: nothing was written\n";
      const auto ignored = ::write(STDERR_FILENO, text.data(), text.size());
      static_cast<void>(ignored);
      ::_exit(interrupted);
    };
    sigaction(SIGINT, &action, nullptr);
  }
  /// From here on an interrupt is not heeded: what is left takes no time.
  ~Interruptible() { signal(SIGINT, SIG_IGN); }
  Interruptible(const Interruptible&) = delete;
  Interruptible& operator=(const Interruptible&) = delete;
  Interruptible(Interruptible&&) = delete;
  Interruptible& operator=(Interruptible&&) = delete;
};

/// A line on a terminal that says how far a long run has come; nothing where there is no terminal,
/// or where the run is short.
class Progress {
 public:
  using Clock = std::chrono::steady_clock;

  explicit Progress(std::size_t total) : total_(total), shown_(::isatty(STDERR_FILENO) == 1) {}
  ~Progress() {
    if (written_) std::fputs("\r\033[K", stderr);
  }
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  Progress(Progress&&) = delete;
  Progress& operator=(Progress&&) = delete;

  /// So many more are done; may be called from several threads.
  void add(std::size_t count) {
    if (!shown_) return;
    const std::scoped_lock lock(mutex_);
    done_ += count;
    const Clock::time_point now = Clock::now();
    if (now - start_ < std::chrono::seconds(2) || now < next_ || done_ == 0) return;
    next_ = now + std::chrono::milliseconds(500);
    const double passed = std::chrono::duration<double>(now - start_).count();
    const double left =
        passed * static_cast<double>(total_ - std::min(total_, done_)) / static_cast<double>(done_);
    fmt::print(stderr, "\r\033[K{} of {} tries, at most {:.0f} s left", std::min(total_, done_),
               total_, left);
    std::fflush(stderr);
    written_ = true;
  }

 private:
  std::mutex mutex_;
  std::size_t total_;
  std::size_t done_ = 0;
  bool shown_;
  bool written_ = false;
  Clock::time_point start_ = Clock::now();
  Clock::time_point next_{};
};

}  // namespace pitchline::tools

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string_view>

namespace latchwright::base {

/// How a long study tells how far it is and learns that it should end. Called from worker threads.
class Progress {
 public:
  virtual ~Progress() = default;
  /// fraction: 0..1 of the whole study.
  virtual void report(double fraction, std::string_view what) = 0;
  virtual bool cancelled() const = 0;
};

/// Of a step inside a longer study: ends when the whole ends, and tells nothing of how far it is.
class OnlyCancels final : public Progress {
 public:
  explicit OnlyCancels(const Progress& whole) : whole_(whole) {}
  void report(double, std::string_view) override {}
  bool cancelled() const override { return whole_.cancelled(); }

 private:
  const Progress& whole_;
};

/// For callers that neither show nor cancel.
class NoProgress final : public Progress {
 public:
  void report(double, std::string_view) override {}
  bool cancelled() const override { return false; }
};

}  // namespace latchwright::base

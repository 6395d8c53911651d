// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/latest_task.h"

#include <QMetaObject>
#include <chrono>
#include <utility>

#include "base/failure.h"

namespace latchwright::desk {

/// One piece of work on its way. Lives as long as anybody looks at it.
class LatestTask::Job final : public LatestTask::Handle {
 public:
  Job(LatestTask& owner, unsigned long generation, Work work)
      : owner_(owner), generation_(generation), work_(std::move(work)) {}

  void report(double fraction, std::string_view what) override {
    using Clock = std::chrono::steady_clock;
    constexpr auto apart = std::chrono::milliseconds(50);
    {
      const std::lock_guard lock(mutex_);
      const auto now = Clock::now();
      if (now - last_ < apart) return;
      last_ = now;
    }
    const auto text = QString::fromUtf8(what.data(), static_cast<qsizetype>(what.size()));
    tell([this_owner = &owner_, fraction, text] { Q_EMIT this_owner->progressed(fraction, text); });
  }
  bool cancelled() const override { return cancelled_; }
  void tell(std::function<void()> then) override { owner_.deliver(generation_, std::move(then)); }

  void cancel() { cancelled_ = true; }
  void run() {
    try {
      work_(*this);
    } catch (const base::Cancelled&) {
      return;  // newer work, or nobody, waits for it
    } catch (const std::exception& error) {
      tell([this_owner = &owner_, text = QString::fromUtf8(error.what())] {
        this_owner->running_ = false;
        Q_EMIT this_owner->failed(text);
      });
      return;
    }
    tell([this_owner = &owner_] {
      this_owner->running_ = false;
      Q_EMIT this_owner->finished();
    });
  }

 private:
  LatestTask& owner_;
  unsigned long generation_;
  Work work_;
  std::atomic<bool> cancelled_{false};
  std::mutex mutex_;
  std::chrono::steady_clock::time_point last_;
};

LatestTask::LatestTask(QObject* parent) : QObject(parent), thread_([this] { loop(); }) {}

LatestTask::~LatestTask() {
  {
    const std::lock_guard lock(mutex_);
    stop_ = true;
    ++generation_;
    waiting_.reset();
    if (current_) current_->cancel();
  }
  wake_.notify_all();
  thread_.join();
}

void LatestTask::start(Work work) {
  {
    const std::lock_guard lock(mutex_);
    if (current_) current_->cancel();
    current_ = waiting_ = std::make_shared<Job>(*this, ++generation_, std::move(work));
  }
  running_ = true;
  wake_.notify_all();
}

void LatestTask::cancel() {
  {
    const std::lock_guard lock(mutex_);
    ++generation_;
    waiting_.reset();
    if (current_) current_->cancel();
  }
  if (std::exchange(running_, false)) Q_EMIT cancelled();
}

void LatestTask::deliver(unsigned long generation, std::function<void()> then) {
  {
    const std::lock_guard lock(mutex_);
    told_.push_back({generation, std::move(then)});
  }
  // One call for each, so that what it does may end this object: queued calls of an object that is gone are
  // dropped.
  QMetaObject::invokeMethod(this, "takeTold", Qt::QueuedConnection);
}

void LatestTask::takeTold() {
  Told next;
  {
    const std::lock_guard lock(mutex_);
    next = std::move(told_.front());
    told_.pop_front();
  }
  // Only this thread moves the number on.
  if (next.generation == generation_) next.then();
}

void LatestTask::loop() {
  for (;;) {
    std::shared_ptr<Job> job;
    {
      std::unique_lock lock(mutex_);
      wake_.wait(lock, [this] { return stop_ || waiting_; });
      if (stop_) return;
      job = std::exchange(waiting_, nullptr);
    }
    job->run();
  }
}

}  // namespace latchwright::desk

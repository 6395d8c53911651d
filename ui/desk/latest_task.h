// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QObject>
#include <QString>
#include <atomic>
#include <condition_variable>
#include <deque>
#include <functional>
#include <memory>
#include <mutex>
#include <thread>

#include "base/progress.h"

namespace latchwright::desk {

/// Work on a thread of its own, of which only the newest counts: starting again cancels what runs and takes
/// the place of what waits. Everything else of this class, signals too, belongs to the thread that made it.
class LatestTask : public QObject {
  Q_OBJECT

 public:
  /// Inside the work: progress and cancellation, and a way to hand results over.
  class Handle : public base::Progress {
   public:
    /// Runs `then` on the object's own thread, unless newer work was started by then.
    virtual void tell(std::function<void()> then) = 0;
  };
  using Work = std::function<void(Handle&)>;

  explicit LatestTask(QObject* parent = nullptr);
  /// Cancels and waits for the thread.
  ~LatestTask() override;

  /// The work must ask for cancellation often and may throw base::Cancelled; any other exception becomes
  /// failed().
  void start(Work work);
  /// Ends what runs and drops what waits; nothing of it is told any more.
  void cancel();
  bool isRunning() const { return running_; }

 Q_SIGNALS:
  /// fraction: 0..1, at most some twenty times a second.
  void progressed(double fraction, const QString& what);
  /// The newest work has ended by itself.
  void finished();
  /// The newest work has ended with an exception: what it says.
  void failed(const QString& text);
  /// The user's cancel() reached running work.
  void cancelled();

 private:
  class Job;

  void loop();
  /// From the work's thread: to be done by takeTold() on the object's own.
  void deliver(unsigned long generation, std::function<void()> then);
  Q_INVOKABLE void takeTold();

  struct Told {
    unsigned long generation = 0;
    std::function<void()> then;
  };

  std::mutex mutex_;
  std::condition_variable wake_;
  std::shared_ptr<Job> waiting_;
  std::shared_ptr<Job> current_;  // the newest that was started
  std::deque<Told> told_;         // waits for the object's own thread
  bool stop_ = false;
  bool running_ = false;
  unsigned long generation_ = 0;
  std::thread thread_;
};

}  // namespace latchwright::desk

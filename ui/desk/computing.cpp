// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/computing.h"

#include <algorithm>

#include "base/worker_pool.h"

namespace latchwright::desk {

namespace {

double milliseconds(const QElapsedTimer& since) { return static_cast<double>(since.nsecsElapsed()) * 1e-6; }

}  // namespace

Computing::Computing(Document& document, QObject* parent) : QObject(parent), document_(document) {
  connect(&document, &Document::studyChanged, this, [this] {
    judge();
    takeLook();
  });
  connect(&verdict_task_, &LatestTask::progressed, this, &Computing::progressed);
  for (LatestTask* task : {&verdict_task_, &look_task_}) {
    connect(task, &LatestTask::finished, this, &Computing::busyChanged);
    connect(task, &LatestTask::cancelled, this, &Computing::busyChanged);
    connect(task, &LatestTask::failed, this, [this](const QString& text) {
      if (look_waits_) startLook();
      Q_EMIT busyChanged();
      Q_EMIT failed(text);
    });
  }
}

void Computing::setLook(const report::Link& link, const report::LookAt& at) {
  link_ = link;
  at_ = at;
  takeLook();
}

void Computing::cancel() {
  look_waits_ = false;
  verdict_task_.cancel();
  look_task_.cancel();
}

void Computing::judge() {
  verdict_ms_ = cures_ms_ = -1;
  const auto study = document_.study();
  if (!study || !study->complete()) {
    // Nothing to judge: no old verdict may stand beside an unfinished job.
    verdict_task_.cancel();
    verdict_ = {study, nullptr, true, false};
    Q_EMIT verdictChanged();
    return;
  }
  // Another job's verdict may not stand in for this one's.
  if (verdict_.study && verdict_.study->job.doors.size() != study->job.doors.size()) verdict_.examined.reset();
  if (!verdict_.examined) verdict_.study = study;
  verdict_.current = false;
  verdict_clock_.start();
  verdict_task_.start([this, study](LatestTask::Handle& handle) {
    const unsigned workers = base::available_workers();
    const auto show = [this, study, &handle](const verdict::Examination& found, bool cures_known) {
      auto kept = std::make_shared<const verdict::Examination>(found);
      handle.tell([this, study, kept = std::move(kept), cures_known] {
        verdict_ = {study, kept, true, cures_known};
        (cures_known ? cures_ms_ : verdict_ms_) = milliseconds(verdict_clock_);
        Q_EMIT verdictChanged();
        if (look_waits_) startLook();
      });
    };
    const auto found = verdict::examine(*study, workers, handle,
                                        [&](const verdict::Examination& judged) { show(judged, false); });
    show(found, true);
  });
  Q_EMIT verdictChanged();
  Q_EMIT busyChanged();
}

void Computing::takeLook() {
  const auto study = document_.study();
  look_ms_ = -1;
  look_waits_ = false;
  if (!study || !study->complete() || link_.door >= study->doors.size()) {
    look_task_.cancel();
    look_ = {};
    look_current_ = true;
    Q_EMIT lookTold();
    Q_EMIT lookChanged();
    return;
  }
  look_current_ = false;
  look_clock_.start();
  Q_EMIT lookTold();
  // After an edit the verdict goes first: both at once would keep it waiting.
  look_waits_ = verdict_task_.isRunning() && verdict_ms_ < 0;
  look_waits_ ? look_task_.cancel() : startLook();
}

void Computing::startLook() {
  look_waits_ = false;
  const auto study = document_.study();
  look_task_.start([this, study, link = link_, at = at_](LatestTask::Handle& handle) {
    const auto told = [this, &handle](const report::Look& look) {
      handle.tell([this, look] {
        look_.at = look.at;
        look_.holds = look.holds;
        look_.sentence = look.sentence;
        look_ms_ = milliseconds(look_clock_);
        Q_EMIT lookTold();
      });
    };
    auto look = report::take_look(*study, link, at, base::available_workers(), handle, told);
    handle.tell([this, look = std::move(look)] {
      look_ = look;
      look_current_ = true;
      Q_EMIT lookChanged();
    });
  });
  Q_EMIT busyChanged();
}

}  // namespace latchwright::desk

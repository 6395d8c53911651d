// SPDX-License-Identifier: GPL-3.0-or-later
#include <QMenu>

#include "desk/window.h"

// The bench as a page of the window.
namespace latchwright::desk {

void Window::makeBenchAction(QMenu* menu) {
  bench_action_ = menu->addAction(tr("&Bench"));
  bench_action_->setShortcut(QKeySequence(Qt::CTRL | Qt::Key_B));
  bench_action_->setCheckable(true);
  bench_button_->setCheckable(true);
  connect(bench_action_, &QAction::toggled, this, &Window::showBench);
  connect(bench_action_, &QAction::toggled, bench_button_, &QPushButton::setChecked);
  connect(bench_button_, &QPushButton::toggled, bench_action_, &QAction::setChecked);
}

BenchPage& Window::bench() {
  if (bench_ == nullptr) {
    bench_ = new BenchPage(document_, pages_);
    pages_->insertWidget(bench_page, bench_);
    bench_->setStyle(pictureStyle());
    connect(bench_, &BenchPage::leaveRequested, this, [this] { bench_action_->setChecked(false); });
    connect(bench_, &BenchPage::partFilesChanged, this,
            [this] { preferences_.setPartFiles(document_.partFiles()); });
    connect(bench_, &BenchPage::saveRequested, this,
            [this](const report::Picture& picture) { savePicture(picture); });
  }
  return *bench_;
}

void Window::showBench(bool shown) {
  if (shown == isAtBench()) return;
  if (shown) {
    bench();
    pages_->setCurrentIndex(bench_page);
    bench_->actuators().setFocus(Qt::OtherFocusReason);
  } else {
    pages_->setCurrentIndex(run_page);
    run_->setFocus(Qt::OtherFocusReason);
  }
  bench_action_->setChecked(shown);
}

}  // namespace latchwright::desk

// SPDX-License-Identifier: GPL-3.0-or-later
#include <QMenu>

#include "desk/window.h"

// The bench as a page of the window, and the way from one page to another.
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
    pages_->addWidget(bench_);
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
    goTo(&bench());
    bench_->actuators().setFocus(Qt::OtherFocusReason);
  } else {
    goTo(run_side_);
    run_->setFocus(Qt::OtherFocusReason);
  }
}

void Window::goTo(QWidget* page) {
  pages_->setCurrentWidget(page);
  bench_action_->setChecked(isAtBench());
  chances_action_->setChecked(isAtChances());
  sheet_action_->setChecked(isAtSheet());
}

}  // namespace latchwright::desk

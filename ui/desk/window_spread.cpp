// SPDX-License-Identifier: GPL-3.0-or-later
#include <QMenu>

#include "desk/spread_page.h"
#include "desk/window.h"

// Chances as a page of the window.
namespace latchwright::desk {

void Window::makeChancesAction(QMenu* menu) {
  chances_action_ = menu->addAction(tr("Ch&ances"));
  chances_action_->setShortcut(QKeySequence(Qt::CTRL | Qt::Key_H));
  chances_action_->setCheckable(true);
  chances_button_->setCheckable(true);
  connect(chances_action_, &QAction::toggled, this, &Window::showChances);
  connect(chances_action_, &QAction::toggled, chances_button_, &QPushButton::setChecked);
  connect(chances_button_, &QPushButton::toggled, chances_action_, &QAction::setChecked);
}

SpreadPage& Window::chances() {
  if (chances_ == nullptr) {
    chances_ = new SpreadPage(document_, pages_);
    pages_->addWidget(chances_);
    chances_->setStyle(pictureStyle());
    connect(chances_, &SpreadPage::leaveRequested, this, [this] { chances_action_->setChecked(false); });
    connect(chances_, &SpreadPage::saveRequested, this,
            [this](const report::Picture& picture) { savePicture(picture); });
  }
  return *chances_;
}

bool Window::isAtChances() const { return chances_ != nullptr && pages_->currentWidget() == chances_; }

void Window::showChances(bool shown) {
  if (shown == isAtChances()) return;
  if (shown) {
    goTo(&chances());
    chances_->takeFocus();
  } else {
    goTo(run_side_);
    run_->setFocus(Qt::OtherFocusReason);
  }
}

}  // namespace latchwright::desk

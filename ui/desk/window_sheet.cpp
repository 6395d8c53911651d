// SPDX-License-Identifier: GPL-3.0-or-later
#include <QFileInfo>
#include <QMenu>

#include "desk/sheet_page.h"
#include "desk/window.h"

// The job sheet as a page of the window.
namespace latchwright::desk {

void Window::makeSheetAction(QMenu* menu) {
  sheet_action_ = menu->addAction(tr("Job s&heet"));
  sheet_action_->setShortcut(QKeySequence(Qt::CTRL | Qt::Key_J));
  sheet_action_->setCheckable(true);
  sheet_button_->setCheckable(true);
  job_actions_ << sheet_action_;
  connect(sheet_action_, &QAction::toggled, this, &Window::showSheet);
  connect(sheet_action_, &QAction::toggled, sheet_button_, &QPushButton::setChecked);
  connect(sheet_button_, &QPushButton::toggled, sheet_action_, &QAction::setChecked);
}

SheetPage& Window::sheet() {
  if (sheet_ == nullptr) {
    sheet_ = new SheetPage(document_, pages_);
    pages_->addWidget(sheet_);
    connect(sheet_, &SheetPage::leaveRequested, this, [this] { sheet_action_->setChecked(false); });
    connect(sheet_, &SheetPage::written, this, [this](const QString& path) {
      message_->setText(tr("Wrote %1").arg(QFileInfo(path).fileName()));
    });
  }
  return *sheet_;
}

bool Window::isAtSheet() const { return sheet_ != nullptr && pages_->currentWidget() == sheet_; }

void Window::showSheet(bool shown) {
  if (shown == isAtSheet()) return;
  if (shown) {
    goTo(&sheet());
    sheet_->setFocus(Qt::OtherFocusReason);
  } else {
    goTo(run_side_);
    run_->setFocus(Qt::OtherFocusReason);
  }
}

}  // namespace latchwright::desk

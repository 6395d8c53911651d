// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/spread_page.h"

#include <QShortcut>
#include <QTabBar>
#include <QVBoxLayout>

#include "desk/tab_place.h"
#include "desk/wrapped_text.h"

namespace latchwright::desk {

SpreadPage::SpreadPage(Document& document, QWidget* parent)
    : QWidget(parent),
      tabs_(new QTabWidget(this)),
      chances_(new ChancesPane(document, this)),
      map_(new MapPane(document, this)) {
  setAccessibleName(tr("chances"));
  setAccessibleDescription(tr("What can be promised of this job, though no two installations are alike."));
  auto* hint = new WrappedText(2, this);
  hint->setFaint(true);
  hint->say(
      tr("No two installations are alike: thermistors differ, batteries age, rods stiffen. Here the job is "
         "computed for many that differ within their tolerances, and over the heat of the day."));
  tabs_->addTab(chances_, tr("How &likely it stops"));
  tabs_->addTab(map_, tr("Where it &works"));
  tabs_->tabBar()->setAccessibleName(tr("parts of the chances page"));
  auto* layout = new QVBoxLayout(this);
  layout->setContentsMargins(0, 0, 0, 0);
  layout->setSpacing(4);
  layout->addWidget(hint);
  layout->addWidget(tabs_, 1);
  for (SpreadPane* pane : {static_cast<SpreadPane*>(chances_), static_cast<SpreadPane*>(map_)}) {
    connect(pane, &SpreadPane::saveRequested, this, &SpreadPage::saveRequested);
  }
  put_in_tab_order(tabs_->tabBar(), chances_);
  put_in_tab_order(last_tab_place(chances_), map_);
  auto* leave = new QShortcut(QKeySequence(Qt::Key_Escape), this);
  leave->setContext(Qt::WidgetWithChildrenShortcut);
  connect(leave, &QShortcut::activated, this, &SpreadPage::leaveRequested);
}

void SpreadPage::takeFocus() {
  auto* pane = tabs_->currentWidget() == map_ ? static_cast<SpreadPane*>(map_) : chances_;
  QWidget* const run = &pane->runButton();
  (run->isEnabled() ? run : pane->settings().front()->slider())->setFocus(Qt::OtherFocusReason);
}

void SpreadPage::setStyle(const charts::Style& style) {
  chances_->setStyle(style);
  map_->setStyle(style);
}

}  // namespace latchwright::desk

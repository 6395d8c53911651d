// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/pictures_pane.h"

#include <QBoxLayout>
#include <QCoreApplication>
#include <QEvent>
#include <QScrollBar>
#include <algorithm>
#include <numeric>

namespace latchwright::desk {

namespace {

// In widths of an average character and heights of a line: about 900 and 280 pixels at the usual size.
constexpr int two_columns_em = 150;
constexpr int least_height_lines = 19;

}  // namespace

PicturesPane::PicturesPane(QWidget* parent)
    : QWidget(parent),
      scroll_(new QScrollArea(this)),
      sheet_(new QWidget(scroll_)),
      hint_(new QLabel(this)),
      mark_(new QLabel(tr("computing…"), this)) {
  setAccessibleName(tr("pictures"));
  setAccessibleDescription(tr("Pictures of the chosen link at the condition below."));
  auto* layout = new QVBoxLayout(this);
  layout->setContentsMargins(0, 0, 0, 0);
  layout->addWidget(hint_);
  layout->addWidget(scroll_, 1);
  scroll_->setWidget(sheet_);
  scroll_->setFrameShape(QFrame::NoFrame);
  scroll_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
  scroll_->setAccessibleName(tr("pictures"));
  hint_->setWordWrap(true);
  hint_->setAlignment(Qt::AlignCenter);
  hint_->setForegroundRole(QPalette::PlaceholderText);
  hint_->hide();
  mark_->setAutoFillBackground(true);
  mark_->setBackgroundRole(QPalette::ToolTipBase);
  mark_->setForegroundRole(QPalette::ToolTipText);
  mark_->setFrameShape(QFrame::StyledPanel);
  mark_->setMargin(std::max(2, fontMetrics().height() / 5));
  mark_->setAttribute(Qt::WA_TransparentForMouseEvents);
  mark_->hide();
  setFocusProxy(scroll_);
  setHint(tr("No pictures yet."));
}

void PicturesPane::setPictures(const std::vector<report::Picture>& pictures, const charts::Style& style) {
  std::vector<charts::PictureView*> before = std::move(views_);
  views_.clear();
  bool same = before.size() == pictures.size();
  for (std::size_t k = 0; k < pictures.size(); ++k) {
    const report::Picture& picture = pictures[k];
    const auto known = std::find_if(before.begin(), before.end(), [&](const charts::PictureView* view) {
      return view != nullptr && view->picture() && view->picture()->key == picture.key;
    });
    charts::PictureView* view = nullptr;
    if (known != before.end()) {
      same = same && known == before.begin() + static_cast<std::ptrdiff_t>(k);
      view = *known;
      *known = nullptr;
    } else {
      same = false;
      view = new charts::PictureView(sheet_);
      view->setFocusPolicy(Qt::StrongFocus);
      view->installEventFilter(this);
      view->viewport()->installEventFilter(this);
      connect(view, &charts::PictureView::saveRequested, this, [this, view] {
        if (view->picture()) Q_EMIT saveRequested(*view->picture());
      });
    }
    view->setPicture(picture, style);
    view->show();
    views_.push_back(view);
  }
  for (charts::PictureView* view : before) delete view;
  // New widgets come last in the window's tab order; these belong where the pane stands.
  QWidget* last = scroll_;
  for (charts::PictureView* view : views_) {
    setTabOrder(last, view);
    last = view;
  }
  hint_->setVisible(views_.empty() && !hint_->text().isEmpty());
  scroll_->setVisible(!views_.empty());
  arrange();
  if (!same) scroll_->verticalScrollBar()->setValue(0);
}

void PicturesPane::setStale(bool stale, const QString& words) {
  mark_->setText(words.isEmpty() ? tr("computing…") : words);
  mark_->setToolTip(words.isEmpty() ? tr("Newer pictures are being computed; these are the last ones.") : words);
  mark_->setVisible(stale);
  placeMark();
}

void PicturesPane::setHint(const QString& hint) {
  hint_->setText(hint);
  hint_->setVisible(views_.empty() && !hint.isEmpty());
  scroll_->setVisible(!views_.empty());
}

int PicturesPane::columns() const {
  const bool wide = width() >= two_columns_em * fontMetrics().averageCharWidth();
  return wide && views_.size() > 1 ? 2 : 1;
}

void PicturesPane::arrange() {
  const int count = static_cast<int>(views_.size());
  if (count == 0) return;
  const int across = columns();
  const int gap = std::max(4, fontMetrics().height() / 3);
  const int room = height();
  const auto heights_at = [&](int width) {
    const int column = (width - (across - 1) * gap) / across;
    std::vector<int> heights;
    for (int k = 0; k < count; ++k) {
      // A last one without a neighbour has the whole width.
      const bool alone = k == count - 1 && k % across == 0;
      if (k % across == 0) heights.push_back(least_height_lines * fontMetrics().height());
      heights.back() =
          std::max(heights.back(), views_[static_cast<std::size_t>(k)]->leastHeight(alone ? width : column));
    }
    return heights;
  };
  const auto total_of = [&](const std::vector<int>& heights) {
    return std::accumulate(heights.begin(), heights.end(), (static_cast<int>(heights.size()) - 1) * gap);
  };
  int width = std::max(1, this->width());
  std::vector<int> heights = heights_at(width);
  if (total_of(heights) > room) {
    width = std::max(1, width - scroll_->verticalScrollBar()->sizeHint().width());
    heights = heights_at(width);
  }
  const int spare = (room - total_of(heights)) / static_cast<int>(heights.size());
  if (spare > 0) {
    for (int& each : heights) each += spare;
  }
  sheet_->resize(width, total_of(heights));
  const int column = (width - (across - 1) * gap) / across;
  int top = 0;
  for (int k = 0; k < count; ++k) {
    const bool alone = k == count - 1 && k % across == 0;
    const int height = heights[static_cast<std::size_t>(k / across)];
    views_[static_cast<std::size_t>(k)]->setGeometry((k % across) * (column + gap), top, alone ? width : column,
                                                     height);
    if (k % across == across - 1) top += height + gap;
  }
  placeMark();
}

void PicturesPane::placeMark() {
  mark_->adjustSize();
  const int bar = scroll_->verticalScrollBar()->isVisible() ? scroll_->verticalScrollBar()->width() : 0;
  mark_->move(width() - mark_->width() - bar - fontMetrics().height() / 3, fontMetrics().height() / 3);
  mark_->raise();
}

void PicturesPane::resizeEvent(QResizeEvent* event) {
  QWidget::resizeEvent(event);
  arrange();
}

void PicturesPane::changeEvent(QEvent* event) {
  QWidget::changeEvent(event);
  if (event->type() == QEvent::FontChange) arrange();
}

bool PicturesPane::eventFilter(QObject* watched, QEvent* event) {
  if (event->type() == QEvent::Wheel) {
    // A picture has nothing to scroll: the wheel moves the sheet.
    QCoreApplication::sendEvent(scroll_->verticalScrollBar(), event);
    return true;
  }
  if (event->type() == QEvent::FocusIn) {
    if (auto* view = qobject_cast<charts::PictureView*>(watched)) scroll_->ensureWidgetVisible(view, 0, 0);
  }
  return QWidget::eventFilter(watched, event);
}

}  // namespace latchwright::desk

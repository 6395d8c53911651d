// SPDX-License-Identifier: GPL-3.0-or-later
#include "charts/picture_view.h"

#include <QClipboard>
#include <QContextMenuEvent>
#include <QGuiApplication>
#include <QMenu>
#include <QMouseEvent>
#include <QPainter>
#include <QToolTip>

#include "charts/palette.h"
#include "charts/picture_chart.h"
#include "charts/write_pictures.h"

namespace latchwright::charts {

PictureView::PictureView(QWidget* parent) : QChartView(parent) {
  setRenderHint(QPainter::Antialiasing);
  setFrameShape(QFrame::NoFrame);
  setMouseTracking(true);
  setFocusPolicy(Qt::StrongFocus);
  connect(scene(), &QGraphicsScene::changed, this, [this] { painted_ = {}; });
}

void PictureView::setPicture(const report::Picture& picture, const Style& style) {
  picture_ = picture;
  style_ = style;
  // The view hands the former chart back.
  const std::unique_ptr<QChart> former(chart());
  auto next = make_chart(picture, style);
  // The view takes its own least size from the chart's; here whoever places the view decides (leastHeight).
  next->setMinimumSize(1, 1);
  setMinimumSize(1, 1);
  setChart(next.release());
  setBackgroundBrush(ground(style.dark).paper);
  painted_ = {};
  setAccessibleName(QString::fromStdString(picture.title));
  QStringList description{QString::fromStdString(picture.condition), QString::fromStdString(picture.note)};
  description.removeAll(QString());
  setAccessibleDescription(description.join(QLatin1Char('\n')));
}

int PictureView::leastHeight(int width) const {
  const auto* shown = dynamic_cast<const PictureChart*>(chart());
  return shown == nullptr ? 0 : static_cast<int>(shown->leastHeight(width));
}

QString PictureView::textAt(const QPoint& position) const {
  const auto* shown = dynamic_cast<const PictureChart*>(chart());
  return shown == nullptr ? QString() : shown->textAt(shown->mapFromScene(mapToScene(position)));
}

void PictureView::copyPicture() {
  if (!picture_) return;
  constexpr double scale = 2;
  QGuiApplication::clipboard()->setImage(draw_image(*picture_, width(), height(), scale, style_));
}

void PictureView::contextMenuEvent(QContextMenuEvent* event) {
  if (!picture_) return;
  auto* menu = new QMenu(this);
  menu->setAttribute(Qt::WA_DeleteOnClose);
  menu->addAction(tr("Save picture…"), this, &PictureView::saveRequested);
  menu->addAction(tr("Copy picture"), this, &PictureView::copyPicture);
  menu->popup(event->globalPos());
  event->accept();
}

void PictureView::paintEvent(QPaintEvent* event) {
  const QSize pixels = viewport()->size() * devicePixelRatioF();
  if (painted_.size() != pixels || painted_.devicePixelRatio() != devicePixelRatioF()) {
    painted_ = QPixmap(pixels);
    painted_.setDevicePixelRatio(devicePixelRatioF());
    QPainter painter(&painted_);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.fillRect(viewport()->rect(), backgroundBrush());
    render(&painter, QRectF(viewport()->rect()), viewport()->rect(), Qt::IgnoreAspectRatio);
  }
  QPainter(viewport()).drawPixmap(event->rect(), painted_,
                                  QRectF(QPointF(event->rect().topLeft()) * devicePixelRatioF(),
                                         QSizeF(event->rect().size()) * devicePixelRatioF())
                                      .toRect());
}

void PictureView::mouseMoveEvent(QMouseEvent* event) {
  QChartView::mouseMoveEvent(event);
  const QString text = textAt(event->position().toPoint());
  if (text.isEmpty()) {
    QToolTip::hideText();
  } else {
    QToolTip::showText(event->globalPosition().toPoint(), text, this);
  }
}

}  // namespace latchwright::charts

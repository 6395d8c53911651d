// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QGridLayout>
#include <QLabel>
#include <QScrollArea>
#include <QWidget>
#include <vector>

#include "charts/picture_view.h"

namespace latchwright::desk {

/// The pictures of the chosen link: below each other, side by side where there is room, scrolling. Views of
/// pictures that come again are kept, so that a live look does not flicker.
class PicturesPane : public QWidget {
  Q_OBJECT

 public:
  explicit PicturesPane(QWidget* parent = nullptr);
  void setPictures(const std::vector<report::Picture>& pictures, const charts::Style& style);
  /// A newer set is on its way: a mark at the corner, the pictures stay. words: what the mark says in place of
  /// that.
  void setStale(bool stale, const QString& words = {});
  /// What stands there while there are no pictures.
  void setHint(const QString& hint);

  const std::vector<charts::PictureView*>& views() const { return views_; }
  /// How many stand side by side now.
  int columns() const;

 Q_SIGNALS:
  /// The user asks to save this picture to a file.
  void saveRequested(const latchwright::report::Picture& picture);

 protected:
  void resizeEvent(QResizeEvent* event) override;
  void changeEvent(QEvent* event) override;
  bool eventFilter(QObject* watched, QEvent* event) override;

 private:
  void arrange();
  void placeMark();

  std::vector<charts::PictureView*> views_;
  QScrollArea* scroll_;
  QWidget* sheet_;
  QLabel* hint_;
  QLabel* mark_;
};

}  // namespace latchwright::desk

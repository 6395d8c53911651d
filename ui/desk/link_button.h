// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QAbstractButton>
#include <QStringList>

#include "desk/theme.h"
#include "report/run_links.h"

namespace latchwright::desk {

/// "battery", "door run", …: the kind of a link, without the door.
QString kind_words(report::LinkKind kind);

/// What a link's button shows.
struct LinkFace {
  QString kind;  ///< small, first line
  QString part;  ///< beside it
  Standing standing = Standing::neutral;
  QStringList
      state;  ///< the state in words without its sign, the longest first: the first that fits is shown
  bool greyed = false;  ///< a newer result is on its way
};

/// One link of the run: a button of two lines, its kind and part, then its state as sign, word and figures.
/// A chosen one (checked) has a thick frame, one with the keyboard's focus a dashed one inside.
class LinkButton : public QAbstractButton {
  Q_OBJECT

 public:
  LinkButton(const report::Link& link, QWidget* parent);
  const report::Link& link() const { return link_; }
  void setFace(const LinkFace& face);
  const LinkFace& face() const { return face_; }

  QSize sizeHint() const override;
  QSize minimumSizeHint() const override;
  /// The state as it fits now, with its sign.
  QString shownState() const;

 protected:
  void paintEvent(QPaintEvent* event) override;
  void keyPressEvent(QKeyEvent* event) override;
  void enterEvent(QEnterEvent* event) override;
  void leaveEvent(QEvent* event) override;

 private:
  QFont smallFont() const;
  QFont stateFont() const;
  int padding() const;

  report::Link link_;
  LinkFace face_;
};

}  // namespace latchwright::desk

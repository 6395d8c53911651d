// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QAbstractButton>
#include <optional>

#include "desk/theme.h"

namespace latchwright::desk {

/// A text of a few lines at most: what does not fit ends in "…" and stands in the tool tip. A text with line
/// ends keeps them, each of its lines cut by itself. Can be pressed like a button where pressing leads
/// somewhere. Never wider than its text.
class WrappedText : public QAbstractButton {
  Q_OBJECT

 public:
  WrappedText(int most_lines, QWidget* parent);
  /// The text itself is QAbstractButton's, without shortcuts. tip: more than the text; empty: the text where
  /// it is cut.
  void say(const QString& text, const QString& tip = {});
  /// Colours of a state, with room around; none: the window's.
  void setStanding(std::optional<Standing> standing, bool is_greyed);
  void setPressable(bool pressable);
  void setFaint(bool faint);
  /// Always as high as its most lines, so that what is below does not jump.
  void setSteady(bool steady);
  /// The lines as they fit into this width.
  QStringList linesAt(int width) const;
  /// Width of the longest line that is shown.
  int textWidth() const;

  QSize sizeHint() const override;
  QSize minimumSizeHint() const override;
  bool hasHeightForWidth() const override { return true; }
  int heightForWidth(int width) const override;

 protected:
  bool event(QEvent* event) override;
  void paintEvent(QPaintEvent* event) override;
  void keyPressEvent(QKeyEvent* event) override;

 private:
  int padding() const;

  int most_lines_;
  QString said_;
  QString tip_;
  std::optional<Standing> standing_;
  bool is_greyed_ = false;
  bool is_pressable_ = false;
  bool is_faint_ = false;
  bool is_steady_ = false;
};

}  // namespace latchwright::desk

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QFont>
#include <QString>
#include <QTextLayout>
#include <QTextOption>
#include <memory>
#include <vector>

#include "charts/sheet_pages.h"

// Blocks of a job sheet as pieces of pages.
namespace latchwright::charts {

/// Dots of a page's lengths.
constexpr double sheet_mm(double mm) { return mm * SheetPages::dots_per_inch / 25.4; }

/// The same on every machine with the same fonts.
QFont sheet_font(double points, bool bold = false);

/// Text broken into lines of a width. Plain: no markup in it counts.
class SheetWords {
 public:
  SheetWords(const QString& text, const QFont& font, double width, Qt::Alignment alignment = Qt::AlignLeft);
  double height() const { return height_; }
  int lines() const { return layout_->lineCount(); }
  double lineHeight(int line) const { return layout_->lineAt(line).height(); }
  void paint(QPainter& painter, double x, double y) const { layout_->draw(&painter, QPointF(x, y)); }
  void paintLine(QPainter& painter, int line, double x, double y) const;

 private:
  std::shared_ptr<QTextLayout> layout_;  // shared by the pieces that draw it
  double height_ = 0;
};

/// Turns blocks into pieces of a width, one after the other.
class SheetComposer {
 public:
  SheetComposer(double width, std::vector<PagePiece>& pieces) : width_(width), pieces_(pieces) {}

  void stop(const std::string& text);
  void title(const std::string& text, const std::string& below);
  void section(const std::string& title, bool begins_page);

  void operator()(const report::SheetHeading& heading);
  void operator()(const report::SheetParagraph& paragraph);
  void operator()(const report::SheetList& list);
  void operator()(const report::SheetNotice& notice);
  void operator()(const report::SheetTable& table);
  void operator()(const report::SheetForm& form);
  void operator()(const report::SheetPicture& picture);

 private:
  PagePiece& add(PagePiece piece);
  /// A piece a line, so that long texts go over pages.
  void addLines(const SheetWords& words, double indent, double gap, const QString& mark,
                const QFont& mark_font, bool with_next = false);

  double width_;
  std::vector<PagePiece>& pieces_;
  int section_ = 0;
};

}  // namespace latchwright::charts

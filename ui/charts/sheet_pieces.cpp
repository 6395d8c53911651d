// SPDX-License-Identifier: GPL-3.0-or-later
#include "charts/sheet_pieces.h"

#include <QPen>
#include <algorithm>

#include "charts/write_pictures.h"

namespace latchwright::charts {

namespace {

constexpr double body_pt = 9.5, faint_pt = 7.8;

QString sheet_string(const std::string& text) { return QString::fromStdString(text); }

QPen sheet_pen(double mm, const QColor& color = Qt::black) {
  QPen pen(color);
  pen.setWidthF(sheet_mm(mm));
  pen.setJoinStyle(Qt::MiterJoin);
  return pen;
}

struct NoticeColors {
  QColor edge, ground;
};

NoticeColors notice_colors(report::SheetNotice::Kind kind) {
  switch (kind) {
    case report::SheetNotice::Kind::good:
      return {QColor(0x2c, 0x6e, 0x2f), QColor(0xf1, 0xf8, 0xf1)};
    case report::SheetNotice::Kind::stop:
      return {QColor(0xa1, 0x12, 0x12), QColor(0xfd, 0xee, 0xee)};
    case report::SheetNotice::Kind::mind:
    case report::SheetNotice::Kind::caution:
      break;
  }
  return {QColor(0x8a, 0x5a, 0x00), QColor(0xff, 0xf8, 0xe8)};
}

}  // namespace

QFont sheet_font(double points, bool bold) {
  QFont font(QStringLiteral("DejaVu Sans"));
  font.setStyleHint(QFont::SansSerif);
  font.setPixelSize(qRound(points * SheetPages::dots_per_inch / 72));
  font.setBold(bold);
  font.setHintingPreference(QFont::PreferNoHinting);
  return font;
}

SheetWords::SheetWords(const QString& text, const QFont& font, double width, Qt::Alignment alignment)
    : layout_(std::make_shared<QTextLayout>(text, font)) {
  QTextOption option(alignment);
  option.setWrapMode(QTextOption::WrapAtWordBoundaryOrAnywhere);
  option.setTextDirection(Qt::LeftToRight);
  layout_->setTextOption(option);
  layout_->setCacheEnabled(true);
  layout_->beginLayout();
  for (QTextLine line = layout_->createLine(); line.isValid(); line = layout_->createLine()) {
    line.setLineWidth(width);
    line.setPosition(QPointF(0, height_));
    height_ += line.height();
  }
  layout_->endLayout();
}

void SheetWords::paintLine(QPainter& painter, int line, double x, double y) const {
  const QTextLine one = layout_->lineAt(line);
  one.draw(&painter, QPointF(x, y - one.y()));
}

PagePiece& SheetComposer::add(PagePiece piece) {
  piece.section = section_;
  pieces_.push_back(std::move(piece));
  return pieces_.back();
}

void SheetComposer::addLines(const SheetWords& words, double indent, double gap, const QString& mark,
                             const QFont& mark_font, bool with_next) {
  for (int line = 0; line < words.lines(); ++line) {
    PagePiece piece;
    piece.height = words.lineHeight(line);
    piece.gap = line == 0 ? gap : 0;
    // No line of a text stands alone at the end or the head of a page.
    piece.with_next = with_next || (words.lines() > 1 && (line == 0 || line == words.lines() - 2));
    const bool marked = line == 0 && !mark.isEmpty();
    piece.paint = [words, line, indent, mark, marked, mark_font](QPainter& painter, double x, double y) {
      if (marked) SheetWords(mark, mark_font, indent).paint(painter, x, y);
      words.paintLine(painter, line, x + indent, y);
    };
    add(std::move(piece));
  }
}

void SheetComposer::stop(const std::string& text) {
  if (!text.empty()) (*this)(report::SheetNotice{report::SheetNotice::Kind::stop, "✕ " + text, {}});
}

void SheetComposer::title(const std::string& text, const std::string& below) {
  addLines(SheetWords(sheet_string(text), sheet_font(17, true), width_), 0, sheet_mm(3), {}, {}, true);
  addLines(SheetWords(sheet_string(below), sheet_font(body_pt), width_), 0, sheet_mm(1), {}, {}, true);
}

void SheetComposer::section(const std::string& title, bool begins_page) {
  if (!pieces_.empty() && begins_page) ++section_;
  const std::size_t first = pieces_.size();
  addLines(SheetWords(sheet_string(title), sheet_font(14, true), width_), 0, sheet_mm(6), {}, {}, true);
  pieces_[first].begins_page = begins_page;
}

void SheetComposer::operator()(const report::SheetHeading& heading) {
  addLines(SheetWords(sheet_string(heading.text), sheet_font(11, true), width_), 0, sheet_mm(5), {}, {},
           true);
}

void SheetComposer::operator()(const report::SheetParagraph& paragraph) {
  const QFont font = sheet_font(paragraph.faint ? faint_pt : body_pt);
  addLines(SheetWords(sheet_string(paragraph.text), font, width_), 0, sheet_mm(1.8), {}, {});
}

void SheetComposer::operator()(const report::SheetList& list) {
  const QFont font = sheet_font(list.faint ? faint_pt : body_pt);
  const double indent = sheet_mm(list.numbered ? 6 : 4.5);
  for (std::size_t n = 0; n < list.items.size(); ++n) {
    const QString mark = list.numbered ? QStringLiteral("%1.").arg(n + 1) : QStringLiteral("•");
    addLines(SheetWords(sheet_string(list.items[n]), font, width_ - indent), indent, sheet_mm(1.2), mark,
             font);
  }
}

void SheetComposer::operator()(const report::SheetNotice& notice) {
  const double bar = sheet_mm(2), pad = sheet_mm(2.5), inside = width_ - bar - 2 * pad,
               indent = sheet_mm(4.5);
  const QFont font = sheet_font(body_pt);
  std::vector<SheetWords> words{SheetWords(sheet_string(notice.title), sheet_font(10.5, true), inside)};
  double height = 2 * pad + words.front().height();
  for (const auto& line : notice.lines) {
    words.emplace_back(sheet_string(line), font, inside - indent);
    height += words.back().height() + sheet_mm(1);
  }
  PagePiece piece;
  piece.height = height;
  piece.gap = sheet_mm(3);
  piece.paint = [words = std::move(words), colors = notice_colors(notice.kind), width = width_, height, bar,
                 pad, indent, font](QPainter& painter, double x, double y) {
    painter.save();
    painter.setPen(sheet_pen(0.35, colors.edge));
    painter.setBrush(colors.ground);
    painter.drawRect(QRectF(x, y, width, height));
    painter.fillRect(QRectF(x, y, bar, height), colors.edge);
    painter.restore();
    double at = y + pad;
    words.front().paint(painter, x + bar + pad, at);
    at += words.front().height();
    for (std::size_t n = 1; n < words.size(); ++n) {
      at += sheet_mm(1);
      SheetWords(QStringLiteral("•"), font, indent).paint(painter, x + bar + pad, at);
      words[n].paint(painter, x + bar + pad + indent, at);
      at += words[n].height();
    }
  };
  add(std::move(piece));
}

void SheetComposer::operator()(const report::SheetForm& form) {
  constexpr std::size_t a_row = 2;
  const double between = sheet_mm(6), height = sheet_mm(13);
  const double one = (width_ - between * (a_row - 1)) / a_row;
  const QFont font = sheet_font(faint_pt);
  for (std::size_t n = 0; n < form.labels.size(); n += a_row) {
    std::vector<SheetWords> words;
    for (std::size_t k = n; k < std::min(n + a_row, form.labels.size()); ++k) {
      words.emplace_back(sheet_string(form.labels[k]), font, one);
    }
    PagePiece piece;
    piece.height = height;
    piece.gap = n == 0 ? sheet_mm(2) : sheet_mm(1);
    piece.with_next = n + a_row < form.labels.size();
    piece.paint = [words = std::move(words), one, between, height](QPainter& painter, double x, double y) {
      painter.setPen(sheet_pen(0.3));
      for (std::size_t k = 0; k < words.size(); ++k) {
        const double left = x + static_cast<double>(k) * (one + between);
        words[k].paint(painter, left, y);
        painter.drawLine(QPointF(left, y + height), QPointF(left + one, y + height));
      }
    };
    add(std::move(piece));
  }
}

void SheetComposer::operator()(const report::SheetPicture& shown) {
  const QSizeF size = page_picture_size(shown.picture, {});
  PagePiece piece;
  piece.height = width_ * size.height() / size.width();
  piece.gap = sheet_mm(4);
  piece.paint = [picture = shown.picture, size, width = width_, height = piece.height](QPainter& painter,
                                                                                       double x, double y) {
    painter.save();
    paint_picture(painter, QRectF(x, y, width, height), picture, size, {});
    painter.restore();
  };
  add(std::move(piece));
}

}  // namespace latchwright::charts

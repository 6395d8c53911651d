// SPDX-License-Identifier: GPL-3.0-or-later
#include "charts/sheet_pages.h"

#include <QBuffer>
#include <QCoreApplication>
#include <QFontMetricsF>
#include <QPageLayout>
#include <QPageSize>
#include <QPdfWriter>

#include "charts/sheet_pieces.h"
#include "charts/write_pictures.h"

namespace latchwright::charts {

namespace {

constexpr double margin_mm = 14, head_mm = 9, foot_mm = 8;  // head and foot within the margins' frame
constexpr double edge_pt = 7.5;

QPageSize page_size_of(report::Paper paper) {
  return QPageSize(paper == report::Paper::letter ? QPageSize::Letter : QPageSize::A4);
}

QString page_words(const char* text) { return QCoreApplication::translate("sheet", text); }

}  // namespace

SheetPages::SheetPages(const report::JobSheet& sheet, report::Paper paper)
    : size_(page_size_of(paper).sizePixels(dots_per_inch)),
      title_(QString::fromStdString(sheet.title)),
      stop_(sheet.stop.empty() ? QString() : page_words("✕ not to be handed over like this")),
      origin_(QString::fromStdString(sheet.origin)) {
  SheetComposer composer(size_.width() - 2 * sheet_mm(margin_mm), pieces_);
  composer.stop(sheet.stop);
  std::string below = page_words("Job sheet for power door locks").toStdString();
  if (!sheet.date.empty()) below += ", " + sheet.date;
  composer.title(sheet.title, below);
  for (const auto& section : sheet.sections) {
    const bool first = &section == &sheet.sections.front();
    section_titles_.push_back(QString::fromStdString(section.title));
    composer.section(section.title, !first);
    if (!first) composer.stop(sheet.stop);
    for (const auto& block : section.blocks) std::visit(composer, block);
  }
  place();
}

void SheetPages::place() {
  const double top = sheet_mm(margin_mm), bottom = size_.height() - sheet_mm(margin_mm + foot_mm);
  double y = 0;
  const auto begin_page = [&](const PagePiece& piece) {
    // The first page begins with what matters most, not with its own title once more.
    y = pages_.empty() ? top : top + sheet_mm(head_mm);
    pages_.push_back({piece.section, {}});
  };
  for (std::size_t k = 0; k < pieces_.size(); ++k) {
    const PagePiece& piece = pieces_[k];
    // What must stay together with it, down to the first that may end a page.
    double needed = piece.height;
    for (std::size_t n = k; pieces_[n].with_next && n + 1 < pieces_.size() && !pieces_[n + 1].begins_page;
         ++n) {
      needed += pieces_[n + 1].gap + pieces_[n + 1].height;
    }
    const bool fresh = !pages_.empty() && pages_.back().pieces.empty();
    if (pages_.empty() || piece.begins_page || (!fresh && y + piece.gap + needed > bottom)) {
      begin_page(piece);
      if (piece.head > 0) {
        pages_.back().pieces.push_back({piece.head - 1, y});
        y += pieces_[piece.head - 1].height;
      }
    } else {
      y += piece.gap;
    }
    pages_.back().pieces.push_back({k, y});
    y += piece.height;
  }
}

void SheetPages::paint(QPainter& painter, int page) const {
  const PageOfSheet& shown = pages_.at(static_cast<std::size_t>(page));
  painter.save();
  painter.setRenderHints(QPainter::Antialiasing | QPainter::TextAntialiasing);
  painter.setPen(Qt::black);
  painter.setBrush(Qt::NoBrush);
  const double left = sheet_mm(margin_mm), right = size_.width() - left, width = right - left;
  const QFont font = sheet_font(edge_pt), bold = sheet_font(edge_pt, true);
  const QFontMetricsF metrics(font);
  const auto edge_line = [&](double y) {
    QPen pen(QColor(0x88, 0x88, 0x88));
    pen.setWidthF(sheet_mm(0.15));
    painter.setPen(pen);
    painter.drawLine(QPointF(left, y), QPointF(right, y));
    painter.setPen(Qt::black);
  };
  if (page > 0) {
    const double y = sheet_mm(margin_mm);
    QString name = section_titles_.at(static_cast<std::size_t>(shown.section));
    const double stop_width =
        stop_.isEmpty() ? 0 : QFontMetricsF(bold).horizontalAdvance(stop_) + sheet_mm(4);
    const double room = width - stop_width - metrics.horizontalAdvance(name) - sheet_mm(6);
    name = metrics.elidedText(title_, Qt::ElideRight, room) + QStringLiteral("  ·  ") + name;
    SheetWords(name, font, width).paintLine(painter, 0, left, y);
    if (!stop_.isEmpty()) SheetWords(stop_, bold, width, Qt::AlignRight).paintLine(painter, 0, left, y);
    edge_line(y + metrics.height() + sheet_mm(0.8));
  }
  for (const Placed& placed : shown.pieces) {
    painter.setPen(Qt::black);
    pieces_[placed.piece].paint(painter, left, placed.y);
  }
  const double y = size_.height() - sheet_mm(margin_mm) - metrics.height();
  edge_line(y - sheet_mm(0.8));
  const QString number = QCoreApplication::translate("sheet", "page %1 of %2").arg(page + 1).arg(count());
  SheetWords(origin_, font, width).paintLine(painter, 0, left, y);
  SheetWords(number, font, width, Qt::AlignRight).paintLine(painter, 0, left, y);
  painter.restore();
}

QByteArray draw_sheet_pdf(const report::JobSheet& sheet, report::Paper paper) {
  const SheetPages pages(sheet, paper);
  const SteadyHashes steady;
  QByteArray bytes;
  QBuffer buffer(&bytes);
  buffer.open(QIODevice::WriteOnly);
  QPdfWriter pdf(&buffer);
  pdf.setTitle(
      QCoreApplication::translate("sheet", "Job sheet: %1").arg(QString::fromStdString(sheet.title)));
  pdf.setCreator(QStringLiteral("Latchwright"));
  pdf.setResolution(SheetPages::dots_per_inch);
  pdf.setPageLayout(QPageLayout(page_size_of(paper), QPageLayout::Portrait, QMarginsF(0, 0, 0, 0)));
  QPainter painter(&pdf);
  for (int page = 0; page < pages.count(); ++page) {
    if (page > 0) pdf.newPage();
    pages.paint(painter, page);
  }
  painter.end();
  blank_date(bytes);
  return bytes;
}

}  // namespace latchwright::charts

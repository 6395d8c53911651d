// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/bench_sheet_pane.h"

#include <QHeaderView>
#include <QVBoxLayout>
#include <cmath>

namespace latchwright::desk {

namespace {

/// A figure in the unit that people see.
QString figure_text(double value, const bench::Expected& reading, units::UnitSystem units) {
  if (std::isinf(value)) return BenchSheetPane::tr("never");
  if (reading.unit == "N") return units::value_text(value, reading.unit, units);
  return QString::fromStdString(report::reading_text(value, reading));
}

}  // namespace

BenchSheetPane::BenchSheetPane(QWidget* parent)
    : QWidget(parent),
      heading_(new QLabel(tr("What a sound one should read"), this)),
      mark_(new QLabel(tr("computing…"), this)),
      table_(new FlatTable({tr("reading"), tr("as stated"), tr("sound ones, with tolerances")}, this)),
      warnings_(new WrappedText(3, this)),
      how_(new WrappedText(2, this)),
      scatter_(new WrappedText(2, this)),
      pictures_(new PicturesPane(this)) {
  setAccessibleName(tr("what a sound one should read"));
  QFont bold = heading_->font();
  bold.setBold(true);
  heading_->setFont(bold);
  mark_->hide();
  table_->setAccessibleName(tr("readings of a sound actuator"));
  warnings_->setAccessibleName(tr("before it is held"));
  how_->setSteady(true);
  scatter_->setFaint(true);
  pictures_->setAccessibleDescription(tr("Pictures of the actuator on the bench."));
  pictures_->setHint({});
  auto* top = new QHBoxLayout;
  top->addWidget(heading_);
  top->addStretch();
  top->addWidget(mark_);
  auto* layout = new QVBoxLayout(this);
  layout->setContentsMargins(0, 0, 0, 0);
  layout->setSpacing(4);
  layout->addLayout(top);
  layout->addWidget(warnings_);
  layout->addWidget(table_);
  layout->addWidget(how_);
  layout->addWidget(scatter_);
  layout->addWidget(pictures_, 1);
  connect(table_, &QTableWidget::currentCellChanged, this, &BenchSheetPane::tellHow);
  connect(pictures_, &PicturesPane::saveRequested, this, &BenchSheetPane::saveRequested);
  connect(&task_, &LatestTask::finished, this, [this] {
    mark_->hide();
    pictures_->setStale(false);
  });
  connect(&task_, &LatestTask::failed, this, [this](const QString& text) {
    mark_->setText(tr("could not be computed: %1").arg(text));
    mark_->show();
  });
}

void BenchSheetPane::setSubject(const BenchSubject& subject) {
  subject_ = subject;
  compute();
}

void BenchSheetPane::setStyle(const charts::Style& style) {
  style_ = style;
  fill();
}

void BenchSheetPane::compute() {
  if (!subject_.part) {
    task_.cancel();
    shown_.reset();
    mark_->setText(tr("there is no actuator to choose"));
    mark_->show();
    fill();
    return;
  }
  mark_->setText(tr("computing…"));
  mark_->setVisible(shown_.has_value());
  pictures_->setStale(shown_.has_value());
  task_.start([this, subject = subject_](LatestTask::Handle& handle) {
    report::BenchReport report;
    report.part = subject.part->id;
    report.title = subject.part->title;
    report.invented = subject.part->source.kind == "invented";
    report.sheet =
        bench::make_sheet(subject.actuator(), subject.curve, subject.ambient_C, subject.supply_V, handle);
    handle.tell([this, report = std::move(report)] { show(report); });
  });
}

void BenchSheetPane::show(report::BenchReport report) {
  shown_ = std::move(report);
  fill();
}

void BenchSheetPane::fill() {
  const int chosen = table_->currentRow();
  if (!shown_) {
    table_->setRowCount(0);
    pictures_->setPictures({}, style_);
    tellHow();
    return;
  }
  const auto& readings = shown_->sheet.readings;
  table_->setRowCount(static_cast<int>(readings.size()));
  for (std::size_t k = 0; k < readings.size(); ++k) {
    const bench::Expected& reading = readings[k];
    QStringList cells{QString::fromStdString(reading.name), QStringLiteral("–"), QString()};
    if (reading.value) {
      cells[1] = figure_text(*reading.value, reading, style_.units);
      cells[2] = tr("%1 to %2")
                     .arg(figure_text(reading.low, reading, style_.units),
                          figure_text(reading.high, reading, style_.units));
    } else {
      cells[2] = tr("see below");
    }
    table_->setRow(static_cast<int>(k), cells, QString::fromStdString(reading.remark));
  }
  QStringList warnings;
  for (const auto& each : shown_->sheet.warnings) warnings << QString::fromStdString(each);
  warnings_->say(warnings.isEmpty() ? QString() : tr("⚠ %1").arg(warnings.join(QStringLiteral(" "))));
  warnings_->setVisible(!warnings.isEmpty());
  table_->fit();
  if (chosen < 0) table_->setCurrentCell(0, 0);
  tellHow();
  pictures_->setPictures(report::bench_pictures(*shown_), style_);
}

void BenchSheetPane::tellHow() {
  const int row = table_->currentRow();
  if (!shown_ || row < 0 || row >= static_cast<int>(shown_->sheet.readings.size())) {
    how_->say({});
    scatter_->say({});
    return;
  }
  const auto& reading = shown_->sheet.readings[static_cast<std::size_t>(row)];
  how_->say(tr("%1: %2").arg(QString::fromStdString(reading.name), QString::fromStdString(reading.remark)));
  QStringList scatter;
  for (const auto& each : shown_->sheet.scatter) scatter << QString::fromStdString(each);
  scatter_->say(tr("Tolerances: %1").arg(scatter.join(QStringLiteral("; "))));
}

}  // namespace latchwright::desk

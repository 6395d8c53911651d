// SPDX-License-Identifier: GPL-3.0-or-later
#include <QGridLayout>
#include <QHeaderView>
#include <QScrollArea>
#include <QVBoxLayout>

#include "base/text.h"
#include "bench/reading_fields.h"
#include "desk/bench_fit_pane.h"
#include "desk/field_words.h"
#include "desk/row_words.h"
#include "model/part_fields.h"

// How the measuring pane looks.
namespace latchwright::desk {

namespace {

/// "winding resistance" of "/motor/resistance_ohm".
QString parameter_words(const std::string& pointer) {
  if (pointer == "curve_shift_K") return BenchFitPane::tr("thermistor's switching shifted by");
  const std::size_t cut = pointer.rfind('/');
  if (cut != std::string::npos && cut > 0) {
    const std::string record = pointer.substr(1, cut - 1);
    const model::RecordInfo* info = record == "motor"     ? &model::motor_table().info()
                                    : record == "drive"   ? &model::drive_table().info()
                                    : record == "thermal" ? &model::thermal_table().info()
                                    : record == "ptc"     ? &model::ptc_table().info()
                                                          : nullptr;
    for (std::size_t k = 0; info != nullptr && k < info->fields.size(); ++k) {
      if (info->fields[k].key != pointer.substr(cut + 1)) continue;
      const QString whose = record == "ptc"       ? BenchFitPane::tr("thermistor")
                            : record == "thermal" ? BenchFitPane::tr("heat")
                                                  : record_label(record);
      return BenchFitPane::tr("%1: %2").arg(whose, field_label(record, info->fields[k]));
    }
  }
  return QString::fromStdString(pointer);
}

QString shown_ohm(const std::string& unit) {
  return unit == "ohm" ? BenchFitPane::tr("Ω") : QString::fromStdString(unit);
}

}  // namespace

BenchFitPane::BenchFitPane(Document& document, QWidget* parent)
    : QWidget(parent),
      document_(document),
      fault_(new QLabel(this)),
      list_(new FlatTable({tr("log"), tr("rod"), tr("samples"), tr("lasts")}, this)),
      remove_(new QPushButton(tr("Re&move"), this)),
      force_unit_(new QLabel(QStringLiteral("N"), this)),
      fit_(new QPushButton(tr("Fi&t the part to them"), this)),
      keep_(new QPushButton(tr("&Keep it as an own part…"), this)),
      cancel_(new QPushButton(tr("Cancel"), this)),
      progress_(new QProgressBar(this)),
      result_place_(new QWidget(this)),
      refused_(new QLabel(this)),
      parameters_(new FlatTable(
          {tr("figure"), tr("fitted"), tr("± standard error"), tr("of the part it is like")}, this)),
      remarks_(new QLabel(this)),
      pictures_(new PicturesPane(this)),
      id_(new QLineEdit(this)) {
  setAccessibleName(tr("measure it"));
  setAcceptDrops(true);
  layOut();
  connect(&task_, &LatestTask::progressed, this, [this](double fraction, const QString&) {
    progress_->setValue(static_cast<int>(1000 * fraction));
  });
  connect(&task_, &LatestTask::finished, this, &BenchFitPane::showBusy);
  connect(&task_, &LatestTask::cancelled, this, &BenchFitPane::showBusy);
  connect(&task_, &LatestTask::failed, this, [this](const QString& text) {
    tell(text);
    showBusy();
  });
  connect(fit_, &QPushButton::clicked, this, &BenchFitPane::fit);
  connect(cancel_, &QPushButton::clicked, &task_, &LatestTask::cancel);
  connect(remove_, &QPushButton::clicked, this, [this] { removeLog(list_->currentRow()); });
  connect(pictures_, &PicturesPane::saveRequested, this, &BenchFitPane::saveRequested);
  tell({});
  showLogs();
  showResult();
}

void BenchFitPane::layOut() {
  auto* how = new QLabel(tr("Hold the rod in a vice, switch the power on through a fuse and log current and "
                            "voltage at its leads until it has "
                            "tripped and half a minute more. Files: CSV with the columns time_s, current_A, "
                            "voltage_V and perhaps case_C. "
                            "They can be dropped here."),
                         this);
  how->setWordWrap(true);
  fault_->setWordWrap(true);
  fault_->setTextFormat(Qt::PlainText);
  fault_->setAccessibleName(tr("what is wrong"));
  progress_->setRange(0, 1000);
  progress_->setAccessibleName(tr("How far the fit is"));
  progress_->hide();
  cancel_->hide();
  auto* go = new QHBoxLayout;
  go->addWidget(fit_);
  go->addWidget(progress_, 1);
  go->addWidget(cancel_);
  go->addStretch();
  auto* scroll = new QScrollArea(this);
  scroll->setFrameShape(QFrame::NoFrame);
  scroll->setWidgetResizable(true);
  scroll->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
  scroll->setFocusPolicy(Qt::NoFocus);
  auto* inside = new QWidget(scroll);
  auto* sheet = new QVBoxLayout(inside);
  sheet->setContentsMargins(0, 4, 4, 0);
  sheet->setSpacing(6);
  sheet->addWidget(how);
  sheet->addWidget(makeLogs());
  sheet->addWidget(makeHandReadings());
  sheet->addLayout(go);
  sheet->addWidget(fault_);
  sheet->addWidget(makeResult());
  sheet->addStretch();
  scroll->setWidget(inside);
  for (QWidget* each : {scroll->viewport(), inside}) each->setAutoFillBackground(false);
  auto* layout = new QVBoxLayout(this);
  layout->setContentsMargins(6, 2, 2, 2);
  layout->addWidget(scroll);
}

QWidget* BenchFitPane::makeLogs() {
  auto* place = new QWidget(this);
  auto* held = new QPushButton(tr("Add he&ld logs…"), place);
  auto* free = new QPushButton(tr("Add logs run&ning free…"), place);
  connect(held, &QPushButton::clicked, this, [this] { askForLogs(false); });
  connect(free, &QPushButton::clicked, this, [this] { askForLogs(true); });
  list_->setAccessibleName(tr("logs"));
  connect(list_, &QTableWidget::currentCellChanged, this, [this](int row) { remove_->setEnabled(row >= 0); });
  auto* buttons = new QHBoxLayout;
  buttons->addWidget(held);
  buttons->addWidget(free);
  buttons->addWidget(remove_);
  buttons->addStretch();
  auto* layout = new QVBoxLayout(place);
  layout->setContentsMargins(0, 0, 0, 0);
  layout->addLayout(buttons);
  layout->addWidget(list_);
  return place;
}

QWidget* BenchFitPane::makeHandReadings() {
  auto* place = new QWidget(this);
  auto* row = new QHBoxLayout(place);
  row->setContentsMargins(0, 0, 0, 0);
  const auto add = [&](const char* key, const QString& name, QLabel* unit) {
    const QString meaning = QString::fromStdString(bench::reading_field(key).meaning);
    auto* line = new QLineEdit(place);
    line->setPlaceholderText(tr("not read"));
    line->setAlignment(Qt::AlignRight);
    line->setFixedWidth(11 * fontMetrics().averageCharWidth());
    line->setAccessibleName(name);
    line->setAccessibleDescription(meaning);
    line->setToolTip(tip_text(meaning));
    auto* label = new QLabel(name, place);
    label->setBuddy(line);
    row->addWidget(label);
    row->addWidget(line);
    row->addWidget(unit);
    row->addSpacing(fontMetrics().averageCharWidth());
    fields_[QString::fromLatin1(key)] = line;
    connect(line, &QLineEdit::textEdited, this, [this] { forget(); });
  };
  add("cold", tr("cold"), new QLabel(tr("Ω"), place));
  add("force", tr("force"), force_unit_);
  add("throw", tr("throw"), new QLabel(tr("s"), place));
  row->addStretch();
  return place;
}

QWidget* BenchFitPane::makeResult() {
  parameters_->setAccessibleName(tr("fitted figures"));
  remarks_->setWordWrap(true);
  remarks_->setTextFormat(Qt::PlainText);
  remarks_->setAccessibleName(tr("remarks on the fit"));
  pictures_->setAccessibleDescription(tr("The logs and the fit, and what is left between them."));
  pictures_->setHint({});
  pictures_->setMinimumHeight(58 * fontMetrics().height());
  auto* name = new QLabel(tr("I&d of the measured part"), this);
  name->setBuddy(id_);
  id_->setAccessibleName(tr("id of the measured part"));
  refused_->setWordWrap(true);
  refused_->setTextFormat(Qt::PlainText);
  refused_->setAccessibleName(tr("why this is no measurement"));
  keep_->setToolTip(tip_text(tr("Writes a part file and adds it to your own part files (see Parts)")));
  connect(keep_, &QPushButton::clicked, this, &BenchFitPane::askWhere);
  auto* row = new QHBoxLayout;
  row->addWidget(name);
  row->addWidget(id_, 1);
  row->addWidget(keep_);
  auto* layout = new QVBoxLayout(result_place_);
  layout->setContentsMargins(0, 0, 0, 0);
  layout->addWidget(refused_);
  layout->addWidget(parameters_);
  layout->addLayout(row);
  layout->addWidget(remarks_);
  layout->addWidget(pictures_);
  return result_place_;
}

void BenchFitPane::tell(const QString& fault) {
  told_ = fault;
  fault_->setText(fault.isEmpty() ? QString() : tr("✕ %1").arg(fault));
  fault_->setVisible(!fault.isEmpty());
}

void BenchFitPane::showLogs() {
  list_->setRowCount(static_cast<int>(logs_.size()));
  for (std::size_t k = 0; k < logs_.size(); ++k) {
    const model::BenchLog& log = logs_[k].log;
    const double lasts = log.time_s.empty() ? 0 : log.time_s.back() - log.time_s.front();
    list_->setRow(static_cast<int>(k),
                  {QString::fromStdString(log.name), logs_[k].free ? tr("runs free") : tr("held"),
                   QString::number(log.time_s.size()), QString::fromStdString(base::wait_text(lasts))});
  }
  list_->setVisible(!logs_.empty());
  list_->fit();
  remove_->setEnabled(list_->currentRow() >= 0 && !logs_.empty());
  showBusy();
}

void BenchFitPane::showBusy() {
  const bool busy = task_.isRunning();
  progress_->setVisible(busy);
  cancel_->setVisible(busy);
  if (busy) progress_->setValue(0);
  const bool held = std::any_of(logs_.begin(), logs_.end(), [](const Log& log) { return !log.free; });
  fit_->setEnabled(!busy && held && subject_.part != nullptr);
  fit_->setToolTip(held ? QString() : tr("At least one log of the actuator held is needed"));
}

void BenchFitPane::showResult() {
  result_place_->setVisible(result_.has_value());
  if (!result_) return;
  const bench::Fit& fit = result_->fit;
  const bool is_part = result_->part.has_value();
  QStringList reasons;
  for (const auto& reason : fit.refused) reasons << tr("✕ %1").arg(QString::fromStdString(reason));
  reasons << tr("No part comes of this. What follows only shows how far the fit got.");
  refused_->setText(is_part ? QString() : reasons.join(QLatin1Char('\n')));
  refused_->setVisible(!is_part);
  keep_->setEnabled(is_part);
  id_->setEnabled(is_part);
  parameters_->setRowCount(static_cast<int>(fit.parameters.size()));
  for (std::size_t k = 0; k < fit.parameters.size(); ++k) {
    const bench::FitParameter& each = fit.parameters[k];
    const auto figure = [&](double value, int digits) {
      return tr("%1 %2")
          .arg(QString::fromStdString(base::significant(value, digits)), shown_ohm(each.unit))
          .trimmed();
    };
    parameters_->setRow(static_cast<int>(k),
                        {parameter_words(each.name), figure(each.value, 4),
                         each.identified && each.standard_error ? figure(*each.standard_error, 2)
                                                                : tr("not told by the logs"),
                         figure(each.prior, 4)});
  }
  parameters_->fit();
  QStringList remarks{
      tr("Measured and fitted current differ by %1 A r.m.s. Every figure that is not in this table is that "
         "of the part it is like.")
          .arg(QString::fromStdString(base::significant(fit.residual_rms_A, 2)))};
  for (const auto& remark : fit.remarks) remarks << QString::fromStdString(remark);
  remarks_->setText(remarks.join(QLatin1Char('\n')));
  pictures_->setPictures(report::fit_pictures(*result_), style_);
}

}  // namespace latchwright::desk

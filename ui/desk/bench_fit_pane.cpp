// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/bench_fit_pane.h"

#include <QDragEnterEvent>
#include <QFileDialog>
#include <QFileInfo>
#include <QMimeData>
#include <algorithm>

#include "base/failure.h"
#include "base/text.h"
#include "bench/reading_fields.h"
#include "desk/number_entry.h"
#include "io/bench_log.h"
#include "io/files.h"
#include "io/json.h"
#include "model/catalogue.h"

namespace latchwright::desk {

void BenchFitPane::setSubject(const BenchSubject& subject) {
  subject_ = subject;
  task_.cancel();
  forget();
  showBusy();
  readNext();
}

void BenchFitPane::setStyle(const charts::Style& style) {
  const units::ShownUnit before = units::shown_unit("N", style_.units),
                         force = units::shown_unit("N", style.units);
  QLineEdit* line = fields_.at(QStringLiteral("force"));
  const TypedNumber typed = read_typed(line->text(), before.text);
  constexpr int digits = 6;  // a reading is not rounded because it is looked at in another unit
  if (style.units != style_.units && typed.value) {
    line->setText(QString::number(force.shown(before.file(*typed.value)), 'g', digits));
  }
  force_unit_->setText(force.text);
  style_ = style;
  showResult();
}

void BenchFitPane::addLogs(const QStringList& paths, bool free) {
  for (const QString& path : paths) waiting_.emplace_back(path, free);
  tell({});
  forget();
  readNext();
}

void BenchFitPane::readNext() {
  if (waiting_.empty()) return;
  task_.start([this, paths = waiting_](LatestTask::Handle& handle) {
    std::vector<Log> read;
    QStringList faults;
    for (const auto& [path, free] : paths) {
      if (handle.cancelled()) throw base::Cancelled();
      auto log = io::read_bench_log(path.toStdString());
      if (log.ok()) {
        read.push_back({std::move(log.value()), free});
        continue;
      }
      faults << QString::fromStdString(log.issues().front().line());
    }
    handle.tell([this, read = std::move(read), faults] {
      waiting_.clear();
      logs_.insert(logs_.end(), read.begin(), read.end());
      tell(faults.join(QLatin1Char('\n')));
      showLogs();
    });
  });
  showBusy();
}

void BenchFitPane::removeLog(int index) {
  if (index < 0 || index >= static_cast<int>(logs_.size())) return;
  logs_.erase(logs_.begin() + index);
  forget();
  showLogs();
}

std::optional<model::HandReadings> BenchFitPane::handReadings() {
  model::HandReadings hand;
  hand.ambient_C = subject_.ambient_C;
  const auto take = [&](const char* key, std::optional<double>& into) {
    const QLineEdit* line = fields_.at(QString::fromLatin1(key));
    if (line->text().trimmed().isEmpty()) return true;
    const model::FieldInfo& info = bench::reading_field(key);
    const units::ShownUnit unit = units::shown_unit(info.unit, style_.units);
    const TypedNumber typed = read_typed(line->text(), unit.text);
    QString fault = typed.why;
    if (typed.value) {
      into = file_number(*typed.value, unit);
      fault = range_fault(*into, info, style_.units);
    }
    if (!fault.isEmpty()) tell(tr("%1: %2").arg(line->accessibleName(), fault));
    return fault.isEmpty();
  };
  if (!take("cold", hand.cold_ohm) || !take("force", hand.force_N) || !take("throw", hand.throw_s)) {
    return std::nullopt;
  }
  return hand;
}

void BenchFitPane::fit() {
  if (!subject_.part || logs_.empty()) return;
  tell({});
  const auto hand = handReadings();
  if (!hand) return;
  std::vector<model::BenchLog> held, free;
  for (const Log& log : logs_) (log.free ? free : held).push_back(log.log);
  forget();
  task_.start([this, subject = subject_, held = std::move(held), free = std::move(free),
               hand = *hand](LatestTask::Handle& handle) {
    report::FitReport report = report::make_fit_report(
        bench::fit_actuator(subject.actuator(), subject.curve, held, free, hand, handle), *subject.part,
        hand);
    handle.tell([this, report = std::move(report)] {
      result_ = report;
      id_->setText(report.part ? QString::fromStdString(report.part->id) : QString());
      showResult();
    });
  });
  showBusy();
}

bool BenchFitPane::keep(const QString& path, bool overwrite) {
  tell({});
  if (!result_) return false;
  if (!result_->part) {
    tell(tr("This is no measurement of the actuator: there is no part to keep."));
    return false;
  }
  model::Part part = *result_->part;
  part.id = id_->text().trimmed().toStdString();
  const model::Raw file = report::parts_file(part);
  const std::string name = path.toStdString();
  // A fit may lead a figure out of what a part may have, and an id is typed by hand.
  const auto checked = model::check_parts_file(file, QFileInfo(path).fileName().toStdString());
  if (!checked.ok()) {
    tell(QString::fromStdString(checked.issues().front().line()));
    return false;
  }
  try {
    io::save_text(name, io::write_json(file), overwrite);
  } catch (const base::UsageError& error) {
    tell(QString::fromStdString(error.what()));
    return false;
  }
  std::vector<std::string> files = document_.partFiles();
  if (std::find(files.begin(), files.end(), name) == files.end()) files.push_back(name);
  const auto faults = document_.setPartFiles(files);
  if (!faults.empty()) {
    tell(tr("%1 was written, but is not among the own part files: %2")
             .arg(QFileInfo(path).fileName(), QString::fromStdString(faults.front().line())));
    return false;
  }
  Q_EMIT partKept(QString::fromStdString(part.id));
  fault_->setText(tr("✓ %1 is kept in %2 and lies on the bench now.")
                      .arg(QString::fromStdString(part.id), QFileInfo(path).fileName()));
  fault_->show();
  return true;
}

void BenchFitPane::askForLogs(bool free) {
  const QStringList paths =
      QFileDialog::getOpenFileNames(this, free ? tr("Logs of it running free") : tr("Logs of it held"),
                                    QString(), tr("Logs (*.csv);;All files (*)"));
  if (!paths.isEmpty()) addLogs(paths, free);
}

void BenchFitPane::askWhere() {
  if (!result_ || !result_->part) return;
  const QString path = QFileDialog::getSaveFileName(this, tr("Keep the measured part in"),
                                                    id_->text().trimmed() + QStringLiteral(".json"),
                                                    tr("Part files (*.json)"));
  // The dialog has asked about a file that exists.
  if (!path.isEmpty()) keep(path, true);
}

void BenchFitPane::forget() {
  result_.reset();
  showResult();
}

void BenchFitPane::dragEnterEvent(QDragEnterEvent* event) {
  const auto urls = event->mimeData()->urls();
  const bool logs = !urls.isEmpty() && std::all_of(urls.begin(), urls.end(), [](const QUrl& url) {
    return url.isLocalFile() && url.toLocalFile().endsWith(QLatin1String(".csv"), Qt::CaseInsensitive);
  });
  // Anything else is the window's: a job.
  logs ? event->acceptProposedAction() : event->ignore();
}

void BenchFitPane::dropEvent(QDropEvent* event) {
  event->acceptProposedAction();
  QStringList paths;
  for (const QUrl& url : event->mimeData()->urls()) paths << url.toLocalFile();
  addLogs(paths, false);
}

}  // namespace latchwright::desk

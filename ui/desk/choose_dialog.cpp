// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/choose_dialog.h"

#include <QDialogButtonBox>
#include <QHeaderView>
#include <QSplitter>
#include <QTabWidget>
#include <QVBoxLayout>

#include "base/failure.h"
#include "base/text.h"
#include "base/worker_pool.h"
#include "desk/table_copy.h"
#include "model/place.h"
#include "report/check_report.h"
#include "report/check_words.h"
#include "report/size_words.h"

namespace latchwright::desk {

namespace {

QString text_of(const std::string& text) { return QString::fromStdString(text); }

QTableWidget* plain_table(const QStringList& titles, const QString& name, QWidget* parent) {
  auto* table = new QTableWidget(0, static_cast<int>(titles.size()), parent);
  table->setHorizontalHeaderLabels(titles);
  table->setAccessibleName(name);
  table->setEditTriggers(QAbstractItemView::NoEditTriggers);
  table->setSelectionBehavior(QAbstractItemView::SelectRows);
  table->setTabKeyNavigation(false);
  table->verticalHeader()->hide();
  table->horizontalHeader()->setStretchLastSection(true);
  make_copyable(table);
  return table;
}

void add_row(QTableWidget& table, const QStringList& cells) {
  const int row = table.rowCount();
  table.insertRow(row);
  for (int column = 0; column < cells.size(); ++column) {
    auto* item = new QTableWidgetItem(cells[column]);
    item->setToolTip(cells[column]);
    table.setItem(row, column, item);
  }
}

/// What kind of part sits at a place.
QString what_text(model::PlaceKind kind) {
  switch (kind) {
    case model::PlaceKind::main_fuse:
    case model::PlaceKind::door_fuse:
      return ChooseDialog::tr("fuse");
    case model::PlaceKind::relay:
      return ChooseDialog::tr("relay");
    case model::PlaceKind::actuator:
      return ChooseDialog::tr("actuator");
    case model::PlaceKind::feed_wire:
    case model::PlaceKind::door_wire:
      break;
  }
  return ChooseDialog::tr("wire");
}

}  // namespace

ChooseDialog::ChooseDialog(Document& document, QWidget* parent)
    : QDialog(parent),
      document_(document),
      study_(document.study()),
      heading_(new QLabel(this)),
      words_(new QLabel(this)),
      progress_(new QProgressBar(this)),
      sets_(new QListWidget(this)),
      parts_(plain_table({tr("where"), tr("what"), tr("part"), tr("title")}, tr("Parts of the chosen set"), this)),
      turned_down_(plain_table({tr("part"), tr("for"), tr("why not")}, tr("Parts turned down"), this)) {
  setWindowTitle(tr("Choose parts"));
  heading_->setWordWrap(true);
  words_->setWordWrap(true);
  words_->setTextInteractionFlags(Qt::TextSelectableByMouse);
  progress_->setRange(0, 1000);
  sets_->setAccessibleName(tr("Sets that pass, best first"));
  sets_->setWordWrap(true);
  auto* set_page = new QSplitter(Qt::Horizontal, this);
  set_page->addWidget(sets_);
  set_page->addWidget(parts_);
  set_page->setStretchFactor(0, 2);
  set_page->setStretchFactor(1, 3);
  auto* pages = new QTabWidget(this);
  pages->addTab(set_page, tr("&Sets that pass"));
  pages->addTab(turned_down_, tr("&Turned down"));

  auto* buttons = new QDialogButtonBox(QDialogButtonBox::Cancel, this);
  apply_ = buttons->addButton(tr("&Put this set into the job"), QDialogButtonBox::AcceptRole);
  apply_->setEnabled(false);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
  connect(buttons, &QDialogButtonBox::accepted, this, [this] {
    if (apply()) accept();
  });
  connect(sets_, &QListWidget::currentRowChanged, this, &ChooseDialog::showSet);
  connect(this, &QDialog::finished, &task_, &LatestTask::cancel);

  auto* layout = new QVBoxLayout(this);
  layout->addWidget(heading_);
  layout->addWidget(progress_);
  layout->addWidget(pages, 1);
  layout->addWidget(words_);
  layout->addWidget(buttons);
  resize(fontMetrics().averageCharWidth() * 130, fontMetrics().height() * 32);

  base::require(study_ != nullptr, "there is a job to choose parts for");
  const auto open = model::open_places(*study_).size();
  heading_->setText(open == 0 ? tr("Nothing is left open: the set as it stands is judged …")
                              : tr("%n part(s) to be chosen: looking for sets that pass every check …", nullptr,
                                   static_cast<int>(open)));
  connect(&task_, &LatestTask::progressed, this,
          [this](double fraction, const QString&) { progress_->setValue(static_cast<int>(fraction * 1000)); });
  connect(&task_, &LatestTask::failed, this, [this](const QString& text) {
    progress_->hide();
    heading_->setText(tr("No parts were chosen: %1").arg(text));
  });
  task_.start([this, study = study_](LatestTask::Handle& handle) {
    auto found = std::make_shared<const choose::SizeResult>(
        choose::size(*study, base::available_workers(), handle));
    handle.tell([this, found = std::move(found)] { showResult(found); });
  });
}

void ChooseDialog::showResult(std::shared_ptr<const choose::SizeResult> result) {
  result_ = std::move(result);
  progress_->hide();
  const report::Style plain;
  sets_->clear();
  if (result_->picks.empty()) {
    const auto& miss = *result_->nearest;
    heading_->setText(tr("<b>None of the %n set(s) judged passes every check.</b> The nearest miss is shown.", nullptr,
                         static_cast<int>(result_->sets_judged)));
    sets_->addItem(tr("fails: %1").arg(text_of(report::row_line(miss.pick.set.study, miss.sunk_by, plain))));
    words_->setText(miss.job_change
                        ? tr("The smallest change of the job that lets this set pass: %1.")
                              .arg(text_of(miss.job_change->text))
                        : tr("No single change of pulse, rest, promised cycles or run lets this set pass."));
  } else {
    heading_->setText(tr("<b>%n set(s) pass every check</b>, best first. A set goes into the job as one step that can "
                         "be undone.",
                         nullptr, static_cast<int>(result_->picks.size())));
    int number = 0;
    for (const auto& pick : result_->picks) {
      const auto& weak = pick.set.rows[pick.set.weakest];
      const QString line = tr("%1. Weakest: %2").arg(++number).arg(text_of(report::row_line(pick.set.study, weak, plain)));
      sets_->addItem(pick.price ? tr("%1; price %2").arg(line, text_of(base::exact_text(*pick.price))) : line);
    }
    words_->setText(report::uses_invented_parts(result_->picks.front().set.study)
                        ? tr("Example parts: measure yours before promising this.")
                        : QString());
  }
  words_->setVisible(!words_->text().isEmpty());
  showTurnedDown();
  sets_->setCurrentRow(0);
  apply_->setEnabled(!result_->picks.empty() && !result_->open.empty());
  sets_->setFocus();
  Q_EMIT ready();
}

const choose::Pick* ChooseDialog::chosenPick() const {
  if (!result_ || result_->picks.empty()) return nullptr;
  const int row = sets_->currentRow();
  return row < 0 ? nullptr : &result_->picks[static_cast<std::size_t>(row)];
}

void ChooseDialog::showSet(int row) {
  parts_->setRowCount(0);
  if (!result_ || row < 0) return;
  const auto* pick = chosenPick();
  const auto& set = pick ? pick->set : result_->nearest->pick.set;
  for (const auto& place : result_->open) {
    const auto& part = model::part_at(set.study, place);
    add_row(*parts_, {text_of(report::place_text(set.study, place)), what_text(place.kind),
                      part ? text_of(part->id) : tr("none"), part ? text_of(part->title) : QString()});
  }
  parts_->resizeColumnsToContents();
}

void ChooseDialog::showTurnedDown() {
  turned_down_->setRowCount(0);
  for (const auto& entry : result_->turned_down) {
    add_row(*turned_down_,
            {text_of(entry.part->id), text_of(entry.place), text_of(report::why_text(entry, report::Style{}))});
  }
  turned_down_->resizeColumnsToContents();
}

bool ChooseDialog::apply() {
  const auto* pick = chosenPick();
  if (pick == nullptr) return false;
  std::vector<Edit> edits;
  for (const auto& place : result_->open) {
    const auto& part = model::part_at(pick->set.study, place);
    edits.push_back({model::pointer_of(place), part ? model::Raw(part->id) : model::Raw()});
  }
  return document_.edit(edits, tr("choose parts")).empty();
}

}  // namespace latchwright::desk

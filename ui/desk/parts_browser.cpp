// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/parts_browser.h"

#include <QComboBox>
#include <QFileDialog>
#include <QFileInfo>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QTableView>
#include <QTableWidget>
#include <QVBoxLayout>
#include <algorithm>

#include "desk/choice_editor.h"
#include "desk/field_words.h"
#include "desk/own_parts.h"
#include "desk/part_view.h"
#include "desk/parts_model.h"
#include "desk/record_form.h"
#include "desk/tab_place.h"
#include "model/part_fields.h"
#include "model/tree_edit.h"

// What the browser does; parts_browser_layout.cpp is what it is made of.
namespace latchwright::desk {

void PartsBrowser::chooseFor(const QString& kind, const QString& pointer) {
  pointer_ = pointer.toStdString();
  showKind(kind);
  kinds_->setEnabled(false);
  put_->show();
  put_->setDefault(true);
  place_->setText(tr("Choosing for: %1").arg(place_label(document_.tree(), pointer_)));
  place_->show();
  const model::Raw* now = document_.hasJob() ? model::value_at(document_.tree(), pointer_) : nullptr;
  if (now && now->text()) choosePart(*now->text());
  showChosen();
}

void PartsBrowser::showKind(const QString& kind) {
  kinds_->setCurrentIndex(std::max(0, kinds_->findData(kind)));
  filter_->setKind(kind);
  list_->setColumnHidden(PartsModel::kind, !kind.isEmpty());
  showCount();
}

void PartsBrowser::showCount() {
  const int count = filter_->rowCount();
  count_->setText(count == 1 ? tr("1 part") : tr("%1 parts").arg(count));
}

model::PartPtr PartsBrowser::chosenPart() const {
  const QModelIndex index = list_->currentIndex();
  return index.isValid() ? model_->partAt(filter_->mapToSource(index).row()) : nullptr;
}

void PartsBrowser::choosePart(const std::string& id) {
  for (int row = 0; row < filter_->rowCount(); ++row) {
    const QModelIndex index = filter_->index(row, 0);
    if (index.data().toString() != QString::fromStdString(id)) continue;
    list_->setCurrentIndex(index);
    list_->scrollTo(index, QAbstractItemView::PositionAtCenter);
    return;
  }
}

void PartsBrowser::reload() {
  const model::PartPtr before = chosenPart();
  const auto own_before = own_shown_.empty() ? std::string() : own_shown_.substr(0, own_shown_.find(' '));
  model_->reload();
  showCount();
  showFiles();
  if (before) choosePart(before->id);
  if (!list_->currentIndex().isValid() && !own_before.empty()) {
    // It has another id since.
    const model::Raw* part = model::value_at(document_.tree(), own_before);
    const model::Raw* id = part ? part->find("id") : nullptr;
    if (id && id->text()) choosePart(*id->text());
  }
  if (!list_->currentIndex().isValid() && filter_->rowCount() > 0)
    list_->setCurrentIndex(filter_->index(0, 0));
  showChosen();
}

void PartsBrowser::showChosen() {
  const model::PartPtr part = chosenPart();
  const auto own = part && document_.hasJob() ? own_part_index(document_.tree(), part->id) : std::nullopt;
  if (own) {
    showOwnForm(*own);
  } else {
    dropForms();
  }
  own_->setVisible(own.has_value());
  view_->setPart(own ? nullptr : part, {}, units_);

  const bool may_copy = part != nullptr && document_.hasJob();
  copy_->setEnabled(may_copy);
  put_->setEnabled(part != nullptr);
  new_id_->setEnabled(may_copy);
  // Not while an id of one's own is typed.
  if (new_id_->hasFocus() && part) return showRemoval(part, own);
  new_id_->setText(part ? QString::fromStdString(free_part_id(parts_of(document_), part->id)) : QString());
  new_id_->setCursorPosition(0);
  showRemoval(part, own);
}

void PartsBrowser::showRemoval(const model::PartPtr& part, std::optional<std::size_t> own) {
  remove_->setEnabled(false);
  remove_->setToolTip(tr("Only parts of this job can be removed from it"));
  if (!own) return;
  // With a part of the same id beneath, what refers to it has that one then.
  const auto users = references_to(document_.tree(), part->id);
  const bool may_remove = users.empty() || document_.catalogue().find(part->id);
  remove_->setEnabled(may_remove);
  QStringList places;
  for (const auto& pointer : users) places.append(place_label(document_.tree(), pointer));
  remove_->setToolTip(may_remove ? tr("Can be undone")
                                 : tr("Still used: %1").arg(places.join(QStringLiteral(", "))));
}

void PartsBrowser::dropForms() {
  for (RecordForm* form : own_forms_) {
    for (QLineEdit* line : form->findChildren<QLineEdit*>()) line->blockSignals(true);
    form->hide();
    document_.disconnect(form);
    // It may be at work right now.
    form->deleteLater();
    for (QObject* gone : form->findChildren<QObject*>()) gone->setObjectName(QString());
  }
  own_forms_.clear();
  own_shown_.clear();
  help_->clear();
}

void PartsBrowser::showOwnForm(std::size_t index) {
  const std::string pointer = model::pointer_to("/parts", index);
  const std::string kind = kind_of(*chosenPart());
  if (const std::string wanted = pointer + " " + kind; wanted != own_shown_) {
    dropForms();
    own_shown_ = wanted;
  } else {
    return;
  }
  const auto add = [&](const model::RecordInfo& record, std::vector<std::string> keys) {
    auto* form = new RecordForm(document_, record, pointer, std::move(keys), units_, own_);
    own_place_->addWidget(form);
    own_forms_.push_back(form);
    connect(form, &RecordForm::helpRequested, help_, &QLabel::setText);
    connect(form, &RecordForm::browseRequested, this, [this](const QString& wanted) {
      if (pointer_.empty()) showKind(wanted);
    });
  };
  add(model::part_table().info(), {"id", "title", "price"});
  own_forms_.back()->editorAt(pointer + "/id")->setMakeEdits([this, index](const auto& id) {
    return renamed(document_.tree(), index, id);
  });
  add(*model::part_body_info(kind), {});
  add(model::part_table().info(), {"source"});
  put_in_tab_order(last_tab_place(view_), own_);
}

void PartsBrowser::copyIntoJob() {
  const model::PartPtr part = chosenPart();
  if (!part || !document_.hasJob()) return;
  const std::string id = new_id_->text().trimmed().toStdString();
  const Edit edit = with_part(document_.tree(), copied_part(*part, id));
  const auto faults = document_.edit({edit}, tr("own part: %1").arg(QString::fromStdString(id)));
  if (!faults.empty()) document_.dropRefused("/parts");
  showFaults(tr("The part was not copied:"), faults);
  if (faults.empty()) choosePart(id);
}

void PartsBrowser::removeFromJob() {
  const model::PartPtr part = chosenPart();
  const auto index = part ? own_part_index(document_.tree(), part->id) : std::nullopt;
  if (!index) return;
  const QString what = tr("remove own part: %1").arg(QString::fromStdString(part->id));
  const auto faults = document_.edit({without_part(document_.tree(), *index)}, what);
  if (!faults.empty()) document_.dropRefused("/parts");
  showFaults(tr("The part was not removed:"), faults);
}

void PartsBrowser::putThere() {
  const model::PartPtr part = chosenPart();
  if (!part || pointer_.empty()) return;
  const auto faults =
      document_.edit({{pointer_, model::Raw(part->id)}}, place_label(document_.tree(), pointer_));
  if (faults.empty()) {
    accept();
    return;
  }
  // It is told here; a field that nobody typed in is not marked.
  document_.dropRefused(pointer_);
  showFaults(tr("The part cannot be put there:"), faults);
}

void PartsBrowser::askForFiles() {
  addPartFiles(QFileDialog::getOpenFileNames(this, tr("Add part files"), QString(),
                                             tr("Part files (*.json);;All files (*)")));
}

bool PartsBrowser::addPartFiles(const QStringList& paths) {
  if (paths.isEmpty()) return false;
  std::vector<std::string> files = document_.partFiles();
  for (const QString& path : paths) {
    const std::string file = path.toStdString();
    if (std::find(files.begin(), files.end(), file) == files.end()) files.push_back(file);
  }
  const auto faults = document_.setPartFiles(files);
  showFaults(tr("Nothing was added:"), faults);
  reload();
  return faults.empty();
}

void PartsBrowser::removeFile() {
  std::vector<std::string> files = document_.partFiles();
  const int index = files_->currentIndex();
  if (index < 0 || index >= static_cast<int>(files.size())) return;
  files.erase(files.begin() + index);
  showFaults(tr("The file cannot be removed: the job uses its parts."), document_.setPartFiles(files));
  reload();
}

void PartsBrowser::showFiles() {
  const auto& files = document_.partFiles();
  files_->clear();
  for (const auto& file : files) {
    const QString path = QString::fromStdString(file);
    files_->addItem(QFileInfo(path).fileName());
    files_->setItemData(files_->count() - 1, path, Qt::ToolTipRole);
  }
  if (files.empty()) files_->addItem(tr("none besides the built-in parts"));
  files_->setEnabled(!files.empty());
  remove_file_->setEnabled(!files.empty());
}

void PartsBrowser::showFaults(const QString& heading, const base::Issues& faults) {
  const bool any = !faults.empty();
  faults_heading_->setVisible(any);
  faults_->setVisible(any);
  faults_heading_->setText(heading);
  faults_->setRowCount(static_cast<int>(faults.size()));
  for (int row = 0; row < faults_->rowCount(); ++row) {
    const base::Issue& fault = faults[static_cast<std::size_t>(row)];
    const QString file = QString::fromStdString(fault.file);
    const QStringList cells{QFileInfo(file).fileName(), QString::fromStdString(fault.pointer),
                            QString::fromStdString(fault.text)};
    for (int column = 0; column < cells.size(); ++column) {
      auto* item = new QTableWidgetItem(cells[column]);
      item->setToolTip(column == 0 ? file : cells[column]);
      faults_->setItem(row, column, item);
    }
  }
  faults_->resizeRowsToContents();
}

}  // namespace latchwright::desk

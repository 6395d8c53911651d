// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/job_files.h"

#include <QFileDialog>
#include <QFileInfo>
#include <QMessageBox>
#include <QPushButton>

#include "base/failure.h"
#include "desk/faults_dialog.h"
#include "desk/new_job_dialog.h"

namespace latchwright::desk {

namespace {

QString file_filter() { return JobFiles::tr("Jobs (*.json);;All files (*)"); }

}  // namespace

JobFiles::JobFiles(Document& document, Recovery& recovery, RecentFiles& recent, QWidget& window)
    : QObject(&window), document_(document), recovery_(recovery), recent_(recent), window_(window) {}

bool JobFiles::beginNew(bool* choose_at_once) {
  if (!mayGo()) return false;
  NewJobDialog dialog(&window_);
  if (dialog.exec() != QDialog::Accepted) return false;
  const auto faults = document_.begin(dialog.job(), true);
  if (!faults.empty()) {
    FaultsDialog(tr("The new job was not begun."), faults, &window_).exec();
    return false;
  }
  Q_EMIT jobBegan();
  if (choose_at_once) *choose_at_once = dialog.chooseAtOnce();
  return true;
}

bool JobFiles::openAsked() {
  const QString start = document_.path().isEmpty() ? QString() : QFileInfo(document_.path()).absolutePath();
  const QString path = QFileDialog::getOpenFileName(&window_, tr("Open a job"), start, file_filter());
  return !path.isEmpty() && open(path);
}

bool JobFiles::open(const QString& path) {
  if (!mayGo()) return false;
  const auto faults = document_.open(path);
  if (!faults.empty()) {
    FaultsDialog(tr("%1 was not opened: %n fault(s). The job that was open stays as it is.", nullptr,
                    static_cast<int>(faults.size()))
                     .arg(QFileInfo(path).fileName()),
                 faults, &window_)
        .exec();
    return false;
  }
  recovery_.forget();
  recent_.add(document_.path());
  Q_EMIT jobBegan();
  return true;
}

bool JobFiles::trySave(const std::function<void()>& save) {
  try {
    save();
  } catch (const base::UsageError& error) {
    QMessageBox::warning(&window_, tr("Not saved"), QString::fromStdString(error.what()));
    return false;
  }
  recovery_.forget();
  recent_.add(document_.path());
  return true;
}

bool JobFiles::save() {
  if (!document_.hasJob()) return false;
  if (document_.path().isEmpty()) return saveAs();
  if (document_.isFileChangedOutside()) {
    QMessageBox question(QMessageBox::Warning, tr("Changed by another program"),
                         tr("%1 was changed by another program since it was opened here.")
                             .arg(QFileInfo(document_.path()).fileName()),
                         QMessageBox::Cancel, &window_);
    question.setInformativeText(tr("Saving replaces what the other program wrote."));
    auto* replace = question.addButton(tr("&Replace it"), QMessageBox::DestructiveRole);
    auto* other = question.addButton(tr("Save under &another name…"), QMessageBox::ActionRole);
    question.exec();
    if (question.clickedButton() == other) return saveAs();
    if (question.clickedButton() != replace) return false;
    return trySave([this] { document_.saveAnyway(); });
  }
  return trySave([this] { document_.save(); });
}

bool JobFiles::saveAs() {
  if (!document_.hasJob()) return false;
  QFileDialog dialog(&window_, tr("Save the job as"), QFileInfo(document_.path()).absolutePath(), file_filter());
  dialog.setAcceptMode(QFileDialog::AcceptSave);
  dialog.setDefaultSuffix(QStringLiteral("json"));
  if (!document_.path().isEmpty()) dialog.selectFile(QFileInfo(document_.path()).fileName());
  if (dialog.exec() != QDialog::Accepted) return false;
  // The dialog has asked about an existing file.
  return trySave([&] { document_.saveAs(dialog.selectedFiles().front(), true); });
}

bool JobFiles::mayGo() {
  if (!document_.hasJob() || !document_.isChanged()) return true;
  QMessageBox question(QMessageBox::Question, tr("Unsaved changes"),
                       tr("%1 has changes that are not saved.").arg(document_.shownName()),
                       QMessageBox::Save | QMessageBox::Discard | QMessageBox::Cancel, &window_);
  question.setDefaultButton(QMessageBox::Save);
  if (!document_.refused().empty()) {
    question.setInformativeText(tr("%n number(s) that the job cannot take stand in their fields; they are not saved.",
                                   nullptr, static_cast<int>(document_.refused().size())));
  }
  switch (question.exec()) {
    case QMessageBox::Save:
      return save();
    case QMessageBox::Discard:
      recovery_.forget();
      return true;
    default:
      return false;
  }
}

bool JobFiles::offerRescue() {
  for (const auto& left : recovery_.leftBehind()) {
    const QString name = left.job_path.isEmpty() ? left.title : QFileInfo(left.job_path).fileName();
    QMessageBox question(QMessageBox::Question, tr("Unsaved changes were rescued"),
                         tr("Latchwright ended without closing. Changes of \"%1\" up to %2 were kept.")
                             .arg(name.isEmpty() ? tr("unnamed job") : name, QLocale().toString(left.when)),
                         QMessageBox::NoButton, &window_);
    auto* take = question.addButton(tr("&Take them back"), QMessageBox::AcceptRole);
    auto* drop = question.addButton(tr("&Throw them away"), QMessageBox::DestructiveRole);
    question.addButton(tr("Ask me &later"), QMessageBox::RejectRole);
    question.setDefaultButton(take);
    question.exec();
    if (question.clickedButton() == drop) recovery_.throwAway(left);
    if (question.clickedButton() != take) continue;
    const auto faults = recovery_.takeBack(left);
    if (faults.empty()) {
      Q_EMIT jobBegan();
      return true;
    }
    FaultsDialog(tr("The rescued job could not be taken back; its file stays."), faults, &window_).exec();
  }
  return false;
}

}  // namespace latchwright::desk

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QDialog>
#include <QStringList>
#include <optional>
#include <string>
#include <vector>

#include "desk/document.h"
#include "units/shown_unit.h"

class QComboBox;
class QLabel;
class QLineEdit;
class QPushButton;
class QTableView;
class QTableWidget;
class QVBoxLayout;

namespace latchwright::desk {

class PartsFilter;
class PartsModel;
class PartView;
class RecordForm;

/// All parts with the figures that one chooses by, filtered by kind and words; one part in full with unit,
/// meaning and origin of every figure. Own part files are added here, and a part can be copied into the job
/// and changed there.
class PartsBrowser : public QDialog {
  Q_OBJECT

 public:
  PartsBrowser(Document& document, units::UnitSystem units, QWidget* parent = nullptr);
  /// Shows only this kind and offers to put the chosen part at the pointer of the job.
  void chooseFor(const QString& kind, const QString& pointer);
  /// Adds part files to those of the document; faults are listed in the window, and nothing is added then.
  bool addPartFiles(const QStringList& paths);
  /// Makes this the chosen part, where the list shows it.
  void choosePart(const std::string& id);
  /// The chosen part; null: none.
  model::PartPtr chosenPart() const;

 private:
  QWidget* makeFilterBar();
  QWidget* makeDetail();
  QWidget* makeFileBar();
  QWidget* makeButtons();
  void reload();
  void showKind(const QString& kind);
  void showFiles();
  void showChosen();
  void showRemoval(const model::PartPtr& part, std::optional<std::size_t> own);
  void showOwnForm(std::size_t index);
  void dropForms();
  void showFaults(const QString& heading, const base::Issues& faults);
  void askForFiles();
  void removeFile();
  void copyIntoJob();
  void removeFromJob();
  void putThere();
  void showCount();

  Document& document_;
  units::UnitSystem units_;
  std::string pointer_;  ///< where a part is chosen for; empty: only looking
  PartsModel* model_;
  PartsFilter* filter_;
  QComboBox* kinds_ = nullptr;
  QLineEdit* words_ = nullptr;
  QLabel* count_ = nullptr;
  QLabel* place_ = nullptr;
  QTableView* list_ = nullptr;
  PartView* view_ = nullptr;
  QWidget* own_ = nullptr;
  QVBoxLayout* own_place_ = nullptr;
  std::vector<RecordForm*> own_forms_;
  std::string own_shown_;  ///< pointer and kind that the forms are for
  QLabel* help_ = nullptr;
  QComboBox* files_ = nullptr;
  QPushButton* remove_file_ = nullptr;
  QLabel* faults_heading_ = nullptr;
  QTableWidget* faults_ = nullptr;
  QLineEdit* new_id_ = nullptr;
  QPushButton* copy_ = nullptr;
  QPushButton* remove_ = nullptr;
  QPushButton* put_ = nullptr;
};

}  // namespace latchwright::desk

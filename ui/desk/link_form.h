// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLabel>
#include <QWidget>
#include <vector>

#include "desk/document.h"
#include "report/run_links.h"
#include "units/shown_unit.h"

class QPushButton;
class QVBoxLayout;

namespace latchwright::desk {

class RecordForm;

/// A form of the job: which keys of which record, under which heading.
struct FormPiece {
  QString heading;
  const model::RecordInfo* record;
  std::string prefix;
  std::vector<std::string> keys;
};

/// What of the job belongs to a link.
std::vector<FormPiece> pieces_of(const report::Link& link);
/// What belongs to the job as a whole.
std::vector<FormPiece> pieces_of_job();

/// The numbers of the job that belong to one link; in a door's links also the door itself: its name, a copy
/// of it, taking it away.
class LinkForm : public QWidget {
  Q_OBJECT

 public:
  /// A link that the job has.
  LinkForm(Document& document, const report::Link& link, units::UnitSystem units, QWidget* parent);
  /// The forms of the job as a whole.
  LinkForm(Document& document, units::UnitSystem units, QWidget* parent);
  void setUnits(units::UnitSystem units);
  void commitPending();
  const std::vector<RecordForm*>& forms() const { return forms_; }

 Q_SIGNALS:
  void helpRequested(const QString& text);
  void browseRequested(const QString& kind, const QString& pointer);

 private:
  void addPieces(const std::vector<FormPiece>& pieces, units::UnitSystem units);
  void addDoorBar(std::size_t door);
  void showDoors();
  void copyDoor(std::size_t door);
  void removeDoor(std::size_t door);

  Document& document_;
  QVBoxLayout* column_;
  std::vector<RecordForm*> forms_;
  QPushButton* copy_ = nullptr;
  QPushButton* remove_ = nullptr;
};

}  // namespace latchwright::desk

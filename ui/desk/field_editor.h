// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLabel>
#include <QWidget>
#include <functional>
#include <string>
#include <vector>

#include "desk/document.h"
#include "model/field.h"
#include "units/shown_unit.h"

class QHBoxLayout;

namespace latchwright::desk {

/// The colour of what is wrong, to be read on the palette's window: always beside a sign and words.
QColor fault_colour(const QPalette& palette);

/// One field of the tables at its place in a document. What cannot be taken stays as it was typed, with a
/// sign, a frame and the reason beneath; Escape gives it up.
class FieldEditor : public QWidget {
  Q_OBJECT

 public:
  /// What is to be done for a value, where that is more than to put it at the place; empty: nothing.
  using MakeEdits = std::function<std::vector<Edit>(const std::optional<model::Raw>& value)>;

  FieldEditor(Document& document, std::string record, const model::FieldInfo& field, std::string pointer,
              QWidget* parent);
  /// An editor for any field but records and lists of records. `needed`: may not be left empty, whatever the
  /// table says of it.
  static FieldEditor* make(Document& document, const std::string& record, const model::FieldInfo& field,
                           const std::string& pointer, bool needed, QWidget* parent);

  const std::string& pointer() const { return pointer_; }
  const model::FieldInfo& field() const { return field_; }
  QString label() const;
  /// Meaning, range, default and key: the help line.
  virtual QString help() const;
  void setUnits(units::UnitSystem units);
  void setMakeEdits(MakeEdits make) { make_edits_ = std::move(make); }
  /// Shows what the document holds; a text that is being typed stays.
  virtual void refresh() = 0;
  /// Takes what is typed and not yet taken.
  virtual void commitPending() {}
  /// Back to what the job holds. False: there was nothing to give up.
  virtual bool giveUp();
  /// The reason of the mark; empty: nothing is wrong.
  const QString& fault() const { return fault_text_; }

 Q_SIGNALS:
  void helpRequested(const QString& text);
  void browseRequested(const QString& kind, const QString& pointer);

 protected:
  const model::Raw* value() const;
  const Refused* refused() const;
  /// The document's reason in words; places of the same record by their label alone.
  QString reasonOf(const std::string& why) const;
  units::UnitSystem units() const { return units_; }
  units::ShownUnit shownUnit() const;
  Document& document() const { return document_; }
  QHBoxLayout* row() const { return row_; }
  /// The widget that has the focus and the frame. To be called once.
  void setMain(QWidget* main);
  /// Another widget of the editor whose keys and focus count as its own.
  void watch(QWidget* part);
  void put(std::optional<model::Raw> value, bool merge = false);
  void setFault(const QString& reason);
  /// A quiet line beneath, such as how a text was understood.
  void setNote(const QString& note);
  void askForHelp() { Q_EMIT helpRequested(help()); }
  virtual void unitsChanged() {}
  bool eventFilter(QObject* watched, QEvent* event) override;
  void paintEvent(QPaintEvent* event) override;
  void changeEvent(QEvent* event) override;

 private:
  void showBeneath();
  void colourBeneath();

  Document& document_;
  std::string record_;
  model::FieldInfo field_;
  std::string pointer_;
  MakeEdits make_edits_;
  units::UnitSystem units_ = units::UnitSystem::metric;
  QHBoxLayout* row_ = nullptr;
  QWidget* main_ = nullptr;
  QLabel* sign_ = nullptr;
  QWidget* beneath_row_ = nullptr;
  QLabel* beneath_ = nullptr;
  QString fault_text_;
  QString note_;
};

}  // namespace latchwright::desk

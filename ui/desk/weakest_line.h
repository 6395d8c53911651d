// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLabel>
#include <QPushButton>
#include <QWidget>
#include <array>

#include "desk/verdict_state.h"
#include "report/run_links.h"
#include "units/shown_unit.h"

namespace latchwright::desk {

class WrappedText;

/// Always in sight: the weakest link, where, at which condition, have and need, and its cures, each with a
/// button that applies it. Says "not chosen" of an unfinished job and offers to choose.
class WeakestLine : public QWidget {
  Q_OBJECT

 public:
  explicit WeakestLine(QWidget* parent = nullptr);
  void setVerdict(const VerdictState& verdict);
  void setUnits(units::UnitSystem units);
  /// What it says, in full; the eye may see less of it.
  QString text() const;
  QString hint() const;

  QSize minimumSizeHint() const override;

 Q_SIGNALS:
  void applyRequested(const latchwright::verdict::Change& change);
  /// Parts are to be chosen by the program.
  void chooseRequested();
  void linkRequested(const latchwright::report::Link& link);

 private:
  static constexpr std::size_t most_cures = 3;
  struct CureRow {
    QWidget* box;
    WrappedText* text;
    QPushButton* apply;
  };

  void show_all();
  void showVerdict(const verdict::CheckRow& row);
  void showCures(const verdict::CheckRow& row);
  void showCure(CureRow& shown, const verdict::Cure& cure, const verdict::CheckRow& row);
  void sayHint(const QString& hint);
  QString notChosenWords() const;

  VerdictState verdict_;
  units::UnitSystem units_ = units::UnitSystem::metric;
  std::optional<report::Link> link_;  // of the weakest row
  WrappedText* weakest_;
  QLabel* mark_;
  QPushButton* choose_;
  QLabel* cure_label_;
  std::array<CureRow, most_cures> cures_;
  std::array<verdict::Change, most_cures> changes_;
  QPushButton* more_;
  WrappedText* hint_;
};

}  // namespace latchwright::desk

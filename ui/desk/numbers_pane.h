// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLabel>
#include <QWidget>
#include <vector>

#include "desk/document.h"
#include "desk/verdict_state.h"
#include "report/run_links.h"
#include "units/shown_unit.h"

class QScrollArea;
class QToolButton;
class QVBoxLayout;

namespace latchwright::desk {

class LinkForm;
class LinkRows;
class PartView;

/// The numbers of the chosen link: its verdict rows (have, need, margin, why, cures), the job's numbers as a
/// form built from the field tables, its parts with the figures and origin of each.
class NumbersPane : public QWidget {
  Q_OBJECT

 public:
  explicit NumbersPane(Document& document, QWidget* parent = nullptr);
  void setLink(const report::Link& link);
  void setVerdict(const VerdictState& verdict);
  void setUnits(units::UnitSystem units);

 Q_SIGNALS:
  void applyRequested(const latchwright::verdict::Change& change);
  /// Look at the worst condition of the link.
  void lookRequested(const latchwright::verdict::At& at);
  /// Open the parts browser at this kind, to put a part at the pointer.
  void browseRequested(const QString& kind, const QString& pointer);

 private:
  void rebuild();
  void showParts();
  void showJobSection(bool open);
  void adopt(LinkForm* form);
  void followDocument();
  void showRows();
  bool linkExists() const;
  QString noHelp() const;

  Document& document_;
  report::Link link_;
  VerdictState verdict_;
  units::UnitSystem units_ = units::UnitSystem::metric;
  QScrollArea* area_;
  QVBoxLayout* column_;
  LinkRows* rows_;
  QVBoxLayout* form_place_;
  LinkForm* form_ = nullptr;
  QWidget* parts_box_;
  QVBoxLayout* parts_;
  std::vector<PartView*> part_views_;
  QToolButton* job_button_;
  QVBoxLayout* job_place_;
  LinkForm* job_form_ = nullptr;
  QLabel* help_;
};

}  // namespace latchwright::desk

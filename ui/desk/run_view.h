// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLabel>
#include <QScrollArea>
#include <QWidget>

#include "desk/link_button.h"
#include "desk/verdict_state.h"
#include "report/run_links.h"
#include "units/shown_unit.h"

namespace latchwright::desk {

class DoorRows;

/// The run: battery, main fuse, feed and relay in a row, then a row for each door: run, thermistor, motor,
/// rod. Links are buttons: arrow keys walk them, Enter opens. More than six doors scroll.
class RunView : public QWidget {
  Q_OBJECT

 public:
  explicit RunView(QWidget* parent = nullptr);
  void setVerdict(const VerdictState& verdict, units::UnitSystem units);
  /// The links of the verdict that was set last, in the order of report::links_of(). setVerdict() calls it.
  void setStates(std::vector<report::LinkState> states);
  void setChosen(const report::Link& link);
  const report::Link& chosen() const { return chosen_; }
  /// Null where the run has no such link.
  LinkButton* button(const report::Link& link) const;

  QSize sizeHint() const override;
  QSize minimumSizeHint() const override;

 Q_SIGNALS:
  void linkChosen(const latchwright::report::Link& link);

 protected:
  void paintEvent(QPaintEvent* event) override;
  void resizeEvent(QResizeEvent* event) override;
  void changeEvent(QEvent* event) override;
  bool eventFilter(QObject* watched, QEvent* event) override;

 private:
  /// Lengths in pixels, from the font.
  struct Lengths {
    int em, gap, row, between, title, name, shown_rows;
  };
  Lengths lengths() const;
  std::size_t doors() const;
  /// At a great width the wire runs straight into the doors, else it turns below the battery.
  bool isStraight() const;
  int heightFor(bool straight) const;
  void arrange();
  void rebuild();
  LinkFace faceOf(const report::LinkState& state) const;
  QString stateWords(const report::LinkState& state) const;
  QString partWords(const report::LinkState& state) const;
  QString fullWords(const report::LinkState& state) const;
  /// The worst row of a link, null where there is none.
  const verdict::CheckRow* worstOf(const report::LinkState& state) const;
  /// The neighbour along the wire or in the next door; null at the ends.
  LinkButton* neighbour(const report::Link& from, int key) const;
  /// Tab comes to this link from now on.
  void moveTabStop(LinkButton* to);

  report::Link chosen_;
  VerdictState verdict_;
  units::UnitSystem units_ = units::UnitSystem::metric;
  std::vector<report::LinkState> states_;
  std::vector<LinkButton*> buttons_;  // as states_
  QStringList door_names_;
  LinkButton* tab_stop_ = nullptr;
  std::size_t last_door_ = 0;  // from which the walk came back to the relay
  QLabel* title_;
  QLabel* mark_;
  QScrollArea* scroll_;
  DoorRows* rows_;
};

}  // namespace latchwright::desk

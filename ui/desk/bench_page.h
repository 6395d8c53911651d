// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QComboBox>
#include <QLabel>
#include <QTabWidget>
#include <QWidget>

#include "desk/bench_fit_pane.h"
#include "desk/bench_sheet_pane.h"
#include "desk/bench_triage_pane.h"
#include "desk/document.h"
#include "desk/look_setting.h"

namespace latchwright::desk {

/// The bench: an actuator of the job or the catalogue beside a meter, a clamp, a spring scale and a watch.
/// Above what is on it and the cautions; left what a sound one should read; right what may be the matter with
/// this one, and how to measure it.
class BenchPage : public QWidget {
  Q_OBJECT

 public:
  explicit BenchPage(Document& document, QWidget* parent = nullptr);
  void setStyle(const charts::Style& style);
  /// Makes this the actuator on the bench, where there is one with this id.
  void choose(const std::string& id);
  const BenchSubject& subject() const { return subject_; }
  QComboBox& actuators() { return *actuators_; }
  LookSetting& ambient() { return *ambient_; }
  LookSetting& supply() { return *supply_; }
  BenchSheetPane& sheet() { return *sheet_; }
  BenchTriagePane& triage() { return *triage_; }
  BenchFitPane& fit() { return *fit_; }
  QTabWidget& tabs() { return *tabs_; }

 Q_SIGNALS:
  void leaveRequested();
  void saveRequested(const report::Picture& picture);
  /// A part file of the user's own has come.
  void partFilesChanged();

 protected:
  void showEvent(QShowEvent* event) override;

 private:
  void layOut();
  /// The job's actuators first, then the catalogue's others.
  void list();
  /// Its own vehicle's voltage comes with another actuator.
  void takeActuator();
  void takeSubject();
  void showFaults();

  Document& document_;
  BenchSubject subject_;
  QComboBox* actuators_;
  QLabel* origin_;
  QLabel* fault_;
  LookSetting* ambient_;
  LookSetting* supply_;
  BenchSheetPane* sheet_;
  QTabWidget* tabs_;
  BenchTriagePane* triage_;
  BenchFitPane* fit_;
};

/// What to mind on the bench, as rich text in two columns.
QString bench_cautions_html();

}  // namespace latchwright::desk

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLabel>
#include <QMainWindow>
#include <QProgressBar>
#include <QPushButton>
#include <QSplitter>
#include <QStackedWidget>
#include <QTimer>

#include "desk/bench_page.h"
#include "desk/cautions.h"
#include "desk/computing.h"
#include "desk/conditions_strip.h"
#include "desk/document.h"
#include "desk/job_files.h"
#include "desk/numbers_pane.h"
#include "desk/pictures_pane.h"
#include "desk/preferences.h"
#include "desk/recent_files.h"
#include "desk/recovery.h"
#include "desk/run_view.h"
#include "desk/theme.h"
#include "desk/weakest_line.h"

namespace latchwright::desk {

class SpreadPage;
class SheetPage;

/// The window: the run and its weakest link on top, numbers and pictures of the chosen link below, the condition that
/// the pictures show at the bottom. Puts the parts together; what each does is in its own file.
class Window : public QMainWindow {
  Q_OBJECT

 public:
  /// rescue_folder: where unsaved changes are kept; empty: the program's data folder.
  explicit Window(Preferences& preferences, const QString& rescue_folder = {}, QWidget* parent = nullptr);

  /// What a start brings: a job file to open, or none; then what was left behind.
  void begin(const QString& path);
  Document& document() { return document_; }
  Computing& computing() { return computing_; }
  Recovery& recovery() { return recovery_; }
  JobFiles& files() { return *files_; }
  RunView& run() { return *run_; }
  WeakestLine& weakest() { return *weakest_; }
  NumbersPane& numbers() { return *numbers_; }
  PicturesPane& pictures() { return *pictures_; }
  ConditionsStrip& strip() { return *strip_; }
  /// The bench page, which is made when somebody first asks for it.
  BenchPage& bench();
  bool isAtBench() const { return bench_ != nullptr && pages_->currentWidget() == bench_; }
  /// The chances page, made likewise.
  SpreadPage& chances();
  bool isAtChances() const;
  /// The job sheet, made likewise.
  SheetPage& sheet();
  bool isAtSheet() const;

  void setUnits(units::UnitSystem units);
  void chooseLink(const report::Link& link);
  /// Puts a cure into the job.
  void apply(const verdict::Change& change);
  void chooseParts();
  /// To the bench, or back to the run.
  void showBench(bool shown);
  /// To the chances, or back to the run.
  void showChances(bool shown);
  /// To the job sheet, or back to the run.
  void showSheet(bool shown);
  void browseParts(const QString& kind = {}, const QString& pointer = {});
  /// Asks where to, and writes; the file dialog is left out where a path is given.
  void savePicture(const report::Picture& picture, const QString& path = {});

 protected:
  void closeEvent(QCloseEvent* event) override;
  void dragEnterEvent(QDragEnterEvent* event) override;
  void dropEvent(QDropEvent* event) override;
  void resizeEvent(QResizeEvent* event) override;
  void changeEvent(QEvent* event) override;

 private:
  void layOut();
  void makeMenus();
  void makeFileMenu();
  void makeViewMenu();
  void makeBenchAction(QMenu* menu);
  void makeChancesAction(QMenu* menu);
  void makeSheetAction(QMenu* menu);
  void goTo(QWidget* page);
  void connectParts();
  void fillRecentMenu();
  void setTheme(ThemeChoice choice);
  charts::Style pictureStyle() const;
  /// Chooses the weakest link of a job that has just been opened.
  void chooseWeakestOnce();
  void showStudy();
  /// Long work marks what it will replace; short work leaves no time to see it.
  bool waitsQuietly();
  void showVerdict();
  void showLook();
  void showSentence();
  void showName();
  void showBusy();
  void showRefused();
  void takeOverLook();
  void showCautionsOnce();

  Preferences& preferences_;
  Document document_;
  Computing computing_;
  Recovery recovery_;
  RecentFiles recent_;
  JobFiles* files_;

  QLabel* title_;
  QPushButton* units_button_;
  QPushButton* choose_button_;
  QPushButton* bench_button_;
  QPushButton* chances_button_;
  QPushButton* sheet_button_;
  QStackedWidget* pages_;
  QWidget* run_side_;
  BenchPage* bench_ = nullptr;
  QAction* bench_action_ = nullptr;
  SpreadPage* chances_ = nullptr;
  QAction* chances_action_ = nullptr;
  SheetPage* sheet_ = nullptr;
  QAction* sheet_action_ = nullptr;
  CautionsBar* cautions_;
  RunView* run_;
  WeakestLine* weakest_;
  NumbersPane* numbers_;
  PicturesPane* pictures_;
  ConditionsStrip* strip_;
  QSplitter* split_;
  QLabel* message_;
  QLabel* refused_;
  QProgressBar* progress_;
  QPushButton* cancel_;
  QTimer busy_delay_;   // short work shows no progress
  QTimer stale_delay_;  // nor does it grey what it is about to replace
  QMenu* recent_menu_ = nullptr;
  QAction* metric_action_ = nullptr;
  QAction* us_action_ = nullptr;
  bool stale_shown_ = false;    // the last results are marked as not of this job
  bool cautions_read_ = false;  // of this job
  bool seek_weakest_ = true;    // nobody has chosen a link of this job yet
  bool split_moved_ = false;    // by the user, now or when the window was last closed
  QList<QAction*> job_actions_;  // those that need a job
};

}  // namespace latchwright::desk

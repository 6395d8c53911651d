// SPDX-License-Identifier: GPL-3.0-or-later
#include <QActionGroup>
#include <QApplication>
#include <QFileInfo>
#include <QMenuBar>
#include <QMessageBox>

#include "desk/window.h"
#include "report/result_head.h"

namespace latchwright::desk {

void Window::makeMenus() {
  makeFileMenu();
  auto* edit = menuBar()->addMenu(tr("&Edit"));
  auto* undo = document_.undoStack().createUndoAction(this, tr("&Undo"));
  undo->setShortcut(QKeySequence::Undo);
  auto* redo = document_.undoStack().createRedoAction(this, tr("&Redo"));
  redo->setShortcuts({QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_Z), QKeySequence(Qt::CTRL | Qt::Key_Y)});
  edit->addActions({undo, redo});

  auto* job = menuBar()->addMenu(tr("&Job"));
  job_actions_ << job->addAction(tr("&Choose parts…"), QKeySequence(Qt::CTRL | Qt::Key_K), this, &Window::chooseParts);
  job->addAction(tr("&Parts…"), QKeySequence(Qt::CTRL | Qt::Key_P), this, [this] { browseParts(); });
  makeBenchAction(job);
  makeChancesAction(job);
  makeSheetAction(job);
  job->addSeparator();
  job_actions_ << job->addAction(tr("&Weakest link"), QKeySequence(Qt::CTRL | Qt::Key_L), this, [this] {
    const auto& verdict = computing_.verdict();
    if (!verdict.examined) return;
    goTo(run_side_);
    chooseLink(report::link_of(*verdict.study, verdict.examined->worst[verdict.examined->weakest]));
    run_->setFocus();
  });
  job->addAction(tr("&End the computation"), QKeySequence(Qt::CTRL | Qt::Key_Period), &computing_, &Computing::cancel);

  makeViewMenu();
  auto* help = menuBar()->addMenu(tr("&Help"));
  help->addAction(tr("&Before you touch the car"), this, [this] { CautionsDialog(this).exec(); });
  help->addAction(tr("&Keys"), QKeySequence::HelpContents, this, [this] {
    QMessageBox::information(
        this, tr("Keys"),
        tr("<table cellpadding=3>"
           "<tr><td>Tab, Shift+Tab</td><td>to the next or the last part of the window</td></tr>"
           "<tr><td>Arrow keys in the run</td><td>along the wire, and from door to door</td></tr>"
           "<tr><td>Enter in the run</td><td>opens the link: its numbers and pictures</td></tr>"
           "<tr><td>Enter in a number</td><td>puts it into the job; Escape gives it up</td></tr>"
           "<tr><td>Ctrl+L</td><td>to the weakest link</td></tr>"
           "<tr><td>Ctrl+K</td><td>choose parts</td></tr>"
           "<tr><td>Ctrl+B</td><td>to the bench and back; Escape goes back too</td></tr>"
           "<tr><td>Ctrl+H</td><td>to the chances and back; Escape goes back too</td></tr>"
           "<tr><td>Ctrl+J</td><td>to the job sheet and back; Escape goes back too</td></tr>"
           "<tr><td>Ctrl+Z, Ctrl+Shift+Z</td><td>undo, redo</td></tr>"
           "<tr><td>Ctrl+C in a table</td><td>copies it</td></tr>"
           "</table>"));
  });
  help->addAction(tr("&About Latchwright"), this, [this] {
    QMessageBox::about(this, tr("About Latchwright"),
                       tr("<b>Latchwright %1</b><p>Checks 12 V power door lock installations.</p>"
                          "<p>Free software: GNU General Public License 3 or later, without any warranty.</p>"
                          "<p>The vehicle's service data, local regulations and licensed practice come before this "
                          "tool.</p>")
                           .arg(QString::fromStdString(report::program_version())));
  });
}

void Window::makeFileMenu() {
  auto* file = menuBar()->addMenu(tr("&File"));
  file->addAction(tr("&New…"), QKeySequence::New, this, [this] {
    bool choose = false;
    if (files_->beginNew(&choose) && choose) chooseParts();
  });
  file->addAction(tr("&Open…"), QKeySequence::Open, this, [this] { files_->openAsked(); });
  recent_menu_ = file->addMenu(tr("Open &recent"));
  connect(recent_menu_, &QMenu::aboutToShow, this, &Window::fillRecentMenu);
  file->addSeparator();
  job_actions_ << file->addAction(tr("&Save"), QKeySequence::Save, this, [this] { files_->save(); });
  job_actions_ << file->addAction(tr("Save &as…"), QKeySequence(Qt::CTRL | Qt::SHIFT | Qt::Key_S), this,
                                  [this] { files_->saveAs(); });
  file->addSeparator();
  auto* picture = file->addMenu(tr("Save a &picture"));
  connect(picture, &QMenu::aboutToShow, this, [this, picture] {
    picture->clear();
    for (const auto& shown : computing_.look().pictures) {
      picture->addAction(QString::fromStdString(shown.title) + QStringLiteral("…"), this,
                         [this, shown] { savePicture(shown); });
    }
    if (picture->isEmpty()) picture->addAction(tr("No picture is shown"))->setEnabled(false);
  });
  file->addSeparator();
  file->addAction(tr("&Quit"), QKeySequence(Qt::CTRL | Qt::Key_Q), this, &QWidget::close);
}

void Window::fillRecentMenu() {
  recent_menu_->clear();
  int number = 0;
  for (const QString& path : recent_.shown()) {
    auto* action = recent_menu_->addAction(tr("&%1 %2").arg(++number).arg(QFileInfo(path).fileName()), this,
                                           [this, path] { files_->open(path); });
    action->setToolTip(path);
  }
  recent_menu_->setToolTipsVisible(true);
  if (number == 0) recent_menu_->addAction(tr("None yet"))->setEnabled(false);
}

void Window::makeViewMenu() {
  auto* view = menuBar()->addMenu(tr("&View"));
  auto* unit_group = new QActionGroup(this);
  const auto add_units = [&](const QString& text, units::UnitSystem units) {
    auto* action = view->addAction(text, this, [this, units] { setUnits(units); });
    action->setCheckable(true);
    unit_group->addAction(action);
    return action;
  };
  metric_action_ = add_units(tr("&Metric units (mm², N, °C, mm)"), units::UnitSystem::metric);
  us_action_ = add_units(tr("&US units (AWG, lbf, °F, in)"), units::UnitSystem::us);
  view->addSeparator();
  auto* theme_group = new QActionGroup(this);
  const auto add_theme = [&](const QString& text, ThemeChoice choice) {
    auto* action = view->addAction(text, this, [this, choice] { setTheme(choice); });
    action->setCheckable(true);
    action->setChecked(preferences_.theme() == choice);
    theme_group->addAction(action);
  };
  add_theme(tr("As the &system"), ThemeChoice::system);
  add_theme(tr("&Light"), ThemeChoice::light);
  add_theme(tr("&Dark"), ThemeChoice::dark);
}

void Window::setTheme(ThemeChoice choice) {
  preferences_.setTheme(choice);
  apply_theme(*qApp, theme_for(choice));
  showVerdict();
  showLook();
}

}  // namespace latchwright::desk

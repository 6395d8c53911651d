// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/window.h"

#include <QApplication>
#include <QCloseEvent>
#include <QDragEnterEvent>
#include <QFileDialog>
#include <QFileInfo>
#include <QMessageBox>
#include <QMimeData>
#include <QVBoxLayout>
#include <algorithm>

#include "base/failure.h"
#include "charts/write_pictures.h"
#include "desk/choose_dialog.h"
#include "desk/parts_browser.h"
#include "desk/spread_page.h"

namespace latchwright::desk {

namespace {

/// Names a setting for the list of undoable steps: "/pulse/on_s" is "pulse".
QString step_name(const verdict::Change& change) { return Window::tr("cure: %1").arg(QString::fromStdString(change.text)); }

model::Raw raw_of(const verdict::Setting& setting) {
  if (const auto* number = std::get_if<double>(&setting)) return model::Raw(*number);
  if (const auto* text = std::get_if<std::string>(&setting)) return model::Raw(*text);
  return {};
}

}  // namespace

Window::Window(Preferences& preferences, const QString& rescue_folder, QWidget* parent)
    : QMainWindow(parent),
      preferences_(preferences),
      computing_(document_),
      recovery_(document_, rescue_folder),
      recent_(preferences.settings()),
      files_(new JobFiles(document_, recovery_, recent_, *this)) {
  setObjectName(QStringLiteral("window"));
  setAcceptDrops(true);
  layOut();
  makeMenus();
  connectParts();
  resize(1280, 800);
  restoreGeometry(preferences_.windowGeometry());
  split_moved_ = split_->restoreState(preferences_.splitState());
  connect(split_, &QSplitter::splitterMoved, this, [this] { split_moved_ = true; });
  setUnits(preferences_.units());
  showName();
  showStudy();
}

void Window::begin(const QString& path) {
  const auto faults = document_.setPartFiles(preferences_.partFiles());
  if (!faults.empty()) {
    message_->setText(tr("Own part files have faults and are left out: see Parts"));
  }
  if (!path.isEmpty()) files_->open(path);
  files_->offerRescue();
}

void Window::layOut() {
  auto* page = new QWidget(this);
  title_ = new QLabel(page);
  title_->setTextFormat(Qt::PlainText);
  QFont bold = title_->font();
  bold.setBold(true);
  bold.setPointSizeF(bold.pointSizeF() * 1.15);
  title_->setFont(bold);
  title_->setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Preferred);
  units_button_ = new QPushButton(page);
  units_button_->setToolTip(tr("Show numbers in metric or US units; files stay as they are"));
  choose_button_ = new QPushButton(tr("&Choose parts…"), page);
  choose_button_->setToolTip(tr("Fills what the job leaves open with parts that pass every check"));
  bench_button_ = new QPushButton(tr("&Bench"), page);
  bench_button_->setToolTip(tr("What one actuator by itself should read, and what may be the matter with it (Escape goes back)"));
  chances_button_ = new QPushButton(tr("Ch&ances"), page);
  chances_button_->setToolTip(
      tr("How likely an installation of this job stops working until it cools, and where it is safe (Escape goes back)"));
  sheet_button_ = new QPushButton(tr("Job s&heet"), page);
  sheet_button_->setToolTip(
      tr("Pages for the owner, the fitter and the acceptance test, to look at and to save (Escape goes back)"));
  message_ = new QLabel(page);
  refused_ = new QLabel(page);
  progress_ = new QProgressBar(page);
  progress_->setRange(0, 1000);
  progress_->setFixedWidth(fontMetrics().averageCharWidth() * 30);
  progress_->setAccessibleName(tr("How far the computation is"));
  progress_->hide();
  cancel_ = new QPushButton(tr("Cancel"), page);
  cancel_->setToolTip(tr("Ends the computation; what is shown stays, marked as not of this job"));
  cancel_->hide();
  auto* header = new QHBoxLayout;
  header->addWidget(title_, 1);
  header->addWidget(message_);
  header->addWidget(refused_);
  header->addWidget(progress_);
  header->addWidget(cancel_);
  header->addWidget(units_button_);
  header->addWidget(choose_button_);
  header->addWidget(bench_button_);
  header->addWidget(chances_button_);
  header->addWidget(sheet_button_);

  cautions_ = new CautionsBar(page);
  cautions_->hide();
  run_ = new RunView(page);
  weakest_ = new WeakestLine(page);
  numbers_ = new NumbersPane(document_, page);
  pictures_ = new PicturesPane(page);
  strip_ = new ConditionsStrip(page);
  split_ = new QSplitter(Qt::Horizontal, page);
  split_->addWidget(numbers_);
  split_->addWidget(pictures_);
  split_->setStretchFactor(0, 0);
  split_->setStretchFactor(1, 1);
  split_->setChildrenCollapsible(false);
  numbers_->setMinimumWidth(fontMetrics().averageCharWidth() * 66);

  auto* layout = new QVBoxLayout(page);
  layout->setContentsMargins(6, 4, 6, 4);
  layout->setSpacing(4);
  layout->addLayout(header);
  run_side_ = new QWidget(page);
  auto* run_layout = new QVBoxLayout(run_side_);
  run_layout->setContentsMargins(0, 0, 0, 0);
  run_layout->setSpacing(4);
  run_layout->addWidget(cautions_);
  run_layout->addWidget(run_);
  run_layout->addWidget(weakest_);
  run_layout->addWidget(split_, 1);
  run_layout->addWidget(strip_);
  pages_ = new QStackedWidget(page);
  pages_->addWidget(run_side_);
  layout->addWidget(pages_, 1);
  setCentralWidget(page);

  constexpr int half_second = 500;
  busy_delay_.setSingleShot(true);
  busy_delay_.setInterval(half_second);
  constexpr int blink = 120;
  stale_delay_.setSingleShot(true);
  stale_delay_.setInterval(blink);
}

void Window::connectParts() {
  connect(&document_, &Document::studyChanged, this, &Window::showStudy);
  connect(&document_, &Document::nameChanged, this, &Window::showName);
  connect(&document_, &Document::refusedChanged, this, &Window::showRefused);
  connect(&document_, &Document::studyChanged, this, [this] { message_->clear(); });

  connect(files_, &JobFiles::jobBegan, this, [this] {
    cautions_read_ = false;
    seek_weakest_ = true;
    showCautionsOnce();
  });

  connect(&computing_, &Computing::verdictChanged, this, &Window::showVerdict);
  connect(&computing_, &Computing::lookTold, this, &Window::showSentence);
  connect(&stale_delay_, &QTimer::timeout, this, [this] {
    stale_shown_ = true;
    showVerdict();
    showSentence();
  });
  connect(&computing_, &Computing::lookChanged, this, &Window::showLook);
  connect(&computing_, &Computing::busyChanged, this, &Window::showBusy);
  connect(&computing_, &Computing::progressed, this, [this](double fraction, const QString& what) {
    progress_->setValue(static_cast<int>(fraction * 1000));
    progress_->setFormat(what.isEmpty() ? QStringLiteral("%p %") : tr("%1: %p %").arg(what));
  });
  connect(&computing_, &Computing::failed, this,
          [this](const QString& text) { message_->setText(tr("Could not be computed: %1").arg(text)); });
  connect(&busy_delay_, &QTimer::timeout, this, [this] {
    progress_->setVisible(computing_.isBusy());
    cancel_->setVisible(computing_.isBusy());
  });
  connect(cancel_, &QPushButton::clicked, &computing_, &Computing::cancel);

  connect(run_, &RunView::linkChosen, this, &Window::chooseLink);
  connect(weakest_, &WeakestLine::linkRequested, this, &Window::chooseLink);
  connect(weakest_, &WeakestLine::applyRequested, this, &Window::apply);
  connect(weakest_, &WeakestLine::chooseRequested, this, &Window::chooseParts);
  connect(numbers_, &NumbersPane::applyRequested, this, &Window::apply);
  connect(numbers_, &NumbersPane::browseRequested, this, &Window::browseParts);
  connect(numbers_, &NumbersPane::lookRequested, this, [this](const verdict::At& at) {
    auto look = strip_->look();
    look.voltage_V = at.voltage_V;
    look.ambient_C = at.ambient_C;
    strip_->setLook(look);
    computing_.setLook(run_->chosen(), look);
  });
  connect(strip_, &ConditionsStrip::lookChanged, this,
          [this] { computing_.setLook(run_->chosen(), strip_->look()); });
  connect(strip_, &ConditionsStrip::takeOverRequested, this, &Window::takeOverLook);
  connect(pictures_, &PicturesPane::saveRequested, this,
          [this](const report::Picture& picture) { savePicture(picture); });
  connect(units_button_, &QPushButton::clicked, this, [this] {
    setUnits(preferences_.units() == units::UnitSystem::metric ? units::UnitSystem::us : units::UnitSystem::metric);
  });
  connect(choose_button_, &QPushButton::clicked, this, &Window::chooseParts);
  connect(cautions_, &CautionsBar::read, this, [this] {
    cautions_read_ = true;
    cautions_->hide();
    if (!document_.path().isEmpty()) preferences_.setCautionsShown(document_.path());
  });
}

charts::Style Window::pictureStyle() const {
  return {palette().color(QPalette::Window).lightness() < 128, preferences_.units()};
}

void Window::setUnits(units::UnitSystem units) {
  preferences_.setUnits(units);
  const bool metric = units == units::UnitSystem::metric;
  units_button_->setText(metric ? tr("Units: metric") : tr("Units: US"));
  (metric ? metric_action_ : us_action_)->setChecked(true);
  if (bench_ != nullptr) bench_->setStyle(pictureStyle());
  if (chances_ != nullptr) chances_->setStyle(pictureStyle());
  numbers_->setUnits(units);
  strip_->setUnits(units);
  weakest_->setUnits(units);
  run_->setVerdict(computing_.verdict(), units);
  showLook();
}

void Window::chooseWeakestOnce() {
  const auto& verdict = computing_.verdict();
  if (!seek_weakest_ || !verdict.current || !verdict.examined) return;
  chooseLink(report::link_of(*verdict.study, verdict.examined->worst[verdict.examined->weakest]));
}

void Window::chooseLink(const report::Link& link) {
  seek_weakest_ = false;
  run_->setChosen(link);
  numbers_->setLink(link);
  computing_.setLook(link, strip_->look());
}

void Window::apply(const verdict::Change& change) {
  if (std::holds_alternative<std::monostate>(change.passes_at)) return;
  document_.edit({{change.pointer, raw_of(change.passes_at)}}, step_name(change));
}

void Window::chooseParts() {
  if (document_.hasJob()) ChooseDialog(document_, this).exec();
}

void Window::browseParts(const QString& kind, const QString& pointer) {
  PartsBrowser browser(document_, preferences_.units(), this);
  if (!kind.isEmpty()) browser.chooseFor(kind, pointer);
  browser.exec();
  preferences_.setPartFiles(document_.partFiles());
}

void Window::savePicture(const report::Picture& picture, const QString& path) {
  QString file = path;
  if (file.isEmpty()) {
    QFileDialog dialog(this, tr("Save the picture as"), QFileInfo(document_.path()).absolutePath(),
                       tr("Pixels (*.png);;Drawing (*.svg);;Page (*.pdf)"));
    dialog.setAcceptMode(QFileDialog::AcceptSave);
    dialog.setDefaultSuffix(QStringLiteral("png"));
    dialog.selectFile(QString::fromStdString(picture.key) + QStringLiteral(".png"));
    connect(&dialog, &QFileDialog::filterSelected, &dialog, [&dialog](const QString& filter) {
      dialog.setDefaultSuffix(filter.section(QStringLiteral("*."), 1, 1).section(QLatin1Char(')'), 0, 0));
    });
    if (dialog.exec() != QDialog::Accepted) return;
    file = dialog.selectedFiles().front();
  }
  try {
    auto style = pictureStyle();
    style.dark = false;  // files are for paper and other people's screens
    charts::write_pictures({picture}, file.toStdString(), style, true);
    message_->setText(tr("Wrote %1").arg(QFileInfo(file).fileName()));
  } catch (const base::UsageError& error) {
    QMessageBox::warning(this, tr("Not saved"), QString::fromStdString(error.what()));
  }
}

void Window::takeOverLook() {
  const auto& look = strip_->look();
  document_.edit({{"/pulse/on_s", model::Raw(look.on_s)},
                  {"/use/gap_s", model::Raw(look.gap_s)},
                  {strip_->cyclesPointer(), model::Raw(look.cycles)}},
                 tr("pulse, rest and cycles of the look"));
}

void Window::showStudy() {
  const bool has_job = document_.hasJob();
  for (QAction* action : job_actions_) action->setEnabled(has_job);
  choose_button_->setEnabled(has_job);
  sheet_button_->setEnabled(has_job);
  numbers_->setEnabled(has_job);
  strip_->setEnabled(has_job && document_.study()->complete());
  if (!has_job) return;
  const auto& study = *document_.study();
  strip_->setStudy(study);
  auto link = run_->chosen();
  if (link.door >= study.doors.size()) {
    link.door = study.doors.size() - 1;
    run_->setChosen(link);
    numbers_->setLink(link);
  }
  computing_.setLook(run_->chosen(), strip_->look());
  title_->setText(study.job.title.empty() ? document_.shownName() : QString::fromStdString(study.job.title));
  showCautionsOnce();
}

void Window::showCautionsOnce() {
  cautions_->setVisible(document_.hasJob() && !cautions_read_ && !preferences_.cautionsShown(document_.path()));
}

bool Window::waitsQuietly() {
  if (computing_.verdict().current && computing_.lookIsCurrent()) {
    stale_delay_.stop();
    stale_shown_ = false;
  } else if (!stale_shown_ && !stale_delay_.isActive()) {
    stale_delay_.start();
  }
  return !stale_shown_;
}

void Window::showVerdict() {
  const auto& verdict = computing_.verdict();
  if (waitsQuietly() && !verdict.current && verdict.examined) return;
  run_->setVerdict(verdict, preferences_.units());
  weakest_->setVerdict(verdict);
  numbers_->setVerdict(verdict);
  chooseWeakestOnce();
}

void Window::showSentence() {
  const bool quiet = waitsQuietly();
  // The sentence is there before the pictures.
  const bool told = computing_.lookIsCurrent() || computing_.lookTime() >= 0;
  if (told || !quiet) {
    strip_->setSentence(QString::fromStdString(computing_.look().sentence), computing_.look().holds, told);
  }
  pictures_->setStale(!computing_.lookIsCurrent() && !quiet);
}

void Window::showLook() {
  showSentence();
  pictures_->setPictures(computing_.look().pictures, pictureStyle());
}

void Window::showName() {
  setWindowTitle(document_.hasJob() ? tr("%1[*] – Latchwright").arg(document_.shownName()) : tr("Latchwright"));
  setWindowModified(document_.isChanged());
  if (!document_.hasJob()) {
    title_->setText(tr("No job: begin a new one, or open one (a file can be dropped here)"));
  } else if (document_.study()->job.title.empty()) {
    title_->setText(document_.shownName());
  }
}

void Window::showBusy() {
  if (!computing_.isBusy()) {
    busy_delay_.stop();
    progress_->hide();
    cancel_->hide();
  } else if (!busy_delay_.isActive()) {
    progress_->setValue(0);
    busy_delay_.start();
  }
}

void Window::showRefused() {
  const auto count = static_cast<int>(document_.refused().size());
  refused_->setText(count == 0 ? QString() : tr("✕ %n number(s) not taken: see the marked fields", nullptr, count));
}

void Window::closeEvent(QCloseEvent* event) {
  if (!files_->mayGo()) {
    event->ignore();
    return;
  }
  recovery_.forget();
  preferences_.setWindowGeometry(saveGeometry());
  if (split_moved_) preferences_.setSplitState(split_->saveState());
  computing_.cancel();
  event->accept();
}

void Window::dragEnterEvent(QDragEnterEvent* event) {
  const auto urls = event->mimeData()->urls();
  if (urls.size() == 1 && urls.front().isLocalFile()) event->acceptProposedAction();
}

void Window::dropEvent(QDropEvent* event) {
  event->acceptProposedAction();
  const QString path = event->mimeData()->urls().front().toLocalFile();
  // The drag's source waits until this returns; questions come after.
  QMetaObject::invokeMethod(this, [this, path] { files_->open(path); }, Qt::QueuedConnection);
}

void Window::resizeEvent(QResizeEvent* event) {
  QMainWindow::resizeEvent(event);
  if (split_moved_) return;
  // Until somebody moves the bar: about a third for the numbers, which gain nothing from more than their lines take.
  const int letter = fontMetrics().averageCharWidth();
  const int numbers = std::clamp(width() * 35 / 100, 70 * letter, 94 * letter);
  split_->setSizes({numbers, std::max(1, width() - numbers)});
}

void Window::changeEvent(QEvent* event) {
  QMainWindow::changeEvent(event);
  if (event->type() != QEvent::PaletteChange || pictures_ == nullptr) return;
  showLook();
  if (bench_ != nullptr) bench_->setStyle(pictureStyle());
  if (chances_ != nullptr) chances_->setStyle(pictureStyle());
}

}  // namespace latchwright::desk

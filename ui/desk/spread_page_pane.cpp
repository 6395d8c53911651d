// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/spread_page_pane.h"

#include <QScrollArea>
#include <QSplitter>
#include <QVBoxLayout>
#include <algorithm>
#include <utility>

#include "base/text.h"
#include "desk/theme.h"

namespace latchwright::desk {

SpreadPane::SpreadPane(Document& document, QWidget* parent)
    : QWidget(parent),
      document_(document),
      run_(new QPushButton(this)),
      stop_(new QPushButton(tr("&Stop"), this)),
      as_job_(new QPushButton(tr("as the &job"), this)),
      progress_(new QProgressBar(this)),
      status_(new QLabel(this)),
      fault_(new QLabel(this)),
      said_(new QLabel(this)),
      pictures_(new PicturesPane(this)) {
  as_job_->setAccessibleDescription(tr("Sets all settings back to those of the job."));
  as_job_->setToolTip(as_job_->accessibleDescription());
  constexpr int parts = 1000;
  progress_->setRange(0, parts);
  progress_->setFixedWidth(24 * fontMetrics().averageCharWidth());
  progress_->setAccessibleName(tr("How far the computation is"));
  status_->setTextFormat(Qt::PlainText);
  status_->setAccessibleName(tr("How the computation stands"));
  status_->setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Preferred);
  fault_->setTextFormat(Qt::PlainText);
  fault_->setWordWrap(true);
  said_->setTextFormat(Qt::PlainText);
  said_->setWordWrap(true);
  said_->setAlignment(Qt::AlignLeft | Qt::AlignTop);
  said_->setTextInteractionFlags(Qt::TextSelectableByMouse | Qt::TextSelectableByKeyboard);
  said_->setAccessibleName(tr("What it says"));
  pictures_->setHint({});
  connect(run_, &QPushButton::clicked, this, &SpreadPane::run);
  connect(stop_, &QPushButton::clicked, this, [this] { stop(); });
  connect(as_job_, &QPushButton::clicked, this, [this] {
    moved_.clear();
    takeJob();
  });
  connect(pictures_, &PicturesPane::saveRequested, this, &SpreadPane::saveRequested);
  connect(&document_, &Document::studyChanged, this, &SpreadPane::takeJob);
  connect(&task_, &LatestTask::progressed, this, [this](double fraction) { showProgress(fraction); });
  connect(&task_, &LatestTask::finished, this, &SpreadPane::showState);
  connect(&task_, &LatestTask::failed, this, [this](const QString& text) {
    told_ = tr("✕ could not be computed: %1").arg(text);
    showState();
  });
}

LookSetting* SpreadPane::addSetting(const QString& name, const QString& meaning, const model::FieldInfo& info,
                                    double low, double high, double step) {
  // A count needs no unit beside its name.
  const bool whole = info.kind == model::FieldKind::whole;
  auto* setting =
      new LookSetting(name, meaning, whole ? std::string() : info.unit, info.low, info.high, this);
  if (whole) setting->setWhole();
  setting->setSpan(low, high, step);
  settings_.push_back(setting);
  connect(setting, &LookSetting::moved, this, [this, setting] {
    moved_.insert(setting);
    // Cycles that nobody moved are those of the ambient.
    if (document_.hasJob()) followJob(*document_.study());
    settingsMoved();
  });
  connect(setting, &LookSetting::faultChanged, this, &SpreadPane::showState);
  return setting;
}

void SpreadPane::settingsMoved() {
  told_.clear();
  showState();
}

void SpreadPane::follow(LookSetting* setting, double jobs_own) {
  if (!isMoved(setting)) setting->setValue(jobs_own);
}

void SpreadPane::layOut(QLayout* settings_layout, const QString& what_runs) {
  run_->setText(what_runs);
  auto* bar = new QHBoxLayout;
  bar->addWidget(run_);
  bar->addWidget(stop_);
  bar->addWidget(progress_);
  bar->addWidget(status_, 1);
  bar->addWidget(as_job_);
  auto* scroll = new QScrollArea(this);
  scroll->setFrameShape(QFrame::NoFrame);
  scroll->setWidgetResizable(true);
  scroll->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
  scroll->setFocusPolicy(Qt::NoFocus);
  scroll->setWidget(said_);
  said_->setContentsMargins(0, 4, 8, 4);
  scroll->viewport()->setAutoFillBackground(false);
  said_->setAutoFillBackground(false);
  auto* split = new QSplitter(Qt::Horizontal, this);
  split->addWidget(scroll);
  split->addWidget(pictures_);
  split->setStretchFactor(0, 2);
  split->setStretchFactor(1, 3);
  split->setChildrenCollapsible(false);
  // Two fifths for the words until somebody moves the bar.
  split->setSizes({2000, 3000});
  auto* layout = new QVBoxLayout(this);
  layout->setContentsMargins(6, 6, 2, 2);
  layout->setSpacing(4);
  layout->addLayout(settings_layout);
  layout->addWidget(fault_);
  layout->addLayout(bar);
  layout->addWidget(split, 1);
  takeJob();
}

void SpreadPane::setStyle(const charts::Style& style) {
  style_ = style;
  for (LookSetting* setting : settings_) setting->setUnits(style.units);
  pictures_->setPictures(shown_ ? shown_->pictures : std::vector<report::Picture>(), style_);
}

void SpreadPane::takeJob() {
  if (document_.hasJob()) followJob(*document_.study());
  told_.clear();
  showState();
}

bool SpreadPane::isCurrent() const {
  return shown_ && !task_.isRunning() && shown_study_ == document_.study() &&
         shown_settings_ == settingsText();
}

void SpreadPane::run() {
  const auto& study = document_.study();
  if (!run_->isEnabled() || !study || !study->complete()) return;
  told_.clear();
  run_study_ = study;
  run_settings_ = settingsText();
  progress_->setValue(0);
  clock_.start();
  begin(study);
  // Whoever pressed the button may want to press the other one next.
  const bool had_focus = run_->hasFocus();
  showState();
  if (had_focus) stop_->setFocus(Qt::OtherFocusReason);
}

void SpreadPane::show(Shown shown) {
  shown_ = std::move(shown);
  shown_study_ = run_study_;
  shown_settings_ = run_settings_;
  QStringList lines;
  for (const auto& sentence : shown_->sentences) lines << QString::fromStdString(sentence);
  said_->setText(lines.join(QStringLiteral("\n\n")));
  pictures_->setPictures(shown_->pictures, style_);
  showState();
}

void SpreadPane::tellStopped(const QString& text) {
  told_ = text;
  showState();
}

void SpreadPane::showProgress(double fraction) {
  progress_->setValue(static_cast<int>(fraction * progress_->maximum()));
  constexpr double first_guess_s = 1, first_share = 0.01;
  const double elapsed_s = elapsedSeconds();
  if (elapsed_s < first_guess_s || fraction < first_share) return;
  const double left_s = elapsed_s * (1 - fraction) / fraction;
  status_->setText(tr("about %1 left").arg(QString::fromStdString(base::wait_text(left_s))));
}

void SpreadPane::showState() {
  const auto& study = document_.study();
  QStringList faults;
  for (const LookSetting* setting : settings_) {
    if (!setting->fault().isEmpty()) faults << setting->fault();
  }
  if (faults.isEmpty() && !settingsFault().isEmpty()) faults << settingsFault();
  fault_->setText(faults.isEmpty() ? QString() : tr("✕ %1").arg(faults.join(QStringLiteral("; "))));
  fault_->setVisible(!faults.isEmpty());

  const bool complete = study && study->complete();
  const bool running = task_.isRunning();
  const bool lost_focus = stop_->hasFocus() && !running;
  run_->setEnabled(complete && faults.isEmpty() && !running);
  stop_->setEnabled(running);
  progress_->setVisible(running);
  if (lost_focus) run_->setFocus(Qt::OtherFocusReason);

  const bool current = isCurrent();
  said_->setEnabled(!shown_ || current);
  const bool of_another = shown_ && !current && !running;
  pictures_->setStale(shown_ && !current,
                      of_another ? tr("not of the job and settings as they are") : QString());
  if (!told_.isEmpty()) {
    status_->setText(told_);
  } else if (running) {
    status_->setText(tr("computing…"));
  } else if (!study) {
    status_->setText(tr("There is no job yet."));
  } else if (!complete) {
    status_->setText(tr("The job is not finished: choose its parts first."));
  } else if (!shown_) {
    status_->setText(tr("Not computed yet."));
  } else if (!current) {
    status_->setText(shown_study_ == study
                         ? tr("The settings have changed: what is shown is of those before.")
                         : tr("The job has changed: what is shown is of the job before."));
  } else {
    status_->setText(shown_->done);
  }
  status_->setToolTip(status_->text());
}

}  // namespace latchwright::desk

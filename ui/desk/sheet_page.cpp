// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/sheet_page.h"

#include <QDate>
#include <QFileDialog>
#include <QFileInfo>
#include <QMessageBox>
#include <QPainter>
#include <QPixmap>
#include <QShortcut>
#include <QShowEvent>

#include "base/failure.h"
#include "base/worker_pool.h"
#include "io/files.h"
#include "report/sheet_html.h"

namespace latchwright::desk {

/// One page as it will be printed, as wide as there is room.
class SheetPage::PageView : public QWidget {
 public:
  explicit PageView(QWidget* parent) : QWidget(parent) {
    QSizePolicy policy(QSizePolicy::Expanding, QSizePolicy::Preferred);
    policy.setHeightForWidth(true);
    setSizePolicy(policy);
  }

  void setPage(std::shared_ptr<const charts::SheetPages> pages, int page) {
    pages_ = std::move(pages);
    page_ = page;
    painted_ = {};
    setAccessibleName(SheetPage::tr("page %1 of %2").arg(page + 1).arg(pages_->count()));
    updateGeometry();
    update();
  }

  bool hasHeightForWidth() const override { return true; }
  int heightForWidth(int width) const override {
    return pages_ ? qRound(width * pages_->size().height() / pages_->size().width()) : 0;
  }
  QSize sizeHint() const override {
    const int width = fontMetrics().averageCharWidth() * 120;
    return {width, heightForWidth(width)};
  }

 protected:
  void paintEvent(QPaintEvent*) override {
    if (!pages_) return;
    const QSize pixels = size() * devicePixelRatioF();
    if (painted_.size() != pixels) {
      painted_ = QPixmap(pixels);
      painted_.fill(Qt::white);
      QPainter painter(&painted_);
      const double scale = pixels.width() / pages_->size().width();
      painter.scale(scale, scale);
      pages_->paint(painter, page_);
    }
    QPainter painter(this);
    painter.drawPixmap(rect(), painted_);
    painter.setPen(palette().color(QPalette::Mid));
    painter.drawRect(rect().adjusted(0, 0, -1, -1));
  }

 private:
  std::shared_ptr<const charts::SheetPages> pages_;
  int page_ = 0;
  QPixmap painted_;
};

SheetPage::SheetPage(Document& document, QWidget* parent)
    : QWidget(parent),
      document_(document),
      state_(new QLabel(this)),
      paper_(new QComboBox(this)),
      dated_(new QCheckBox(tr("with today's &date"), this)),
      save_(new QPushButton(tr("&Save the sheet…"), this)),
      scroll_(new QScrollArea(this)) {
  setAccessibleName(tr("job sheet"));
  setAccessibleDescription(
      tr("The pages for the customer file, as they will be printed: for the owner, for the fitter, the "
         "acceptance test, "
         "cautions and assumptions."));
  layOut();
  connect(paper_, &QComboBox::currentIndexChanged, this, &SheetPage::showPages);
  connect(dated_, &QCheckBox::toggled, this, &SheetPage::make);
  connect(save_, &QPushButton::clicked, this, &SheetPage::askAndWrite);
  connect(&document_, &Document::studyChanged, this, &SheetPage::followStudy);
  connect(&task_, &LatestTask::finished, this, &SheetPage::tellState);
  connect(&task_, &LatestTask::failed, this, [this](const QString& text) {
    failure_ = text;
    tellState();
  });
  auto* leave = new QShortcut(QKeySequence(Qt::Key_Escape), this);
  leave->setContext(Qt::WidgetWithChildrenShortcut);
  connect(leave, &QShortcut::activated, this, &SheetPage::leaveRequested);
  tellState();
}

void SheetPage::layOut() {
  paper_->addItem(tr("A4"));
  paper_->addItem(tr("Letter"));
  paper_->setAccessibleName(tr("paper"));
  auto* paper_name = new QLabel(tr("&Paper"), this);
  paper_name->setBuddy(paper_);
  dated_->setToolTip(tr("Without a date the same job always gives the same sheet"));
  save_->setToolTip(tr("As a page for a browser or a phone, or as a PDF to print"));
  state_->setTextFormat(Qt::PlainText);
  state_->setWordWrap(true);
  state_->setAccessibleName(tr("State of the sheet"));
  auto* top = new QHBoxLayout;
  top->setSpacing(2 * fontMetrics().averageCharWidth());
  top->addWidget(state_, 1);
  top->addWidget(dated_);
  top->addWidget(paper_name);
  top->addWidget(paper_);
  top->addWidget(save_);

  auto* inside = new QWidget(scroll_);
  auto* across = new QHBoxLayout(inside);
  auto* pages = new QWidget(inside);
  // Wider pages would only show fewer lines.
  pages->setMaximumWidth(fontMetrics().averageCharWidth() * 125);
  column_ = new QVBoxLayout(pages);
  column_->setContentsMargins(0, 0, 0, 0);
  column_->setSpacing(12);
  across->addStretch(1);
  across->addWidget(pages, 8);
  across->addStretch(1);
  scroll_->setWidget(inside);
  scroll_->setWidgetResizable(true);
  scroll_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
  scroll_->setFocusPolicy(Qt::StrongFocus);
  scroll_->setAccessibleName(tr("pages of the job sheet"));
  auto* layout = new QVBoxLayout(this);
  layout->setContentsMargins(0, 0, 0, 0);
  layout->setSpacing(4);
  layout->addLayout(top);
  layout->addWidget(scroll_, 1);
  setFocusProxy(scroll_);
}

report::Paper SheetPage::chosenPaper() const {
  return paper_->currentIndex() == 1 ? report::Paper::letter : report::Paper::a4;
}

void SheetPage::showEvent(QShowEvent* event) {
  QWidget::showEvent(event);
  followStudy();
}

void SheetPage::followStudy() {
  // Nobody looks: nothing is computed for the drawer.
  if (!isVisible()) return;
  if (!document_.hasJob() || !document_.study()->complete()) {
    task_.cancel();
    of_.reset();
    findings_.reset();
    make();
  } else if (of_ != document_.study() || !findings_) {
    compute();
  }
}

void SheetPage::compute() {
  failure_.clear();
  task_.start([this, study = document_.study()](LatestTask::Handle& handle) {
    auto findings = std::make_shared<report::SheetFindings>(
        report::find_for_sheet(*study, base::available_workers(), handle));
    handle.tell([this, study, findings] {
      of_ = study;
      findings_ = std::move(*findings);
      make();
    });
  });
  tellState();
}

void SheetPage::make() {
  sheet_.reset();
  if (findings_) {
    const QString date = dated_->isChecked() ? QDate::currentDate().toString(Qt::ISODate) : QString();
    sheet_ = report::make_job_sheet(*of_, *findings_, date.toStdString());
  }
  showPages();
}

void SheetPage::showPages() {
  pages_ = sheet_ ? std::make_shared<const charts::SheetPages>(*sheet_, chosenPaper()) : nullptr;
  const std::size_t count = pages_ ? static_cast<std::size_t>(pages_->count()) : 0;
  while (views_.size() > count) {
    delete views_.back();
    views_.pop_back();
  }
  while (views_.size() < count) {
    views_.push_back(new PageView(scroll_->widget()));
    column_->addWidget(views_.back());
  }
  for (std::size_t k = 0; k < count; ++k) views_[k]->setPage(pages_, static_cast<int>(k));
  tellState();
}

void SheetPage::tellState() {
  save_->setEnabled(isCurrent());
  if (!failure_.isEmpty()) {
    state_->setText(tr("✕ could not be computed: %1").arg(failure_));
  } else if (!document_.hasJob()) {
    state_->setText(tr("No job is open."));
  } else if (!document_.study()->complete()) {
    state_->setText(tr("The job leaves parts open: choose them, then its sheet is made."));
  } else if (!isCurrent()) {
    state_->setText(sheet_ ? tr("computing… (below: the sheet before the last change)") : tr("computing…"));
  } else if (!sheet_->stop.empty()) {
    state_->setText(QStringLiteral("✕ ") + QString::fromStdString(sheet_->stop));
  } else {
    state_->setText(tr("✓ Passes. Pages for the customer file: %1").arg(pageCount()));
  }
}

void SheetPage::write(const QString& path) {
  if (!sheet_) throw base::UsageError(tr("there is no sheet to be written yet").toStdString());
  const QString ending = QFileInfo(path).suffix().toLower();
  std::string bytes;
  if (ending == QStringLiteral("pdf")) {
    bytes = charts::draw_sheet_pdf(*sheet_, chosenPaper()).toStdString();
  } else if (ending == QStringLiteral("html")) {
    bytes = report::sheet_html(*sheet_, report::make_picture_writer().get());
  } else {
    throw base::UsageError(
        tr("%1: job sheets go into files that end in .html or .pdf").arg(path).toStdString());
  }
  // The dialog has asked about an existing file.
  io::save_text(path.toStdString(), bytes, true);
  Q_EMIT written(path);
}

void SheetPage::askAndWrite() {
  const QFileInfo job(document_.path());
  QFileDialog dialog(this, tr("Save the job sheet as"), job.absolutePath(),
                     tr("To print (*.pdf);;For a browser or a phone (*.html)"));
  dialog.setAcceptMode(QFileDialog::AcceptSave);
  dialog.setDefaultSuffix(QStringLiteral("pdf"));
  const QString name =
      document_.path().isEmpty() ? tr("job-sheet") : tr("%1-sheet").arg(job.completeBaseName());
  dialog.selectFile(name + QStringLiteral(".pdf"));
  connect(&dialog, &QFileDialog::filterSelected, &dialog, [&dialog](const QString& filter) {
    dialog.setDefaultSuffix(filter.section(QStringLiteral("*."), 1, 1).section(QLatin1Char(')'), 0, 0));
  });
  if (dialog.exec() != QDialog::Accepted) return;
  try {
    write(dialog.selectedFiles().front());
  } catch (const base::UsageError& error) {
    QMessageBox::warning(this, tr("Not saved"), QString::fromStdString(error.what()));
  }
}

}  // namespace latchwright::desk

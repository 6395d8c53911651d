// SPDX-License-Identifier: GPL-3.0-or-later
#include <QComboBox>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QPushButton>
#include <QScreen>
#include <QScrollArea>
#include <QSplitter>
#include <QTableView>
#include <QTableWidget>
#include <QVBoxLayout>

#include "desk/field_words.h"
#include "desk/number_editor.h"
#include "desk/part_view.h"
#include "desk/parts_browser.h"
#include "desk/parts_model.h"
#include "desk/table_copy.h"
#include "model/part_fields.h"

namespace latchwright::desk {

namespace {

/// A button that Enter does not press while another thing has the focus.
QPushButton* make_button(const QString& text, const char* name, QWidget* parent) {
  auto* button = new QPushButton(text, parent);
  button->setObjectName(QLatin1String(name));
  button->setAutoDefault(false);
  return button;
}

}  // namespace

PartsBrowser::PartsBrowser(Document& document, units::UnitSystem units, QWidget* parent)
    : QDialog(parent),
      document_(document),
      units_(units),
      model_(new PartsModel(document, units, this)),
      filter_(new PartsFilter(*model_, this)) {
  setWindowTitle(tr("Parts"));
  setSizeGripEnabled(true);
  auto* column = new QVBoxLayout(this);
  column->addWidget(makeFilterBar());
  list_ = new QTableView(this);
  list_->setObjectName(QStringLiteral("parts"));
  list_->setAccessibleName(tr("parts"));
  list_->setModel(filter_);
  list_->setSelectionBehavior(QAbstractItemView::SelectRows);
  list_->setSelectionMode(QAbstractItemView::SingleSelection);
  list_->setTabKeyNavigation(false);
  list_->setAlternatingRowColors(true);
  list_->setShowGrid(false);
  list_->setWordWrap(false);
  list_->verticalHeader()->hide();
  list_->setSortingEnabled(true);
  make_copyable(list_);

  auto* halves = new QSplitter(Qt::Horizontal, this);
  halves->addWidget(list_);
  halves->addWidget(makeDetail());
  halves->setStretchFactor(0, 3);
  halves->setStretchFactor(1, 2);
  halves->setChildrenCollapsible(false);
  column->addWidget(halves, 1);
  faults_heading_ = new QLabel(this);
  faults_heading_->setWordWrap(true);
  faults_heading_->hide();
  column->addWidget(faults_heading_);
  faults_ = new QTableWidget(0, 3, this);
  faults_->setObjectName(QStringLiteral("faults"));
  faults_->setAccessibleName(tr("faults"));
  faults_->setHorizontalHeaderLabels({tr("file"), tr("place"), tr("fault")});
  faults_->horizontalHeader()->setSectionResizeMode(QHeaderView::ResizeToContents);
  faults_->horizontalHeader()->setStretchLastSection(true);
  faults_->verticalHeader()->hide();
  faults_->setEditTriggers(QAbstractItemView::NoEditTriggers);
  faults_->setMaximumHeight(8 * fontMetrics().lineSpacing());
  faults_->setTabKeyNavigation(false);
  make_copyable(faults_);
  faults_->hide();
  column->addWidget(faults_);
  column->addWidget(makeFileBar());
  column->addWidget(makeButtons());

  const int letter = fontMetrics().averageCharWidth();
  for (const auto& [at, letters] : {std::pair{PartsModel::id, 22},
                                    {PartsModel::kind, 18},
                                    {PartsModel::title, 34},
                                    {PartsModel::figures, 38},
                                    {PartsModel::origin, 10},
                                    {PartsModel::file, 12}}) {
    list_->setColumnWidth(at, letters * letter);
  }
  list_->verticalHeader()->setDefaultSectionSize(fontMetrics().height() + 6);
  list_->sortByColumn(PartsModel::figures, Qt::AscendingOrder);
  const QSize room = screen()->availableSize() * 0.94;
  resize(QSize(200 * letter, 44 * fontMetrics().lineSpacing()).boundedTo(room));

  connect(list_->selectionModel(), &QItemSelectionModel::currentChanged, this, &PartsBrowser::showChosen);
  connect(list_, &QTableView::doubleClicked, this, &PartsBrowser::putThere);
  connect(&document_, &Document::studyChanged, this, &PartsBrowser::reload);
  reload();
  words_->setFocus();
}

QWidget* PartsBrowser::makeFilterBar() {
  auto* bar = new QWidget(this);
  auto* column = new QVBoxLayout(bar);
  column->setContentsMargins(0, 0, 0, 0);
  place_ = new QLabel(bar);
  place_->setWordWrap(true);
  place_->setTextFormat(Qt::PlainText);
  place_->hide();
  column->addWidget(place_);
  auto* line = new QHBoxLayout;
  column->addLayout(line);
  kinds_ = new QComboBox(bar);
  kinds_->setObjectName(QStringLiteral("kinds"));
  kinds_->addItem(tr("all kinds"), QString());
  for (const auto& kind : model::part_kinds())
    kinds_->addItem(kind_label(kind), QString::fromStdString(kind));
  auto* kind_name = new QLabel(tr("&Kind:"), bar);
  kind_name->setBuddy(kinds_);
  auto* words = new FormLine(bar);
  words_ = words;
  words_->setObjectName(QStringLiteral("words"));
  words_->setClearButtonEnabled(true);
  words_->setPlaceholderText(tr("words in id, title or figures"));
  auto* words_name = new QLabel(tr("&Words:"), bar);
  words_name->setBuddy(words_);
  count_ = new QLabel(bar);
  line->addWidget(kind_name);
  line->addWidget(kinds_);
  line->addWidget(words_name);
  line->addWidget(words_, 1);
  line->addWidget(count_);
  connect(kinds_, &QComboBox::activated, this,
          [this](int index) { showKind(kinds_->itemData(index).toString()); });
  connect(words_, &QLineEdit::textChanged, this, [this](const QString& text) {
    filter_->setWords(text);
    showCount();
    if (!list_->currentIndex().isValid() && filter_->rowCount() > 0)
      list_->setCurrentIndex(filter_->index(0, 0));
  });
  const auto to_list = [this] { list_->setFocus(); };
  connect(words_, &QLineEdit::returnPressed, this, to_list);
  connect(words, &FormLine::stepRequested, this, to_list);
  return bar;
}

QWidget* PartsBrowser::makeDetail() {
  auto* half = new QWidget(this);
  auto* outer = new QVBoxLayout(half);
  outer->setContentsMargins(0, 0, 0, 0);
  auto* area = new QScrollArea(half);
  area->setWidgetResizable(true);
  area->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
  area->setMinimumWidth(46 * fontMetrics().averageCharWidth());
  auto* content = new QWidget;
  auto* column = new QVBoxLayout(content);
  view_ = new PartView(content);
  column->addWidget(view_);
  own_ = new QWidget(content);
  own_->setObjectName(QStringLiteral("own_part"));
  own_place_ = new QVBoxLayout(own_);
  own_place_->setContentsMargins(0, 0, 0, 0);
  auto* heading = new QLabel(tr("Part of this job: its figures can be changed here."), own_);
  heading->setWordWrap(true);
  own_place_->addWidget(heading);
  column->addWidget(own_);
  column->addStretch(1);
  area->setWidget(content);
  outer->addWidget(area, 1);
  help_ = new QLabel(half);
  help_->setWordWrap(true);
  help_->setTextFormat(Qt::PlainText);
  help_->setAlignment(Qt::AlignLeft | Qt::AlignTop);
  help_->setMinimumHeight(3 * fontMetrics().lineSpacing());
  outer->addWidget(help_);
  return half;
}

QWidget* PartsBrowser::makeFileBar() {
  auto* bar = new QWidget(this);
  auto* line = new QHBoxLayout(bar);
  line->setContentsMargins(0, 0, 0, 0);
  files_ = new QComboBox(bar);
  files_->setObjectName(QStringLiteral("files"));
  files_->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
  files_->setMinimumContentsLength(30);
  auto* name = new QLabel(tr("Part &files:"), bar);
  name->setBuddy(files_);
  auto* add = make_button(tr("&Add part file…"), "add_file", bar);
  remove_file_ = make_button(tr("&Remove part file"), "remove_file", bar);
  line->addWidget(name);
  line->addWidget(files_);
  line->addWidget(add);
  line->addWidget(remove_file_);
  line->addStretch(1);
  connect(add, &QPushButton::clicked, this, &PartsBrowser::askForFiles);
  connect(remove_file_, &QPushButton::clicked, this, &PartsBrowser::removeFile);
  return bar;
}

QWidget* PartsBrowser::makeButtons() {
  auto* bar = new QWidget(this);
  auto* line = new QHBoxLayout(bar);
  line->setContentsMargins(0, 0, 0, 0);
  copy_ = make_button(tr("&Copy into this job"), "copy_part", bar);
  copy_->setToolTip(
      tr("An own part of the job, whose figures can be changed, under the id beside this button"));
  new_id_ = new FormLine(bar);
  new_id_->setObjectName(QStringLiteral("new_id"));
  new_id_->setAccessibleName(tr("id of the copy"));
  new_id_->setMinimumWidth(22 * fontMetrics().averageCharWidth());
  auto* as = new QLabel(tr("as own part wit&h id:"), bar);
  as->setBuddy(new_id_);
  remove_ = make_button(tr("Remove from this &job"), "remove_part", bar);
  put_ = make_button(tr("&Put it there"), "put", bar);
  put_->hide();
  auto* close = make_button(tr("Close"), "close", bar);
  line->addWidget(copy_);
  line->addWidget(as);
  line->addWidget(new_id_);
  line->addWidget(remove_);
  line->addStretch(1);
  line->addWidget(put_);
  line->addWidget(close);
  connect(copy_, &QPushButton::clicked, this, &PartsBrowser::copyIntoJob);
  connect(remove_, &QPushButton::clicked, this, &PartsBrowser::removeFromJob);
  connect(put_, &QPushButton::clicked, this, &PartsBrowser::putThere);
  connect(close, &QPushButton::clicked, this, &PartsBrowser::reject);
  return bar;
}

}  // namespace latchwright::desk

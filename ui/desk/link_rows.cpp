// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/link_rows.h"

#include <QHBoxLayout>
#include <QPushButton>
#include <QSignalBlocker>
#include <QVBoxLayout>
#include <algorithm>

#include "base/text.h"
#include "desk/flat_table.h"
#include "desk/number_entry.h"
#include "desk/record_form.h"
#include "desk/row_words.h"
#include "desk/tab_place.h"
#include "desk/theme.h"
#include "report/check_words.h"

namespace latchwright::desk {

using verdict::CheckRow;
using verdict::Verdict;

namespace {

QString figure(const CheckRow& row, bool is_need, units::UnitSystem units) {
  const auto& value = is_need ? row.need : row.have;
  const bool as_it_is = !value || row.unit == "cycles" || units == units::UnitSystem::metric;
  if (as_it_is) return QString::fromStdString(report::figure_text(row, is_need)).trimmed();
  return units::value_text(*value, row.unit, units);
}

QString condition(const std::optional<verdict::At>& at, units::UnitSystem units) {
  if (!at) return LinkRows::tr("any");
  const units::ShownUnit degrees = units::shown_unit("°C", units);
  return LinkRows::tr("%1 V, %2 %3")
      .arg(short_number(at->voltage_V), short_number(degrees.shown(at->ambient_C)), degrees.text);
}

QLabel* make_text(QWidget* parent) {
  auto* text = new QLabel(parent);
  text->setWordWrap(true);
  text->setTextFormat(Qt::PlainText);
  text->setTextInteractionFlags(Qt::TextSelectableByMouse | Qt::TextSelectableByKeyboard);
  return text;
}

}  // namespace

LinkRows::LinkRows(QWidget* parent)
    : QWidget(parent),
      name_(make_heading({}, this)),
      state_label_(make_text(this)),
      table_(new FlatTable(
          {tr("check"), tr("condition"), tr("have"), tr("need"), tr("margin"), tr("verdict")}, this)),
      why_(make_text(this)),
      look_(new QPushButton(tr("&Look at its weakest condition"), this)),
      column_(new QVBoxLayout(this)) {
  QFont large = name_->font();
  large.setPointSizeF(large.pointSizeF() * 1.25);
  name_->setFont(large);
  name_->setObjectName(QStringLiteral("link_name"));
  state_label_->setObjectName(QStringLiteral("link_state"));
  why_->setObjectName(QStringLiteral("why"));
  look_->setObjectName(QStringLiteral("look"));
  look_->setToolTip(tr("The pictures then show this condition"));
  table_->setObjectName(QStringLiteral("link_rows"));
  table_->setAccessibleName(tr("checks of this link"));
  column_->setContentsMargins(0, 0, 0, 0);
  column_->addWidget(name_);
  column_->addWidget(state_label_);
  column_->addWidget(table_);
  column_->addWidget(why_);
  auto* line = new QHBoxLayout;
  line->addWidget(look_);
  line->addStretch(1);
  column_->addLayout(line);
  connect(table_, &QTableWidget::currentCellChanged, this, [this](int row) { showRow(row); });
  connect(look_, &QPushButton::clicked, this, [this] {
    const int worst = 0;
    const CheckRow* row = rowAt(worst);
    if (row && row->at) Q_EMIT lookRequested(*row->at);
  });
}

void LinkRows::showLink(const VerdictState& verdict, const report::Link& link, units::UnitSystem units) {
  const bool same_link = state_.link == link && verdict_.examined == verdict.examined;
  const int kept = same_link ? table_->currentRow() : -1;
  verdict_ = verdict;
  units_ = units;
  state_ = {};
  state_.link = link;
  if (verdict_.study) {
    for (auto& each : report::run_links(*verdict_.study, verdict_.examined.get())) {
      if (each.link == link) state_ = std::move(each);
    }
  }
  // The worst first, so that it is what the reasons and cures beneath speak of.
  if (verdict_.examined) {
    std::stable_sort(state_.rows.begin(), state_.rows.end(), [this](std::size_t a, std::size_t b) {
      return verdict::worse(verdict_.examined->worst[a], verdict_.examined->worst[b]);
    });
  }
  name_->setText(state_.part.empty()
                     ? QString::fromStdString(base::printable(state_.name))
                     : tr("%1: %2").arg(QString::fromStdString(base::printable(state_.name)),
                                        part_words(state_, units_)));
  state_label_->setText(stateText());
  fillTable();
  table_->setCurrentCell(kept >= 0 && kept < table_->rowCount() ? kept : 0, 0);
  showRow(table_->currentRow());
}

QString LinkRows::stateText() const {
  QString text;
  if (!state_.chosen) {
    text = tr("○ not chosen: choose its part below, or let parts be chosen for you");
  } else if (!verdict_.examined) {
    text = verdict_.study && !verdict_.study->complete()
               ? tr("no verdict yet: other parts of the job are still to be chosen")
               : tr("no verdict yet");
  } else if (state_.rows.empty()) {
    text = tr("no check is about this link alone");
  } else {
    const CheckRow& worst = verdict_.examined->worst[state_.rows.front()];
    text = tr("%1, over all conditions").arg(sign_and_word(standing_of(worst.verdict)));
  }
  if (verdict_.examined && !verdict_.current) {
    text = tr("%1\n⟳ of the job before the last change; a new verdict is on its way").arg(text);
  }
  return text;
}

const CheckRow* LinkRows::rowAt(int index) const {
  if (!verdict_.examined || index < 0 || index >= static_cast<int>(state_.rows.size())) return nullptr;
  return &verdict_.examined->worst[state_.rows[static_cast<std::size_t>(index)]];
}

void LinkRows::fillTable() {
  const QSignalBlocker quiet(table_);
  const int count = verdict_.examined ? static_cast<int>(state_.rows.size()) : 0;
  table_->setRowCount(count);
  for (int k = 0; k < count; ++k) {
    const CheckRow& row = *rowAt(k);
    QString title = QString::fromStdString(report::title_of(row.id));
    // A row about something else than the link by name, such as the installation, says so.
    const QString where = QString::fromStdString(report::where_of(*verdict_.study, row));
    if (!row.door && QString::fromStdString(state_.name) != where) title = tr("%1 (%2)").arg(title, where);
    const QString tip =
        tr("<p>%1</p><p>%2</p>").arg(title.toHtmlEscaped(), QString::fromStdString(row.why).toHtmlEscaped());
    table_->setRow(k,
                   {title, condition(row.at, units_), figure(row, false, units_), figure(row, true, units_),
                    QString::fromStdString(report::margin_text(row.margin)), sign_and_word(standing_of(row.verdict))},
                   tip);
    if (row.verdict == Verdict::holds) continue;
    QFont bold = table_->font();
    bold.setBold(true);
    table_->item(k, 5)->setFont(bold);
  }
  // The old result stays to be read, marked by its ink.
  table_->setEnabled(verdict_.current);
  table_->setVisible(count > 0);
  table_->fit();
}

void LinkRows::showRow(int index) {
  const QWidget* const focused = focusWidget();
  const bool cure_had_focus = cures_ != nullptr && focused != nullptr && cures_->isAncestorOf(focused);
  if (cures_ != nullptr) {
    cures_->hide();
    cures_->deleteLater();
    cures_ = nullptr;
  }
  const CheckRow* row = rowAt(index);
  const CheckRow* worst = rowAt(0);
  look_->setVisible(worst != nullptr && worst->at);
  why_->setVisible(row != nullptr && !row->why.empty());
  if (row == nullptr) return;
  why_->setText(
      tr("%1: %2").arg(QString::fromStdString(report::title_of(row->id)), QString::fromStdString(row->why)));
  cures_ = new QWidget(this);
  auto* list = new QVBoxLayout(cures_);
  list->setContentsMargins(0, 0, 0, 0);
  column_->addWidget(cures_);
  if (!row->cures.empty()) {
    list->addWidget(make_heading(tr("What would cure it, one change each"), cures_));
    for (const auto& cure : row->cures) addCure(cure);
  } else if (row->verdict == Verdict::fails) {
    auto* text = make_text(cures_);
    text->setText(verdict_.cures_known ? tr("No single change of the job cures it.")
                                       : tr("Cures are being looked for."));
    list->addWidget(text);
  }
  cures_->show();
  put_in_tab_order(look_, cures_);
  if (!cure_had_focus) return;
  if (auto* button = cures_->findChild<QPushButton*>()) button->setFocus();
}

QString LinkRows::movesText(const verdict::Cure& cure) const {
  QStringList lines;
  for (const verdict::Move& move : cure.moves) {
    const auto margin = [](const std::optional<double>& value) {
      return value ? QString::fromStdString(report::margin_text(value)) : tr("no limit");
    };
    const QString what = QString::fromStdString(report::title_of(move.id));
    const QString where =
        QString::fromStdString(report::where_text(*verdict_.study, move.id, move.door, move.part));
    lines.append(move.verdict_now ? tr("%1, %2: margin %3, then %4")
                                        .arg(what, where, margin(move.margin_now), margin(move.margin_then))
                                  : tr("%1, %2: margin %3").arg(what, where, margin(move.margin_then)));
  }
  return lines.isEmpty() ? QString() : tr("It moves also:\n%1").arg(lines.join(QLatin1Char('\n')));
}

void LinkRows::addCure(const verdict::Cure& cure) {
  auto* line = new QHBoxLayout;
  auto* text = make_text(cures_);
  QString said = QString::fromStdString(cure.change.text);
  QStringList broken;
  for (const verdict::CheckId id : cure.breaks) broken.append(QString::fromStdString(report::title_of(id)));
  if (!broken.isEmpty()) said = tr("%1\nThen fails: %2.").arg(said, broken.join(QStringLiteral("; ")));
  text->setText(said);
  text->setToolTip(movesText(cure));
  line->addWidget(text, 1);
  if (!std::holds_alternative<std::monostate>(cure.change.passes_at)) {
    auto* apply = new QPushButton(tr("apply"), cures_);
    apply->setAccessibleName(tr("apply: %1").arg(QString::fromStdString(cure.change.text)));
    apply->setEnabled(verdict_.current);
    apply->setToolTip(verdict_.current ? tr("Changes the job; can be undone")
                                       : tr("Wait for the new verdict: this one is about the job as it was"));
    line->addWidget(apply, 0, Qt::AlignTop);
    connect(apply, &QPushButton::clicked, this,
            [this, change = cure.change] { Q_EMIT applyRequested(change); });
  }
  static_cast<QVBoxLayout*>(cures_->layout())->addLayout(line);
}

}  // namespace latchwright::desk

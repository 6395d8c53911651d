// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/weakest_line.h"

#include <QBoxLayout>
#include <algorithm>

#include "desk/row_words.h"
#include "desk/wrapped_text.h"
#include "model/place.h"
#include "report/check_words.h"

namespace latchwright::desk {

namespace {

constexpr int text_lines = 2;  // of the weakest row, and of each cure

}  // namespace

WeakestLine::WeakestLine(QWidget* parent)
    : QWidget(parent),
      weakest_(new WrappedText(text_lines, this)),
      mark_(new QLabel(tr("computing…"), this)),
      choose_(new QPushButton(tr("Choose parts"), this)),
      cure_label_(new QLabel(tr("Cure:"), this)),
      more_(new QPushButton(tr("more…"), this)),
      hint_(new WrappedText(text_lines, this)) {
  setAccessibleName(tr("weakest link"));
  setAccessibleDescription(tr("What is weakest over all corners, and single changes that cure it."));
  setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Preferred);
  mark_->setForegroundRole(QPalette::PlaceholderText);
  mark_->setToolTip(
      tr("A newer verdict over all corners is being computed; what stands here is the last one."));
  choose_->setAccessibleDescription(tr("Lets the program choose the parts that are still open."));
  choose_->setToolTip(choose_->accessibleDescription());
  hint_->setFaint(true);

  auto* first = new QHBoxLayout;
  first->addWidget(weakest_);
  first->addWidget(mark_);
  first->addWidget(choose_);
  first->addStretch();
  auto* second = new QHBoxLayout;
  second->addWidget(cure_label_);
  for (std::size_t k = 0; k < most_cures; ++k) {
    CureRow& cure = cures_[k];
    cure.box = new QWidget(this);
    cure.text = new WrappedText(text_lines, cure.box);
    cure.text->setSteady(true);
    cure.apply = new QPushButton(tr("Apply"), cure.box);
    auto* layout = new QHBoxLayout(cure.box);
    layout->setContentsMargins(0, 0, 2 * fontMetrics().averageCharWidth(), 0);
    layout->addWidget(cure.text);
    layout->addWidget(cure.apply);
    cure.box->setSizePolicy(QSizePolicy::Maximum, QSizePolicy::Preferred);
    second->addWidget(cure.box);
    connect(cure.apply, &QPushButton::clicked, this, [this, k] { Q_EMIT applyRequested(changes_[k]); });
  }
  second->addWidget(more_);
  second->addWidget(hint_);
  second->addStretch();
  auto* layout = new QVBoxLayout(this);
  layout->setContentsMargins(0, 0, 0, 0);
  layout->setSpacing(std::max(3, fontMetrics().height() / 4));
  layout->addLayout(first);
  layout->addLayout(second);

  const auto open_link = [this] {
    if (link_) Q_EMIT linkRequested(*link_);
  };
  connect(weakest_, &QAbstractButton::clicked, this, open_link);
  connect(more_, &QAbstractButton::clicked, this, open_link);
  connect(choose_, &QAbstractButton::clicked, this, &WeakestLine::chooseRequested);
  setFocusProxy(weakest_);
  show_all();
}

void WeakestLine::setVerdict(const VerdictState& verdict) {
  verdict_ = verdict;
  show_all();
}

void WeakestLine::setUnits(units::UnitSystem units) {
  units_ = units;
  show_all();
}

QString WeakestLine::text() const { return weakest_->accessibleName(); }

QString WeakestLine::hint() const { return hint_->isHidden() ? QString() : hint_->accessibleName(); }

QSize WeakestLine::minimumSizeHint() const {
  // Texts give way before the window does.
  return {60 * fontMetrics().averageCharWidth(), QWidget::minimumSizeHint().height()};
}

void WeakestLine::sayHint(const QString& hint) {
  hint_->say(hint);
  hint_->setVisible(!hint.isEmpty());
}

void WeakestLine::show_all() {
  link_.reset();
  const bool open = verdict_.study && !verdict_.study->complete();
  const verdict::CheckRow* row = nullptr;
  if (!open && verdict_.study && verdict_.examined && !verdict_.examined->worst.empty()) {
    row = &verdict_.examined->worst[verdict_.examined->weakest];
  }
  choose_->setVisible(open);
  mark_->setVisible(row != nullptr && !verdict_.current);
  if (row != nullptr) {
    showVerdict(*row);
    showCures(*row);
    return;
  }
  for (CureRow& cure : cures_) cure.box->hide();
  cure_label_->hide();
  more_->hide();
  sayHint({});
  weakest_->setPressable(false);
  if (open) {
    weakest_->setStanding(Standing::not_chosen, false);
    weakest_->say(notChosenWords());
  } else {
    weakest_->setStanding(std::nullopt, false);
    weakest_->say(verdict_.study ? tr("Checking the installation at every corner…")
                                 : tr("No job yet. Open one or begin one: its weakest link stands here."));
  }
}

void WeakestLine::showVerdict(const verdict::CheckRow& row) {
  const model::Study& study = *verdict_.study;
  link_ = report::link_of(study, row);
  const Standing standing = standing_of(row.verdict);
  const QString subject = subject_words(study, row, units_);
  const QString figures = have_and_need_words(row, units_);
  const QString margin = QString::fromStdString(report::margin_text(row.margin));
  QString text;
  if (row.verdict == verdict::Verdict::fails) {
    const auto failing =
        std::count_if(verdict_.examined->worst.begin(), verdict_.examined->worst.end(),
                      [](const verdict::CheckRow& each) { return each.verdict == verdict::Verdict::fails; });
    const QString others = failing == 1   ? QString()
                           : failing == 2 ? tr("One more fails.")
                                          : tr("%1 more fail.").arg(failing - 1);
    text = tr("%1 Weakest: %2: %3: %4. %5")
               .arg(sign_of(standing), subject, figures, word_of(standing), others)
               .trimmed();
  } else if (row.margin) {
    text = tr("%1 Nothing fails. Weakest: %2: %3, margin %4: %5.")
               .arg(sign_of(standing), subject, figures, margin, word_of(standing));
  } else {
    text = tr("%1 Nothing fails. Weakest: %2: %3: %4.")
               .arg(sign_of(standing), subject, figures, word_of(standing));
  }
  weakest_->setStanding(standing, !verdict_.current);
  weakest_->say(text, row_words(study, row, units_));
  weakest_->setPressable(true);
}

void WeakestLine::showCures(const verdict::CheckRow& row) {
  std::vector<verdict::Cure> cures = row.cures;
  const bool fails = row.verdict == verdict::Verdict::fails;
  // A tight row may have one too, without what else it moves.
  if (cures.empty() && row.change && row.verdict != verdict::Verdict::holds)
    cures.push_back({*row.change, {}, {}});
  cure_label_->setVisible(!cures.empty());
  cure_label_->setText(fails ? tr("Cure:") : tr("Would help:"));
  for (std::size_t k = 0; k < most_cures; ++k) {
    cures_[k].box->setVisible(k < cures.size());
    if (k < cures.size()) {
      changes_[k] = cures[k].change;
      showCure(cures_[k], cures[k], row);
    }
  }
  more_->setVisible(cures.size() > most_cures);
  more_->setAccessibleName(tr("more cures"));
  more_->setToolTip(tr("All %1 cures, at the numbers of this link").arg(cures.size()));
  if (!cures.empty() || !fails) {
    sayHint({});
  } else if (!verdict_.cures_known) {
    sayHint(tr("looking for cures…"));
  } else {
    sayHint(tr(
        "No single change of pulse, rest, wire, length, fuse, relay or actuator within the catalogue cures "
        "this."));
  }
}

void WeakestLine::showCure(CureRow& shown, const verdict::Cure& cure, const verdict::CheckRow& row) {
  QString text = QString::fromStdString(cure.change.text);
  // A change at a door that the row does not name says which.
  const auto& doors = verdict_.study->job.doors;
  static const QString door_prefix = QStringLiteral("/doors/");
  const QString pointer = QString::fromStdString(cure.change.pointer);
  if (pointer.startsWith(door_prefix)) {
    const std::size_t door = pointer.section(u'/', 2, 2).toULongLong();
    if (door < doors.size() && row.door != door) {
      const QString name = QString::fromStdString(doors[door].name);
      if (!text.contains(name)) text = tr("%1: %2").arg(name, text);
    }
  }
  QString full = text;
  if (!cure.breaks.empty()) {
    QStringList broken;
    for (const verdict::CheckId id : cure.breaks) broken << QString::fromStdString(report::title_of(id));
    full = broken.size() == 1
               ? tr("%1\nbut then “%2” fails").arg(text, broken.front())
               : tr("%1\nbut then %2 other checks fail: %3")
                     .arg(text, QString::number(broken.size()), broken.join(QStringLiteral("; ")));
  }
  shown.text->say(full);
  // A change in words alone leaves nothing to put into the job.
  const bool has_setting = !std::holds_alternative<std::monostate>(cure.change.passes_at);
  shown.apply->setVisible(has_setting);
  shown.apply->setAccessibleName(tr("Apply: %1").arg(shown.text->accessibleName()));
  shown.apply->setEnabled(verdict_.current);
  shown.apply->setToolTip(verdict_.current
                              ? tip_text(tr("Puts this into the job; undo takes it back.\n%1").arg(full))
                              : tr("Wait: a newer verdict is being computed."));
}

QString WeakestLine::notChosenWords() const {
  const model::Study& study = *verdict_.study;
  QStringList what;
  struct Kind {
    model::PlaceKind kind;
    QString one, many;
  };
  const Kind kinds[] = {{model::PlaceKind::actuator, tr("actuator of %1"), tr("actuators of %1 doors")},
                        {model::PlaceKind::door_wire, tr("wire of %1"), tr("wires of %1 doors")},
                        {model::PlaceKind::door_fuse, tr("fuse of %1"), tr("fuses of %1 doors")}};
  const auto open = model::open_places(study);
  for (const model::Place& place : open) {
    if (place.kind == model::PlaceKind::feed_wire) what << tr("feed wire");
    if (place.kind == model::PlaceKind::main_fuse) what << tr("main fuse");
    if (place.kind == model::PlaceKind::relay) what << tr("relay");
  }
  for (const Kind& kind : kinds) {
    std::vector<std::size_t> at;
    for (const model::Place& place : open) {
      if (place.kind == kind.kind) at.push_back(place.door);
    }
    if (at.size() == 1) what << kind.one.arg(QString::fromStdString(study.job.doors[at.front()].name));
    if (at.size() > 1) what << kind.many.arg(at.size());
  }
  return tr("%1 Not chosen yet: %2.").arg(sign_of(Standing::not_chosen), what.join(QStringLiteral(", ")));
}

}  // namespace latchwright::desk

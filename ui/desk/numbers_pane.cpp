// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/numbers_pane.h"

#include <QFrame>
#include <QLineEdit>
#include <QScrollArea>
#include <QScrollBar>
#include <QToolButton>
#include <QVBoxLayout>

#include "desk/link_form.h"
#include "desk/link_rows.h"
#include "desk/part_view.h"
#include "desk/record_form.h"
#include "desk/tab_place.h"
#include "model/tree_edit.h"

namespace latchwright::desk {

using report::LinkKind;

namespace {

/// A part that fills a link, and which of its figures belong there.
struct LinkPart {
  model::PartPtr part;
  std::vector<std::string> prefixes;
};

std::vector<LinkPart> parts_of_link(const model::Study& study, const report::Link& link) {
  const auto curve_of = [&](const model::PartPtr& actuator) -> model::PartPtr {
    if (!actuator) return nullptr;
    const auto* id = std::get_if<std::string>(&std::get<model::Actuator>(actuator->body).ptc.curve);
    return id ? study.catalogue->find(*id) : nullptr;
  };
  switch (link.kind) {
    case LinkKind::battery:
      return {};
    case LinkKind::main_fuse:
      return {{study.feed.fuse, {}}, {study.feed.fuse_family, {}}};
    case LinkKind::feed:
      return {{study.feed.wire, {}}};
    case LinkKind::relay:
      return {{study.feed.relay, {}}};
    default:
      break;
  }
  const model::DoorParts& door = study.doors[link.door];
  switch (link.kind) {
    case LinkKind::door_run:
      return {{door.wire, {}}, {door.fuse, {}}};
    case LinkKind::thermistor:
      return {{door.actuator, {"/ptc"}}, {curve_of(door.actuator), {}}};
    case LinkKind::motor:
      return {{door.actuator, {"/motor", "/thermal"}}};
    default:
      return {{door.actuator, {"/stroke_mm", "/wires", "/drive"}}};
  }
}

}  // namespace

NumbersPane::NumbersPane(Document& document, QWidget* parent)
    : QWidget(parent),
      document_(document),
      area_(new QScrollArea(this)),
      rows_(new LinkRows),
      job_button_(new QToolButton),
      help_(new QLabel(this)) {
  auto* outer = new QVBoxLayout(this);
  outer->setContentsMargins(0, 0, 0, 0);
  outer->setSpacing(0);
  area_->setWidgetResizable(true);
  area_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
  area_->setFrameShape(QFrame::NoFrame);
  area_->setFocusPolicy(Qt::NoFocus);
  outer->addWidget(area_, 1);
  // What the field with the focus means: always in the same place, so that nothing moves under the hand.
  help_->setFrameShape(QFrame::StyledPanel);
  help_->setWordWrap(true);
  help_->setTextFormat(Qt::PlainText);
  help_->setAlignment(Qt::AlignLeft | Qt::AlignTop);
  help_->setMargin(4);
  help_->setMinimumHeight(3 * fontMetrics().lineSpacing() + 8);
  help_->setText(noHelp());
  help_->setObjectName(QStringLiteral("help"));
  outer->addWidget(help_);

  auto* content = new QWidget;
  column_ = new QVBoxLayout(content);
  column_->setContentsMargins(6, 6, 6, 6);
  column_->addWidget(rows_);
  form_place_ = new QVBoxLayout;
  column_->addLayout(form_place_);
  parts_box_ = new QWidget;
  parts_ = new QVBoxLayout(parts_box_);
  parts_->setContentsMargins(0, 0, 0, 0);
  column_->addWidget(parts_box_);
  job_button_->setText(tr("The &job: title, notes, air, use, what the checks ask for"));
  job_button_->setObjectName(QStringLiteral("job_section"));
  job_button_->setCheckable(true);
  job_button_->setToolButtonStyle(Qt::ToolButtonTextBesideIcon);
  job_button_->setArrowType(Qt::RightArrow);
  job_button_->setAutoRaise(true);
  job_button_->setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
  column_->addWidget(job_button_);
  job_place_ = new QVBoxLayout;
  column_->addLayout(job_place_);
  column_->addStretch(1);
  area_->setWidget(content);

  connect(rows_, &LinkRows::applyRequested, this, &NumbersPane::applyRequested);
  connect(rows_, &LinkRows::lookRequested, this, &NumbersPane::lookRequested);
  connect(job_button_, &QToolButton::toggled, this, &NumbersPane::showJobSection);
  connect(&document_, &Document::studyChanged, this, &NumbersPane::followDocument);
  followDocument();
}

QString NumbersPane::noHelp() const {
  return tr("Of the field that has the focus, its meaning, range and default stand here.");
}

bool NumbersPane::linkExists() const {
  if (!document_.study()) return false;
  return link_.kind < LinkKind::door_run || link_.door < document_.study()->doors.size();
}

void NumbersPane::setLink(const report::Link& link) {
  if (form_ != nullptr && link == link_) return;
  // What is typed and not yet taken belongs to the link that is left.
  if (form_ != nullptr) form_->commitPending();
  link_ = link;
  rebuild();
  area_->verticalScrollBar()->setValue(0);
}

void NumbersPane::setVerdict(const VerdictState& verdict) {
  verdict_ = verdict;
  showRows();
}

void NumbersPane::setUnits(units::UnitSystem units) {
  if (units == units_) return;
  if (form_ != nullptr) form_->commitPending();
  if (job_form_ != nullptr) job_form_->commitPending();
  units_ = units;
  if (form_ != nullptr) form_->setUnits(units);
  if (job_form_ != nullptr) job_form_->setUnits(units);
  help_->setText(noHelp());
  showRows();
  showParts();
}

void NumbersPane::showRows() {
  VerdictState shown = verdict_;
  if (!shown.study) shown.study = document_.study();
  rows_->showLink(shown, link_, units_);
}

void NumbersPane::rebuild() {
  if (form_ != nullptr) {
    for (QLineEdit* line : form_->findChildren<QLineEdit*>()) line->blockSignals(true);
    form_->hide();
    form_->disconnect(this);
    document_.disconnect(form_);
    // It may be at work right now.
    form_->deleteLater();
    for (QObject* gone : form_->findChildren<QObject*>()) gone->setObjectName(QString());
    form_ = nullptr;
  }
  if (linkExists()) {
    form_ = new LinkForm(document_, link_, units_, area_->widget());
    form_place_->addWidget(form_);
    adopt(form_);
    put_in_tab_order(last_tab_place(rows_), form_);
  }
  help_->setText(noHelp());
  showRows();
  showParts();
}

void NumbersPane::adopt(LinkForm* form) {
  connect(form, &LinkForm::helpRequested, help_, &QLabel::setText);
  connect(form, &LinkForm::browseRequested, this, &NumbersPane::browseRequested);
  form->show();
}

void NumbersPane::followDocument() {
  job_button_->setEnabled(document_.study() != nullptr);
  if (!document_.study()) {
    if (job_form_ != nullptr) job_form_->hide();
    if (form_ != nullptr) form_->hide();
    return;
  }
  // A door that is gone: the last one stands in until the window chooses another link.
  if (!linkExists()) {
    link_.door = document_.study()->doors.size() - 1;
    rebuild();
  } else if (form_ == nullptr) {
    rebuild();
  } else {
    showParts();
  }
}

void NumbersPane::showParts() {
  std::vector<LinkPart> parts;
  if (linkExists()) parts = parts_of_link(*document_.study(), link_);
  std::erase_if(parts, [](const LinkPart& each) { return each.part == nullptr; });
  while (part_views_.size() < parts.size()) {
    part_views_.push_back(new PartView(parts_box_));
    parts_->addWidget(part_views_.back());
  }
  for (std::size_t k = 0; k < part_views_.size(); ++k) {
    if (k < parts.size()) {
      part_views_[k]->setPart(parts[k].part, parts[k].prefixes, units_);
    } else {
      part_views_[k]->setPart(nullptr, {}, units_);
    }
  }
  parts_box_->setVisible(!parts.empty());
}

void NumbersPane::showJobSection(bool open) {
  job_button_->setArrowType(open ? Qt::DownArrow : Qt::RightArrow);
  if (open && job_form_ == nullptr) {
    job_form_ = new LinkForm(document_, units_, area_->widget());
    job_place_->addWidget(job_form_);
    adopt(job_form_);
    put_in_tab_order(job_button_, job_form_);
  }
  if (job_form_ == nullptr) return;
  if (!open) job_form_->commitPending();
  job_form_->setVisible(open);
}

}  // namespace latchwright::desk

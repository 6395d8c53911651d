// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/link_form.h"

#include <QCoreApplication>
#include <QHBoxLayout>
#include <QPushButton>
#include <QVBoxLayout>
#include <algorithm>

#include "desk/field_words.h"
#include "desk/record_form.h"
#include "model/job_fields.h"
#include "model/tree_edit.h"

namespace latchwright::desk {

using model::Raw;
using report::LinkKind;

namespace {

QString tr(const char* text) { return QCoreApplication::translate("latchwright::desk::LinkForm", text); }

std::size_t door_count(const Raw& tree) {
  const Raw* doors = tree.find("doors");
  return doors && doors->list() ? doors->list()->size() : 0;
}

QString door_name(const Raw& door) {
  const Raw* name = door.find("name");
  return name && name->text() ? QString::fromStdString(*name->text()) : QString();
}

/// A name that no door has yet: "tailgate 2", cut where the name would get too long.
std::string free_name(const QString& name, const Raw::List& doors) {
  constexpr int longest = 56;
  for (int k = 2;; ++k) {
    const QString wanted = QStringLiteral("%1 %2").arg(name.left(longest)).arg(k);
    const bool taken =
        std::any_of(doors.begin(), doors.end(), [&](const Raw& door) { return door_name(door) == wanted; });
    if (!taken) return wanted.toStdString();
  }
}

std::vector<FormPiece> door_pieces(LinkKind kind, const std::string& door) {
  const auto& record = model::door_table().info();
  std::vector<FormPiece> pieces;
  switch (kind) {
    case LinkKind::thermistor:
      pieces.push_back({tr("actuator with its thermistor"), &record, door, {"actuator"}});
      pieces.push_back({tr("how it is used"), &model::use_table().info(), "/use", {}});
      pieces.push_back({{}, &model::pulse_table().info(), "/pulse", {}});
      break;
    case LinkKind::motor:
      pieces.push_back({tr("actuator with its motor"), &record, door, {"actuator"}});
      break;
    case LinkKind::rod:
      pieces.push_back(
          {tr("the lock and its rod"), &record, door, {"stroke_mm", "rod_force", "rod_force_unlock"}});
      pieces.push_back({tr("what the checks ask for"),
                        &model::limits_table().info(),
                        "/limits",
                        {"force_factor", "force_factor_low", "stroke_slack_mm"}});
      break;
    default:
      pieces.push_back({tr("door run"),
                        &record,
                        door,
                        {"branch_length_m", "wire", "fuse", "joints_mohm", "bundle_factor"}});
  }
  return pieces;
}

}  // namespace

std::vector<FormPiece> pieces_of(const report::Link& link) {
  const auto& feed = model::feed_table().info();
  const auto& limits = model::limits_table().info();
  const QString asked = tr("what the checks ask for");
  switch (link.kind) {
    case LinkKind::battery:
      return {{tr("battery and charging"), &model::supply_table().info(), "/supply", {}},
              {tr("air in the doors"), &model::climate_table().info(), "/climate", {}}};
    case LinkKind::main_fuse:
      return {{tr("main fuse"), &feed, "/feed", {"fuse", "hot_C", "other_load_A"}},
              {asked, &limits, "/limits", {"clear_s", "fuse_loading"}}};
    case LinkKind::feed:
      return {{tr("feed"), &feed, "/feed", {"length_m", "wire", "ground_mohm", "bundle_factor", "hot_C"}},
              {asked, &limits, "/limits", {"volt_drop_percent"}}};
    case LinkKind::relay:
      return {{tr("relay or controller output"), &feed, "/feed", {"relay"}},
              {tr("pulse and use"), &model::pulse_table().info(), "/pulse", {}},
              {{}, &model::use_table().info(), "/use", {}}};
    default:
      return door_pieces(link.kind, model::pointer_to("/doors", link.door));
  }
}

std::vector<FormPiece> pieces_of_job() {
  return {
      {tr("title and notes"), &model::job_table().info(), "", {"title", "notes"}},
      {tr("battery and charging"), &model::supply_table().info(), "/supply", {}},
      {tr("air in the doors"), &model::climate_table().info(), "/climate", {}},
      {tr("pulse and use"), &model::pulse_table().info(), "/pulse", {}},
      {{}, &model::use_table().info(), "/use", {}},
      {tr("what the checks ask for"), &model::limits_table().info(), "/limits", {}},
      {tr("how far the installation may differ from the job"), &model::spread_table().info(), "/spread", {}}};
}

LinkForm::LinkForm(Document& document, const report::Link& link, units::UnitSystem units, QWidget* parent)
    : QWidget(parent), document_(document), column_(new QVBoxLayout(this)) {
  column_->setContentsMargins(0, 0, 0, 0);
  if (link.kind >= LinkKind::door_run) {
    addPieces({{LinkForm::tr("door"),
                &model::door_table().info(),
                model::pointer_to("/doors", link.door),
                {"name"}}},
              units);
    addDoorBar(link.door);
  }
  addPieces(pieces_of(link), units);
}

LinkForm::LinkForm(Document& document, units::UnitSystem units, QWidget* parent)
    : QWidget(parent), document_(document), column_(new QVBoxLayout(this)) {
  column_->setContentsMargins(0, 0, 0, 0);
  addPieces(pieces_of_job(), units);
}

void LinkForm::addPieces(const std::vector<FormPiece>& pieces, units::UnitSystem units) {
  for (const FormPiece& piece : pieces) {
    if (!piece.heading.isEmpty()) {
      auto* heading = make_heading(piece.heading, this);
      heading->setContentsMargins(0, heading->fontMetrics().height() / 2, 0, 0);
      column_->addWidget(heading);
    }
    auto* form = new RecordForm(document_, *piece.record, piece.prefix, piece.keys, units, this);
    column_->addWidget(form);
    forms_.push_back(form);
    connect(form, &RecordForm::helpRequested, this, &LinkForm::helpRequested);
    connect(form, &RecordForm::browseRequested, this, &LinkForm::browseRequested);
  }
}

void LinkForm::addDoorBar(std::size_t door) {
  auto* line = new QHBoxLayout;
  copy_ = new QPushButton(LinkForm::tr("add a door like this"), this);
  remove_ = new QPushButton(LinkForm::tr("remove this door"), this);
  copy_->setObjectName(QStringLiteral("copy_door"));
  remove_->setObjectName(QStringLiteral("remove_door"));
  line->addWidget(copy_);
  line->addWidget(remove_);
  line->addStretch(1);
  column_->addLayout(line);
  connect(copy_, &QPushButton::clicked, this, [this, door] { copyDoor(door); });
  connect(remove_, &QPushButton::clicked, this, [this, door] { removeDoor(door); });
  connect(&document_, &Document::studyChanged, this, &LinkForm::showDoors);
  showDoors();
}

void LinkForm::showDoors() {
  const std::size_t count = door_count(document_.tree());
  copy_->setEnabled(count > 0 && count < model::most_doors);
  copy_->setToolTip(copy_->isEnabled() ? LinkForm::tr("The copy comes last in the run")
                                       : LinkForm::tr("A job has at most %1 doors").arg(model::most_doors));
  remove_->setEnabled(count > 1);
  remove_->setToolTip(remove_->isEnabled() ? LinkForm::tr("Can be undone")
                                           : LinkForm::tr("A job has at least one door"));
}

void LinkForm::copyDoor(std::size_t door) {
  commitPending();
  const Raw* doors = document_.tree().find("doors");
  if (doors == nullptr || doors->list() == nullptr || door >= doors->list()->size()) return;
  Raw::List list = *doors->list();
  Raw copy = list[door];
  model::set_value(copy, "/name", Raw(free_name(door_name(copy), list)));
  list.push_back(std::move(copy));
  const QString what = LinkForm::tr("add door: %1").arg(door_name(list.back()));
  document_.edit({{"/doors", Raw(std::move(list))}}, what);
}

void LinkForm::removeDoor(std::size_t door) {
  const Raw* doors = document_.tree().find("doors");
  if (doors == nullptr || doors->list() == nullptr || door >= doors->list()->size()) return;
  Raw::List list = *doors->list();
  const QString what = LinkForm::tr("remove door: %1").arg(door_name(list[door]));
  list.erase(list.begin() + static_cast<std::ptrdiff_t>(door));
  document_.edit({{"/doors", Raw(std::move(list))}}, what);
}

void LinkForm::setUnits(units::UnitSystem units) {
  for (RecordForm* form : forms_) form->setUnits(units);
}

void LinkForm::commitPending() {
  for (RecordForm* form : forms_) form->commitPending();
}

}  // namespace latchwright::desk

// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/new_job_dialog.h"

#include <QCheckBox>
#include <QComboBox>
#include <QDialogButtonBox>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSpinBox>
#include <QVBoxLayout>
#include <algorithm>

#include "model/job_fields.h"
#include "model/starting_job.h"
#include "model/tree_edit.h"

namespace latchwright::desk {

namespace {

QString body_words(const std::string& body) {
  if (body == "hatch") return NewJobDialog::tr("Hatchback");
  if (body == "saloon") return NewJobDialog::tr("Saloon");
  if (body == "estate") return NewJobDialog::tr("Estate");
  if (body == "van") return NewJobDialog::tr("Van");
  return QString::fromStdString(body);
}

/// One line of plain text, as the job wants it: a pasted line end or tab is a blank.
QString plain_line(QString text) {
  for (QChar& c : text) {
    if (c.category() == QChar::Other_Control) c = ' ';
  }
  return text.simplified();
}

}  // namespace

NewJobDialog::NewJobDialog(QWidget* parent)
    : QDialog(parent),
      doors_(new QSpinBox),
      body_(new QComboBox),
      door_names_(new QLabel),
      title_(new QLineEdit),
      choose_(new QCheckBox(tr("&Choose parts at once"))) {
  setWindowTitle(tr("New job"));

  const model::FieldInfo& doors = model::job_table().find("doors")->info;
  doors_->setRange(static_cast<int>(doors.min_items), static_cast<int>(doors.max_items));
  doors_->setValue(std::min(4, doors_->maximum()));
  doors_->setAccessibleName(tr("Number of doors, tailgate included"));
  doors_->setToolTip(
      tr("%1 to %2 doors, the tailgate included").arg(doors_->minimum()).arg(doors_->maximum()));

  for (const std::string& body : model::known_bodies()) {
    body_->addItem(body_words(body), QString::fromStdString(body));
  }
  body_->setAccessibleName(tr("Body"));
  body_->setToolTip(tr("sets typical lengths of the wires; measure yours and change them in the job"));

  door_names_->setWordWrap(true);
  door_names_->setAccessibleName(tr("Doors of the new job"));

  const model::FieldInfo& title = model::job_table().find("title")->info;
  title_->setObjectName("title");
  title_->setMaxLength(static_cast<int>(title.high));
  title_->setAccessibleName(tr("Title"));
  title_->setToolTip(QString::fromStdString(title.meaning));

  choose_->setChecked(true);
  choose_->setToolTip(
      tr("the program chooses wires, fuses, relay and actuators; each can be changed afterwards"));

  auto* form = new QFormLayout;
  form->addRow(tr("&Doors"), doors_);
  form->addRow(tr("&Body"), body_);
  form->addRow(QString(), door_names_);
  form->addRow(tr("&Title"), title_);
  form->addRow(QString(), choose_);

  auto* note =
      new QLabel(tr("Run lengths, strokes and rod forces begin with typical values (common practice, no "
                    "source): measure yours and put them in."));
  note->setWordWrap(true);
  auto* buttons = new QDialogButtonBox(QDialogButtonBox::Ok | QDialogButtonBox::Cancel);
  buttons->button(QDialogButtonBox::Ok)->setText(tr("Begin"));
  connect(buttons, &QDialogButtonBox::accepted, this, &QDialog::accept);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);

  auto* layout = new QVBoxLayout(this);
  layout->addLayout(form);
  layout->addWidget(note);
  layout->addStretch();
  layout->addWidget(buttons);

  connect(doors_, &QSpinBox::valueChanged, this, &NewJobDialog::showDoors);
  connect(body_, &QComboBox::currentIndexChanged, this, &NewJobDialog::showDoors);
  showDoors();
  setMinimumWidth(fontMetrics().averageCharWidth() * 60);
  doors_->setFocus();
  doors_->selectAll();
}

void NewJobDialog::showDoors() {
  const model::Raw begun =
      model::starting_job(doors_->value(), body_->currentData().toString().toStdString());
  QStringList names;
  for (const model::Raw& door : *model::value_at(begun, "/doors")->list()) {
    names << QString::fromStdString(*door.find("name")->text());
  }
  door_names_->setText(names.join(tr(", ")));
  title_->setPlaceholderText(QString::fromStdString(*model::value_at(begun, "/title")->text()));
}

model::Raw NewJobDialog::job() const {
  model::Raw begun = model::starting_job(doors_->value(), body_->currentData().toString().toStdString());
  const QString title = plain_line(title_->text());
  if (!title.isEmpty()) model::set_value(begun, "/title", model::Raw(title.toStdString()));
  return begun;
}

bool NewJobDialog::chooseAtOnce() const { return choose_->isChecked(); }

}  // namespace latchwright::desk

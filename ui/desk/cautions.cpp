// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/cautions.h"

#include <QDialogButtonBox>
#include <QHBoxLayout>
#include <QLabel>
#include <QPushButton>
#include <QVBoxLayout>

#include "report/text_table.h"

namespace latchwright::desk {

QString cautions_html() {
  QString items;
  for (const auto& line : report::cautions()) {
    items += QStringLiteral("<li>%1</li>").arg(QString::fromStdString(line).toHtmlEscaped());
  }
  return QStringLiteral("<ul style=\"margin:0 0 0 -20px\">%1</ul>").arg(items);
}

CautionsBar::CautionsBar(QWidget* parent) : QFrame(parent) {
  setFrameShape(QFrame::StyledPanel);
  auto* text = new QLabel(tr("<b>Before you touch the car</b>%1").arg(cautions_html()), this);
  text->setWordWrap(true);
  text->setTextFormat(Qt::RichText);
  text->setTextInteractionFlags(Qt::TextSelectableByMouse);
  text->setAccessibleName(tr("Cautions"));
  auto* done = new QPushButton(tr("I have &read this"), this);
  connect(done, &QPushButton::clicked, this, &CautionsBar::read);
  auto* layout = new QHBoxLayout(this);
  layout->addWidget(text, 1);
  layout->addWidget(done, 0, Qt::AlignBottom);
}

CautionsDialog::CautionsDialog(QWidget* parent) : QDialog(parent) {
  setWindowTitle(tr("Before you touch the car"));
  auto* text = new QLabel(cautions_html(), this);
  text->setWordWrap(true);
  text->setTextFormat(Qt::RichText);
  text->setMinimumWidth(fontMetrics().averageCharWidth() * 70);
  auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close, this);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
  auto* layout = new QVBoxLayout(this);
  layout->addWidget(text);
  layout->addWidget(buttons);
}

}  // namespace latchwright::desk

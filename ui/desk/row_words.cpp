// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/row_words.h"

#include <QCoreApplication>

#include "base/text.h"
#include "desk/theme.h"
#include "report/check_words.h"
#include "report/text_table.h"

namespace latchwright::desk {

namespace {

struct RowWords {
  Q_DECLARE_TR_FUNCTIONS(RowWords)
};

QString figure_words(const verdict::CheckRow& row, bool is_need, units::UnitSystem units) {
  const auto& value = is_need ? row.need : row.have;
  if (!value || row.unit == "cycles" || units == units::UnitSystem::metric) {
    return QString::fromStdString(report::figure_text(row, is_need)).trimmed();
  }
  return units::value_text(*value, row.unit, units);
}

}  // namespace

QString part_words(const report::LinkState& state, units::UnitSystem units) {
  QString part = QString::fromStdString(base::printable(state.part));
  if (state.area_mm2) {
    part.replace(units::area_text(*state.area_mm2, units::UnitSystem::metric),
                 units::area_text(*state.area_mm2, units));
  }
  if (state.force_N) {
    part.replace(units::value_text(*state.force_N, "N", units::UnitSystem::metric),
                 units::value_text(*state.force_N, "N", units));
  }
  return part;
}

QString condition_words(const std::optional<verdict::At>& at, units::UnitSystem units) {
  if (!at) return RowWords::tr("(any)");
  if (units == units::UnitSystem::metric) {
    return QString::fromStdString(report::condition_text(at->voltage_V, at->ambient_C));
  }
  return RowWords::tr("(%1, %2)")
      .arg(units::value_text(at->voltage_V, "V", units), units::value_text(at->ambient_C, "°C", units));
}

QString have_and_need_words(const verdict::CheckRow& row, units::UnitSystem units) {
  if (row.unit == "cycles" && row.have && row.need) {
    return QString::fromStdString(report::have_and_need(row));
  }
  const QString have = row.have ? RowWords::tr("have %1").arg(figure_words(row, false, units))
                                : QString::fromStdString(report::absent_clause(row, false));
  const QString need = row.need ? RowWords::tr("need %1").arg(figure_words(row, true, units))
                                : QString::fromStdString(report::absent_clause(row, true));
  return RowWords::tr("%1, %2").arg(have, need);
}

QString subject_words(const model::Study& study, const verdict::CheckRow& row, units::UnitSystem units) {
  return RowWords::tr("%1, %2 %3")
      .arg(QString::fromStdString(report::title_of(row.id)),
           QString::fromStdString(report::where_of(study, row)), condition_words(row.at, units));
}

QString row_words(const model::Study& study, const verdict::CheckRow& row, units::UnitSystem units) {
  const QString subject = subject_words(study, row, units);
  const QString figures = have_and_need_words(row, units);
  const QString word = sign_and_word(standing_of(row.verdict));
  QString text =
      row.margin ? RowWords::tr("%1: %2, margin %3: %4")
                       .arg(subject, figures, QString::fromStdString(report::margin_text(row.margin)), word)
                 : RowWords::tr("%1: %2: %3").arg(subject, figures, word);
  if (!row.why.empty()) {
    text += QLatin1Char('\n');
    text += QString::fromStdString(row.why);
  }
  return text;
}

QString tip_text(const QString& text) {
  QString escaped = text.toHtmlEscaped();
  return QStringLiteral("<p>%1</p>").arg(escaped.replace(QLatin1Char('\n'), QStringLiteral("<br>")));
}

}  // namespace latchwright::desk

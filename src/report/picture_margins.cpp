// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/text.h"
#include "report/check_report.h"
#include "report/check_words.h"
#include "report/picture_tools.h"
#include "report/pictures.h"

// The margins of all checks at a glance.
namespace latchwright::report {

namespace {

// What lies beyond the ends of the axis stands on them, with its value beside it.
constexpr double lowest_margin = 0.1;
constexpr double highest_margin = 100;

bool same_mark(const verdict::CheckRow& a, const verdict::CheckRow& b) {
  return a.id == b.id && a.verdict == b.verdict;
}

}  // namespace

Picture margins(const model::Study& study, const verdict::Rows& worst) {
  Picture picture;
  picture.key = "margins";
  picture.title = "Margins: what it has over what it needs, worst condition of each";
  picture.across.title = "have over need";
  picture.across.logarithmic = true;
  picture.across.low = lowest_margin;
  picture.across.high = highest_margin;
  picture.up.title = "check";

  std::vector<verdict::CheckId> checks;
  for (const auto& row : worst) {
    if (std::count(checks.begin(), checks.end(), row.id) == 0) checks.push_back(row.id);
  }
  for (const auto id : checks) picture.up.words.push_back(title_of(id));

  constexpr std::array<std::size_t, 3> hues{0, 5, 1};
  constexpr std::array<Shape, 3> shapes{Shape::circle, Shape::triangle, Shape::cross};
  constexpr std::array<verdict::Verdict, 3> verdicts{verdict::Verdict::holds, verdict::Verdict::tight,
                                                     verdict::Verdict::fails};
  bool any_beyond = false;
  for (std::size_t v = 0; v < verdicts.size(); ++v) {
    PictureMarks marks;
    marks.name = std::string(verdict::word_of(verdicts[v]));
    marks.hue = hues[v];
    marks.shape = shapes[v];
    for (const auto& row : worst) {
      if (row.verdict != verdicts[v]) continue;
      const auto line = std::find(checks.begin(), checks.end(), row.id) - checks.begin();
      const double margin = row.margin.value_or(highest_margin);
      const double shown = std::clamp(margin, lowest_margin, highest_margin);
      const bool beyond = !row.margin || shown != margin;
      // A name at the worst of a check's marks of one verdict, else they would hide each other.
      const bool first = std::none_of(worst.begin(), worst.end(), [&](const verdict::CheckRow& other) {
        return &other != &row && same_mark(other, row) &&
               (verdict::worse(other, row) || (!verdict::worse(row, other) && &other < &row));
      });
      const std::string value = row.margin ? base::significant(*row.margin) : "nothing needed";
      std::string label;
      if (first && row.verdict != verdict::Verdict::holds) {
        label = where_of(study, row) + " " + value;
      } else if (first && beyond) {
        label = value;
      }
      any_beyond = any_beyond || beyond;
      add_mark(marks, shown, static_cast<double>(line), std::move(label));
    }
    if (!marks.x.empty()) picture.marks.push_back(std::move(marks));
  }
  PictureLimit one;
  one.name = "just enough";
  one.value = 1;
  one.upright = true;
  one.stroke = Stroke::solid;
  one.hue = 4;
  picture.limits.push_back(std::move(one));
  std::vector<std::string> remarks;
  if (any_beyond) {
    remarks.push_back(
        fmt::format("marks at {} and {} stand for all that lies beyond, and for what needs nothing",
                    base::exact_text(lowest_margin), base::exact_text(highest_margin)));
  }
  picture.note = picture_note(remarks, uses_invented_parts(study));
  return picture;
}

}  // namespace latchwright::report

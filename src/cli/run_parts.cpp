// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "base/text.h"
#include "cli/console.h"
#include "cli/verbs.h"
#include "io/files.h"
#include "io/json.h"
#include "report/parts_report.h"

namespace latchwright::cli {

int run_parts(const Options& options) {
  const auto catalogue = io::load_catalogue(options.parts_files);
  if (!catalogue.ok()) {
    for (const auto& issue : catalogue.issues()) complain(issue.line() + "\n");
    return exit_bad_input;
  }
  std::vector<const model::Catalogue::Entry*> chosen;
  std::vector<std::string> ids;
  for (const auto* entry : catalogue.value().entries()) ids.push_back(entry->part->id);
  bool good = true;
  for (const auto& id : options.part_ids) {
    if (const auto* entry = catalogue.value().find_entry(id)) {
      chosen.push_back(entry);
      continue;
    }
    const std::string near = base::nearest_word(id, ids);
    complain(fmt::format("latchwright parts: there is no part \"{}\"{}\n", base::printable(id),
                         near.empty() ? "" : "; did you mean \"" + near + "\"?"));
    good = false;
  }
  if (!good) return exit_bad_input;
  if (options.part_ids.empty()) chosen = catalogue.value().entries();
  if (!options.kind.empty()) {
    std::erase_if(chosen, [&](const auto* entry) { return kind_of(*entry->part) != options.kind; });
  }
  if (options.json) {
    print(io::write_json(report::parts_json(chosen)));
  } else if (options.quiet) {
    return exit_good;
  } else if (options.part_ids.empty()) {
    print(report::parts_list_text(chosen));
    if (!options.parts_files.empty()) print(fmt::format("\n{} parts, no faults.\n", chosen.size()));
  } else {
    for (const auto* entry : chosen) print(report::part_text(*entry));
  }
  return exit_good;
}

}  // namespace latchwright::cli

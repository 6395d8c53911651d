// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "base/text.h"
#include "cli/console.h"
#include "cli/verbs.h"
#include "io/files.h"
#include "io/json.h"
#include "report/parts_report.h"

namespace latchwright::cli {

namespace {

using Entries = std::vector<const model::Catalogue::Entry*>;

std::string with_article(const std::string& kind) {
  return (std::string("aeiou").find(kind.front()) == std::string::npos ? "a " : "an ") + kind;
}

/// Whether every part that was asked for by name is of the kind that was asked for; says so where one is not.
bool are_of_kind(const Entries& chosen, const std::string& wanted) {
  bool good = true;
  for (const auto* entry : chosen) {
    const std::string kind = kind_of(*entry->part);
    if (kind == wanted) continue;
    complain(fmt::format("latchwright parts: {} is {}, not {}\n", entry->part->id, with_article(kind),
                         with_article(wanted)));
    good = false;
  }
  return good;
}

/// "my.json: 3 parts, no fault", a line for each file of the user's, which are the layers from `first` on.
std::string checked_files_text(const model::Catalogue& catalogue, std::size_t first) {
  std::string out;
  for (std::size_t k = first; k < catalogue.layers().size(); ++k) {
    const auto& layer = catalogue.layers()[k];
    out += fmt::format("{}: {} {}, no fault\n", base::printable(layer.file, 200), layer.parts,
                       layer.parts == 1 ? "part" : "parts");
  }
  return out;
}

}  // namespace

int run_parts(const Options& options) {
  const auto catalogue = io::load_catalogue(options.parts_files);
  if (!catalogue.ok()) {
    complain_of(catalogue.issues());
    return exit_bad_input;
  }
  Entries chosen;
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
  const std::size_t first_own = catalogue.value().layers().size() - options.parts_files.size();
  if (!options.part_ids.empty()) {
    if (!options.kind.empty() && !are_of_kind(chosen, options.kind)) return exit_bad_input;
  } else {
    chosen = catalogue.value().entries();
    if (!options.parts_files.empty()) {
      std::erase_if(chosen, [first_own](const auto* entry) { return entry->layer < first_own; });
    }
  }
  if (!options.kind.empty()) {
    std::erase_if(chosen, [&](const auto* entry) { return kind_of(*entry->part) != options.kind; });
  }
  if (options.json) {
    print(io::write_json(report::parts_json(chosen)));
  } else if (options.quiet) {
    return exit_good;
  } else if (options.part_ids.empty()) {
    if (!options.parts_files.empty()) {
      print(checked_files_text(catalogue.value(), first_own) + (chosen.empty() ? "" : "\n"));
    }
    if (!chosen.empty() || options.parts_files.empty()) print(report::parts_list_text(chosen));
  } else {
    for (const auto* entry : chosen) print(report::part_text(*entry));
  }
  return exit_good;
}

}  // namespace latchwright::cli

// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/bench_part.h"

#include <fmt/format.h>

#include "base/failure.h"
#include "base/text.h"
#include "cli/console.h"
#include "io/files.h"

namespace latchwright::cli {

std::optional<BenchPart> bench_part(const Options& options) {
  base::Issues left_out;
  auto catalogue = options.skip_broken ? io::load_sound_catalogue(options.parts_files, left_out)
                                       : io::load_catalogue(options.parts_files);
  complain_of(left_out);
  if (!left_out.empty()) complain("the parts named above are left out; the others are used\n");
  if (!catalogue.ok()) {
    complain_of(catalogue.issues());
    return std::nullopt;
  }
  base::require(options.part_ids.size() == 1, "a verb of the bench without its part");
  const std::string& id = options.part_ids.front();
  const model::PartPtr part = catalogue.value().find(id);
  if (part && std::holds_alternative<model::Actuator>(part->body))
    return BenchPart{std::move(catalogue.value()), part};
  const std::string near = base::nearest_word(id, catalogue.value().ids_of("actuator"));
  const std::string meant = near.empty() ? "; \"latchwright parts --kind actuator\" lists them"
                                         : "; did you mean \"" + near + "\"?";
  if (part) {
    complain(fmt::format("latchwright {}: {} is of kind {}, not an actuator{}\n", options.verb, part->id,
                         kind_of(*part), near.empty() ? meant : std::string()));
  } else {
    complain(fmt::format("latchwright {}: there is no actuator \"{}\"{}\n", options.verb, base::printable(id),
                         meant));
  }
  return std::nullopt;
}

}  // namespace latchwright::cli

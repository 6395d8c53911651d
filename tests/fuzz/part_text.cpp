// SPDX-License-Identifier: GPL-3.0-or-later
// Any bytes as a part file: refused in lines that can be read, or parts that survive being written and read
// again; and what is left when broken parts are left out is sound.
#include "fuzz/catalogue.h"
#include "fuzz/json_mutator.h"
#include "fuzz/must.h"
#include "io/json.h"
#include "model/catalogue.h"
#include "model/part_fields.h"

using namespace latchwright;

namespace {

model::Raw as_file(const std::vector<model::Part>& parts) {
  model::Raw::List list;
  for (const auto& part : parts) list.push_back(model::write_part(part));
  return model::Raw(model::Raw::Object{{"latchwright_parts", model::Raw(model::parts_format_version)},
                                       {"parts", model::Raw(std::move(list))}});
}

void must_stay(const std::vector<model::Part>& parts) {
  const model::Raw file = as_file(parts);
  const auto again = model::check_parts_file(file, "written");
  fuzz::must(again.ok(),
             "accepted parts are accepted as written: " + (again.ok() ? "" : again.issues().front().line()));
  fuzz::must(io::write_json(as_file(again.value())) == io::write_json(file), "parts stay as they are");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto raw = io::parse_json({reinterpret_cast<const char*>(data), size}, "input");
  if (!raw.ok()) {
    fuzz::must_be_lines(raw.issues());
    return 0;
  }
  const auto parts = model::check_parts_file(raw.value(), "input");
  if (!parts.ok()) fuzz::must_be_lines(parts.issues());

  base::Issues left_out;
  const auto sound = model::check_sound_parts(raw.value(), "input", left_out);
  if (sound.ok()) {
    fuzz::must(parts.ok() == left_out.empty(), "a part is left out exactly where there is a fault");
    if (!left_out.empty()) fuzz::must_be_lines(left_out);
    must_stay(sound.value().parts);
  } else {
    fuzz::must_be_lines(sound.issues());
    fuzz::must(!parts.ok(), "a file that is good is good with broken parts left out");
  }
  if (!parts.ok()) return 0;
  fuzz::must(sound.ok() && sound.value().parts.size() == parts.value().size(),
             "nothing is left out of a good file");

  model::Catalogue catalogue = fuzz::built_in();
  catalogue.add_layer("input", parts.value(), "/parts");
  for (const auto* entry : catalogue.entries()) {
    model::ReadContext context{entry->file, {}};
    model::check_part_references(*entry->part, entry->pointer, catalogue, context);
    if (!context.issues.empty()) fuzz::must_be_lines(context.issues);
  }
  return 0;
}

extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size, std::size_t room,
                                               unsigned seed) {
  return fuzz::mutate_json(data, size, room, seed);
}

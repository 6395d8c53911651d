// SPDX-License-Identifier: GPL-3.0-or-later
// Any bytes as a job file: refused in lines that can be read, or a job that survives being written and read
// again.
#include "fuzz/catalogue.h"
#include "fuzz/json_mutator.h"
#include "fuzz/must.h"
#include "io/json.h"
#include "model/study.h"

using namespace latchwright;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto raw = io::parse_json({reinterpret_cast<const char*>(data), size}, "input");
  if (!raw.ok()) {
    fuzz::must_be_lines(raw.issues());
    return 0;
  }
  const std::string text = io::write_json(raw.value());
  const auto again = io::parse_json(text, "written");
  fuzz::must(again.ok() && io::write_json(again.value()) == text, "what is written is read as the same");

  const auto study = model::check_job(raw.value(), "input", fuzz::built_in());
  if (!study.ok()) {
    fuzz::must_be_lines(study.issues());
    return 0;
  }
  const auto job = model::write_job(study.value().job);
  const auto second = model::check_job(job, "written", fuzz::built_in());
  fuzz::must(second.ok(), "an accepted job is accepted as written: " +
                              (second.ok() ? "" : second.issues().front().line()));
  fuzz::must(io::write_json(model::write_job(second.value().job)) == io::write_json(job),
             "a job stays as it is");
  fuzz::must(second.value().complete() == study.value().complete(), "what is open stays open");
  return 0;
}

extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size, std::size_t room,
                                               unsigned seed) {
  return fuzz::mutate_json(data, size, room, seed);
}

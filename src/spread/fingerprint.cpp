// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/fingerprint.h"

#include <fmt/format.h>

#include <bit>

#include "base/seeded.h"
#include "model/part_fields.h"

namespace latchwright::spread {

namespace {

using model::Raw;

class Digest {
 public:
  void add(std::uint64_t bits) {
    one_ = base::mixed(one_, bits);
    other_ = base::mixed(bits, other_);
  }
  void add(double value) { add(std::bit_cast<std::uint64_t>(value)); }
  void add(const std::string& text) {
    add(static_cast<std::uint64_t>(text.size()));
    for (const char c : text) add(static_cast<std::uint64_t>(static_cast<unsigned char>(c)));
  }
  void add(const Raw& tree) {
    if (const auto* value = tree.number()) {
      add(std::uint64_t{1});
      add(*value);
    } else if (const auto* text = tree.text()) {
      add(std::uint64_t{2});
      add(*text);
    } else if (const auto* list = tree.list()) {
      add(std::uint64_t{3});
      add(static_cast<std::uint64_t>(list->size()));
      for (const Raw& item : *list) add(item);
    } else if (const auto* object = tree.object()) {
      add(std::uint64_t{4});
      add(static_cast<std::uint64_t>(object->size()));
      for (const auto& [key, item] : *object) {
        add(key);
        add(item);
      }
    } else {
      add(std::uint64_t{tree.is_null() ? 5u : *tree.boolean() ? 6u : 7u});
    }
  }
  std::string text() const { return fmt::format("{:016x}{:016x}", one_, other_); }

 private:
  std::uint64_t one_ = 1, other_ = 2;
};

/// Without what only people read.
void add_part(Digest& digest, const model::PartPtr& part) {
  if (!part) return digest.add(std::uint64_t{0});
  model::Part bare;
  bare.id = part->id;
  bare.body = part->body;
  digest.add(model::write_part(bare));
}

}  // namespace

std::string fingerprint(const model::Study& study, const std::vector<Uncertain>& sources,
                        const SpreadPlan& plan) {
  Digest digest;
  model::Job job = study.job;
  job.title.clear();
  job.notes.clear();
  job.parts.clear();
  digest.add(model::write_job(job));
  for (const auto* part : {&study.feed.wire, &study.feed.fuse, &study.feed.relay}) add_part(digest, *part);
  for (const auto& door : study.doors) {
    for (const auto* part : {&door.actuator, &door.wire, &door.fuse}) add_part(digest, *part);
    for (const double T : door.curve.T_C) digest.add(T);
    for (const double ratio : door.curve.ratio) digest.add(ratio);
  }
  for (const auto& source : sources) {
    digest.add(source.key);
    digest.add(source.half_width);
    digest.add(static_cast<std::uint64_t>(source.columns.size()));
  }
  for (const double value : {plan.voltage_V, plan.ambient_C, plan.on_s, plan.gap_s}) digest.add(value);
  digest.add(static_cast<std::uint64_t>(plan.cycles));
  digest.add(static_cast<std::uint64_t>(plan.samples));
  digest.add(plan.seed);
  return digest.text();
}

}  // namespace latchwright::spread

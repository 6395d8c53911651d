// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "base/issue.h"
#include "model/field.h"
#include "model/parts.h"

namespace latchwright::model {

using PartPtr = std::shared_ptr<const Part>;

/// The parts of a file that are in order, and where each stands in its list.
struct SoundParts {
  std::vector<Part> parts;
  std::vector<std::size_t> places;
};

/// Parts by id. Later layers win over earlier ones on the same id: built-in parts, the user's files, a job's own.
class Catalogue {
 public:
  struct Entry {
    PartPtr part;
    std::string file;
    std::string pointer;
    std::size_t layer = 0;  ///< index into layers()
  };

  struct Layer {
    std::string file;
    std::size_t parts;  ///< taken from the file: not the broken ones, but also those replaced by a later layer
  };

  /// Adds checked parts of one file as a layer of its own; `list_pointer` leads to their list in the file.
  void add_layer(const std::string& file, const std::vector<Part>& parts, const std::string& list_pointer);

  /// The same for parts that stand at these places of the list.
  void add_layer(const std::string& file, const SoundParts& sound, const std::string& list_pointer);
  /// Takes a part away.
  void remove(const std::string& id) { entries_.erase(id); }

  /// The part, or null.
  PartPtr find(const std::string& id) const;
  const Entry* find_entry(const std::string& id) const;
  /// All that count, in order of id.
  std::vector<const Entry*> entries() const;
  /// In the order in which they were added.
  const std::vector<Layer>& layers() const { return layers_; }
  /// Ids of one kind, in order.
  std::vector<std::string> ids_of(std::string_view kind) const;
  /// Parts of one body type, in order of id.
  template <class Body>
  std::vector<PartPtr> parts_of() const {
    std::vector<PartPtr> found;
    for (const auto& [id, entry] : entries_) {
      if (std::holds_alternative<Body>(entry.part->body)) found.push_back(entry.part);
    }
    return found;
  }

 private:
  std::map<std::string, Entry> entries_;
  std::vector<Layer> layers_;
};

/// Raw part file to parts: rows, orderings, duplicate ids. References are looked at by check_part_references.
base::Checked<std::vector<Part>> check_parts_file(const Raw& raw, const std::string& file);

/// The same where broken parts are to be left out: their faults go to `left_out`; a fault of the file as a whole still
/// stands in its way.
base::Checked<SoundParts> check_sound_parts(const Raw& raw, const std::string& file, base::Issues& left_out);

/// Everything about one part that a single row cannot say (orderings, list lengths, options given by halves).
void check_part(const Part& part, const std::string& pointer, ReadContext& context);

/// Whether the references of a part (ptc.curve, family) lead to parts of the right kind.
void check_part_references(const Part& part, const std::string& pointer, const Catalogue& catalogue,
                           ReadContext& context);

/// Adds a fault for every id that stands twice in `parts`.
void check_unique_ids(const std::vector<Part>& parts, const std::string& list_pointer, ReadContext& context);

/// A reference's target: the part if it is there and of the kind, else a fault with the nearest known id and null.
PartPtr look_up(const std::string& id, std::string_view kind, const std::string& pointer, const Catalogue& catalogue,
                ReadContext& context);

/// The format's version mark of a file's top object: faults when absent, mistyped or of another version. False for a
/// newer one: whatever else such a file has may be right.
bool check_version(const Raw& raw, const std::string& key, int version, ReadContext& context);

/// The ratio curve of a checked actuator, in place or from the catalogue.
const PtcCurve& curve_of(const Actuator& actuator, const Catalogue& catalogue);

}  // namespace latchwright::model

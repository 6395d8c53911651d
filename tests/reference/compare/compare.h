// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <string>
#include <vector>

#include "reference/compare/figures.h"
#include "reference/compare/random_study.h"

// The engine held against the reference at the accuracies of docs/model.md section 9.
namespace latchwright::tests {

/// A figure of a study, both ways.
struct Held {
  Figure engine, reference;
  double deviation = 0;  ///< over what is allowed
  std::string study;
  std::string failure;  ///< instead of figures: why one of the two gave none

  std::string text() const;
};

struct Outcome {
  std::vector<Held> figures;
  /// Beyond what is allowed, and not between the references on either side of an edge.
  std::vector<Held> wrong;
  bool near_edge = false;  ///< some figure was beyond and between them
};

Figures engine_figures(const StudyCase& study);
/// The engine's figures against the reference; a study that one of them cannot solve is wrong too.
Outcome compare(const StudyCase& study);
/// Figures of a study, the engine's or others in their place, against the reference.
Outcome compare(const StudyCase& study, const Figures& engine);

/// What a set of studies came to.
class Tally {
 public:
  void add(const StudyCase& study, const Outcome& outcome);
  std::size_t studies() const { return studies_; }
  std::size_t figures() const { return figures_; }
  const std::vector<std::string>& near_edges() const { return near_edges_; }
  const std::vector<Held>& wrong() const { return wrong_; }
  /// The largest deviation of each kind of figure, short of studies near an edge.
  const std::map<std::string, Held>& largest() const { return largest_; }
  const std::map<std::string, std::size_t>& features() const { return features_; }
  /// No figure wrong, and at most 5 % of the studies near an edge.
  bool good() const { return wrong_.empty() && 20 * near_edges_.size() <= studies_; }
  std::string json() const;

 private:
  std::size_t studies_ = 0, figures_ = 0;
  std::vector<std::string> near_edges_;
  std::vector<Held> wrong_;
  std::map<std::string, Held> largest_;
  std::map<std::string, std::size_t> features_;
};

}  // namespace latchwright::tests

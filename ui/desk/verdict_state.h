// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>

#include "model/study.h"
#include "verdict/examine.h"

namespace latchwright::desk {

/// The last verdict over all corners and the study that it is about. Kept while a new one is computed.
struct VerdictState {
  std::shared_ptr<const model::Study> study;  ///< of the verdict, or of the job where there is none
  std::shared_ptr<const verdict::Examination> examined;  ///< null: none yet, or the job is unfinished
  bool current = false;      ///< it is about the job as it stands; else a newer one is on its way
  bool cures_known = false;  ///< cures have been looked for
};

}  // namespace latchwright::desk

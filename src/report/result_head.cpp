// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/result_head.h"

#include <cmath>

namespace latchwright::report {

using model::Raw;

std::string program_version() { return LATCHWRIGHT_VERSION; }

Raw figure(double value) { return std::isfinite(value) ? Raw(value) : Raw(); }
Raw figure(const std::optional<double>& value) { return value ? figure(*value) : Raw(); }

Raw at_raw(const std::optional<verdict::At>& at) {
  if (!at) return Raw();
  return Raw(Raw::Object{{"ambient_C", Raw(at->ambient_C)}, {"voltage_V", Raw(at->voltage_V)}});
}

Raw::Object result_head(const std::string& verb, const std::optional<verdict::At>& at, Raw::Object settings) {
  return {{"latchwright_result", Raw(result_format_version)},
          {"verb", Raw(verb)},
          {"at", at_raw(at)},
          {"program", Raw(Raw::Object{{"version", Raw(program_version())}})},
          {"settings", Raw(std::move(settings))}};
}

}  // namespace latchwright::report

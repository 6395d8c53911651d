// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/text.h"

#include <catch2/catch.hpp>
#include <clocale>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <string>

#include "base/failure.h"

using namespace latchwright;

namespace {

/// A language with a decimal comma, where the machine has one; the former one again at the end.
class CommaLanguage {
 public:
  CommaLanguage() : former_(std::setlocale(LC_NUMERIC, nullptr)) {
    for (const char* name : {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "tr_TR.UTF-8", "de_DE"}) {
      if (std::setlocale(LC_NUMERIC, name) != nullptr) return;
    }
  }
  ~CommaLanguage() { std::setlocale(LC_NUMERIC, former_.c_str()); }
  bool there() const { return std::string(std::localeconv()->decimal_point) == ","; }

 private:
  std::string former_;
};

}  // namespace

TEST_CASE("text: numbers of the program's own are read back as written", "[text]") {
  // Against strtod of the C library in the C locale.
  for (const char* text :
       {"0", "-0", "14.4", "1e-3", "-2.5e+10", "0.1", "1.7976931348623157e308", "5e-324", "600"}) {
    INFO(text);
    const double read = base::number_in(text), wanted = std::strtod(text, nullptr);
    CHECK(read == wanted);
    CHECK(std::signbit(read) == std::signbit(wanted));
  }
  CHECK(base::number_in("+2.6") == 2.6);
  // The largest double to fifteen digits.
  CHECK(base::number_in("1.79769313486232e+308") == std::numeric_limits<double>::infinity());
  CHECK(base::number_in("-1e400") == -std::numeric_limits<double>::infinity());
  CHECK(base::number_in("1e-400") == 0);
  for (const char* text : {"", "x", "1,5", "1.5 ", "0x10", "++1"}) {
    INFO(text);
    CHECK_THROWS_AS(base::number_in(text), base::InternalError);
  }
}

TEST_CASE("text: numbers keep their points in a language of commas", "[text]") {
  const CommaLanguage language;
  if (!language.there()) {
    WARN("no language with a decimal comma on this machine; tests/end_to_end/surroundings.py makes one");
  }
  CHECK(base::number_in("14.4") == 14.4);
  CHECK(base::significant(14.44) == "14.4");
  CHECK(base::exact_text(0.25) == "0.25");
}

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

TEST_CASE("text: what misleads a reader is found and shown as what it is", "[text]") {
  // Names and properties as Unicode has them (PropList.txt, Bidi_Control). tests/end_to_end/hostile.py holds
  // the whole list against Python's copy of the Unicode data.
  const auto found = base::find_misleading("tür\u202e5");
  REQUIRE(found);
  CHECK(found->character == 4);
  CHECK(found->code_point == 0x202E);
  CHECK(found->what == "changes the direction of the text");
  CHECK(base::find_misleading("a\tb")->what == "is a control character");
  CHECK_FALSE(base::find_misleading("a\tb\r\nc", base::Lines::many));
  CHECK(base::find_misleading("a\tb\r\n\x1b[2J", base::Lines::many)->character == 6);
  CHECK(base::find_misleading("a\u2028", base::Lines::many)->what == "ends a line");
  CHECK(base::find_misleading("\ufeff")->what == "cannot be seen");
  // Joiners, letters of every kind, symbols.
  for (const char* text : {"", "front left", "Tür 2 °C", "در\u200cها", "דלת", "門", "👨\u200d🔧", "a\u00a0b"}) {
    INFO(text);
    CHECK_FALSE(base::find_misleading(text));
    CHECK(base::printable(text) == text);
  }
  CHECK(base::printable("a\u202eb\u009b2J\x1b[1m\x7f") == R"(a\u202eb\u009b2J\u001b[1m\u007f)");
  CHECK(base::printable("two\r\nlines\tand") == "two  lines and");
  // Bytes that are no UTF-8: alone, cut off, overlong, half a surrogate, beyond Unicode (RFC 3629, sections 3
  // and 4).
  CHECK(base::printable("\x9b\x32\xff \xe2\x82 \xc0\xaf \xed\xa0\x80 \xf5\x80\x80\x80") ==
        R"(\x9b2\xff \xe2\x82 \xc0\xaf \xed\xa0\x80 \xf5\x80\x80\x80)");
  CHECK(base::printable("\xf4\x90\x80\x80") == R"(\xf4\x90\x80\x80)");
  // Cut where it is too long, never inside an escape.
  CHECK(base::printable("abcdef", 4) == "abcd…");
  CHECK(base::printable("ab\u202e", 4) == "ab…");
  CHECK(base::printable("türen", 5) == "türen");
}

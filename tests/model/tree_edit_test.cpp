// SPDX-License-Identifier: GPL-3.0-or-later
#include "model/tree_edit.h"

#include <catch2/catch.hpp>

#include "io/json.h"
#include "support/parsed.h"

// Single values of a tree by JSON pointer.
using namespace latchwright;
using model::Raw;

namespace {

std::string shown_at(const Raw& tree, const std::string& pointer) {
  const Raw* value = model::value_at(tree, pointer);
  return value ? value->shown() : "nowhere";
}

/// The tree as text after a value is set, or "refused" where nothing may have changed.
std::string after(const std::string& text, const std::string& pointer, std::optional<Raw> value) {
  Raw tree = tests::parsed(text);
  if (model::set_value(tree, pointer, std::move(value))) return io::write_json(tree);
  CHECK(io::write_json(tree) == io::write_json(tests::parsed(text)));
  return "refused";
}

std::string tidy(const std::string& text) { return io::write_json(tests::parsed(text)); }

}  // namespace

TEST_CASE("pointers of the standard", "[model]") {
  // The example of RFC 6901 section 5 (from memory).
  const Raw tree =
      tests::parsed(R"({"foo": ["bar", "baz"], "": 0, "a/b": 1, "c%d": 2, "e^f": 3, "g|h": 4, "i\\j": 5,
                              "k\"l": 6, " ": 7, "m~n": 8})");
  CHECK(model::value_at(tree, "") == &tree);
  CHECK(shown_at(tree, "/foo") == "a list");
  CHECK(shown_at(tree, "/foo/0") == "\"bar\"");
  CHECK(shown_at(tree, "/") == "0");
  CHECK(shown_at(tree, "/a~1b") == "1");
  CHECK(shown_at(tree, "/c%d") == "2");
  CHECK(shown_at(tree, "/e^f") == "3");
  CHECK(shown_at(tree, "/g|h") == "4");
  CHECK(shown_at(tree, "/i\\j") == "5");
  CHECK(shown_at(tree, "/k\"l") == "6");
  CHECK(shown_at(tree, "/ ") == "7");
  CHECK(shown_at(tree, "/m~0n") == "8");
  // Section 4: ~01 is ~1, not a slash.
  CHECK(shown_at(tests::parsed(R"({"~1": 1, "/": 2})"), "/~01") == "1");
}

TEST_CASE("pointers that lead nowhere", "[model]") {
  const Raw tree = tests::parsed(R"({"list": [1, 2], "deep": {"x": null}, "text": "abc", "~": 3})");
  CHECK(shown_at(tree, "/deep/x") == "null");
  for (const char* pointer :
       {"list", "/list/2", "/list/-", "/list/01", "/list/-1", "/list/+1", "/list/", "/list/1x",
        "/list/99999999999999999999", "/other", "/deep/x/y", "/text/0", "/~", "/~2", "//"}) {
    CAPTURE(pointer);
    CHECK(shown_at(tree, pointer) == "nowhere");
  }
}

TEST_CASE("setting a value", "[model]") {
  const std::string text = R"({"a": 1, "list": [{"x": 1}, 2], "n": null})";
  CHECK(after(text, "/a", Raw(5)) == tidy(R"({"a": 5, "list": [{"x": 1}, 2], "n": null})"));
  CHECK(after(text, "/list/0/x", Raw("y")) == tidy(R"({"a": 1, "list": [{"x": "y"}, 2], "n": null})"));
  CHECK(after(text, "/list/1", Raw()) == tidy(R"({"a": 1, "list": [{"x": 1}, null], "n": null})"));
  CHECK(after(text, "/new~1key", Raw(7)) ==
        tidy(R"({"a": 1, "list": [{"x": 1}, 2], "n": null, "new/key": 7})"));
  CHECK(after(text, "/list/0/y", Raw(true)) ==
        tidy(R"({"a": 1, "list": [{"x": 1, "y": true}, 2], "n": null})"));
  CHECK(after(text, "", Raw(3)) == tidy("3"));
}

TEST_CASE("taking a value away", "[model]") {
  const std::string text = R"({"a": 1, "list": [{"x": 1}, 2], "n": null})";
  CHECK(after(text, "/a", {}) == tidy(R"({"list": [{"x": 1}, 2], "n": null})"));
  CHECK(after(text, "/list/0", {}) == tidy(R"({"a": 1, "list": [2], "n": null})"));
  CHECK(after(text, "/list/0/x", {}) == tidy(R"({"a": 1, "list": [{}, 2], "n": null})"));
  // Null is a value, nothing is not.
  CHECK(after(text, "/n", {}) == tidy(R"({"a": 1, "list": [{"x": 1}, 2]})"));
  CHECK(after(text, "/not_there", {}) == tidy(text));
}

TEST_CASE("places where nothing can be set", "[model]") {
  const std::string text = R"({"a": 1, "list": [{"x": 1}, 2]})";
  for (const char* pointer : {"a", "/a/b", "/list/2", "/list/-", "/lost/x", "/list/0/x/y", "/~3"}) {
    CAPTURE(pointer);
    CHECK(after(text, pointer, Raw(1)) == "refused");
  }
  CHECK(after(text, "/list/2", {}) == "refused");
  CHECK(after(text, "", {}) == "refused");
}

// SPDX-License-Identifier: GPL-3.0-or-later
#include "model/tree_change.h"

#include <catch2/catch.hpp>
#include <random>

#include "io/json.h"
#include "model/tree_edit.h"
#include "support/parsed.h"

// What differs between two trees, done and undone.
using namespace latchwright;
using model::Raw;

namespace {

/// One change a line: "/a: 1 -> 2", "/list[1]: [3] -> []".
std::vector<std::string> changes(const std::string& from, const std::string& to) {
  const auto shown = [](const std::optional<Raw>& value) {
    if (!value) return std::string("nothing");
    std::string text = io::write_json(*value);
    text.pop_back();
    return text;
  };
  std::vector<std::string> lines;
  for (const auto& change : model::changes_between(tests::parsed(from), tests::parsed(to))) {
    const std::string at = change.at ? "[" + std::to_string(*change.at) + "]" : "";
    lines.push_back(change.pointer + at + ": " + shown(change.before) + " -> " + shown(change.after));
  }
  return lines;
}

using Lines = std::vector<std::string>;

class RandomTree {
 public:
  explicit RandomTree(unsigned seed) : random_(seed) {}

  Raw make(int depth) {
    switch (below(depth > 0 ? 7 : 4)) {
      case 0:
        return Raw();
      case 1:
        return Raw(below(2) == 1);
      case 2:
        return Raw(below(3));
      case 3:
        return Raw(std::string(static_cast<std::size_t>(below(3)), 'x'));
      case 4: {
        Raw::List list;
        for (int k = below(5); k > 0; --k) list.push_back(make(depth - 1));
        return Raw(std::move(list));
      }
      default: {
        Raw::Object members;
        for (const char* key : {"a", "b/c", "d~e", ""}) {
          if (below(3) > 0) members.emplace_back(key, make(depth - 1));
        }
        return Raw(std::move(members));
      }
    }
  }

  int below(int end) { return std::uniform_int_distribution<int>(0, end - 1)(random_); }

 private:
  std::mt19937 random_;
};

}  // namespace

TEST_CASE("changes hold what differs and no more", "[model]") {
  CHECK(changes(R"({"a": 1, "b": {"c": 2}})", R"({"b": {"c": 2}, "a": 1})").empty());
  CHECK(changes(R"({"a": 1, "b": {"c": 2}})", R"({"a": 1, "b": {"c": 3}})") == Lines{"/b/c: 2 -> 3"});
  CHECK(changes(R"({"a": null})", "{}") == Lines{"/a: null -> nothing"});
  CHECK(changes("{}", R"({"a/b": null})") == Lines{"/a~1b: nothing -> null"});
  CHECK(changes("[1, 2, 3]", "[1, 5, 3]") == Lines{"/1: 2 -> 5"});
  CHECK(changes("[1, 2, 3, 4]", "[1, 4]") == Lines{"[1]: [2, 3] -> []"});
  CHECK(changes("[1, 1]", "[1, 1, 1]") == Lines{"[2]: [] -> [1]"});
  CHECK(changes(R"({"l": [1, 2, 3]})", R"({"l": [0, 9, 8, 3]})") == Lines{"/l[0]: [1, 2] -> [0, 9, 8]"});
  CHECK(changes(R"({"a": [1]})", R"({"a": {"0": 1}})").size() == 1);
}

TEST_CASE("changes of random trees done and undone", "[model]") {
  int differed = 0;
  for (unsigned seed = 0; seed < 3000; ++seed) {
    RandomTree random(seed);
    const Raw from = random.make(4), to = random.make(4);
    const auto found = model::changes_between(from, to);
    CAPTURE(seed, io::write_json(from), io::write_json(to));
    CHECK(found.empty() == model::same(from, to));
    differed += found.empty() ? 0 : 1;
    Raw tree = from;
    REQUIRE(model::apply_changes(tree, found, true));
    CHECK(model::same(tree, to));
    REQUIRE(model::apply_changes(tree, found, false));
    CHECK(model::same(tree, from));
  }
  CHECK(differed > 2000);
}

TEST_CASE("changes that do not fit", "[model]") {
  const auto shorter = model::changes_between(tests::parsed("[1, 2, 3]"), tests::parsed("[1]"));
  Raw tree = tests::parsed("[1]");
  CHECK_FALSE(model::apply_changes(tree, shorter, true));
  tree = tests::parsed("5");
  CHECK_FALSE(model::apply_changes(tree, shorter, true));
  CHECK_FALSE(model::apply_changes(
      tree, model::changes_between(tests::parsed(R"({"a": {"b": 1}})"), tests::parsed(R"({"a": {"b": 2}})")),
      true));
}

TEST_CASE("bytes that changes keep", "[model]") {
  const auto one = model::changes_between(tests::parsed(R"({"a": 1})"), tests::parsed(R"({"a": 2})"));
  CHECK(model::stored_bytes(one) >= sizeof(model::TreeChange));
  CHECK(model::stored_bytes(one) < 2 * sizeof(model::TreeChange));
  const std::string text(1000, 'x');
  const auto more =
      model::changes_between(tests::parsed(R"({"a": 1})"), tests::parsed(R"({"a": [")" + text + R"("]})"));
  CHECK(model::stored_bytes(more) > model::stored_bytes(one) + 1000);
}

TEST_CASE("figures stay as typed", "[model]") {
  Raw written = tests::parsed(R"({"a": 0.3, "list": [1, 2, 3], "word": "x", "new": 5})");
  model::keep_figures(
      written, tests::parsed(R"({"a": 0.30000000000000004, "list": [1, 2.5], "word": "y", "old": 1})"));
  CHECK(model::same(
      written, tests::parsed(R"({"a": 0.30000000000000004, "list": [1, 2.5, 3], "word": "x", "new": 5})")));
}

TEST_CASE("pointers follow named items", "[model]") {
  const Raw from = tests::parsed(
      R"({"doors": [{"name": "A", "x": 1}, {"name": "B", "x": 2}, {"name": "C"}], "f": {"y": 1}})");
  const auto moved = [&](const std::string& to, const std::string& pointer) {
    return model::moved_pointer(from, tests::parsed(to), pointer).value_or("gone");
  };
  const std::string without_a = R"({"doors": [{"name": "B"}, {"name": "C"}], "f": {}})";
  CHECK(moved(without_a, "/doors/1/x") == "/doors/0/x");
  CHECK(moved(without_a, "/doors/2/x") == "/doors/1/x");
  CHECK(moved(without_a, "/doors/0/x") == "gone");
  CHECK(moved(without_a, "/doors") == "/doors");
  CHECK(moved(without_a, "/f/y") == "/f/y");
  CHECK(moved(without_a, "/g/y") == "gone");
  CHECK(moved(R"({"doors": [{"name": "C"}, {"name": "B"}, {"name": "A"}]})", "/doors/0/x") == "/doors/2/x");
  CHECK(moved(R"({"doors": [{"name": "C"}, {"name": "B"}, {"name": "A"}]})", "/f/y") == "gone");
  // As many as before: renamed, the same door.
  CHECK(moved(R"({"doors": [{"name": "new"}, {"name": "B"}, {"name": "C"}]})", "/doors/0/x") == "/doors/0/x");
  // Items without a name stay where they are while they are there.
  const Raw numbers = tests::parsed("[1, 2, 3]");
  CHECK(model::moved_pointer(numbers, tests::parsed("[4, 5]"), "/1") == "/1");
  CHECK_FALSE(model::moved_pointer(numbers, tests::parsed("[4, 5]"), "/2"));
}

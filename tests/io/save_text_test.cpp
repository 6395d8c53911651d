// SPDX-License-Identifier: GPL-3.0-or-later
#include <sys/stat.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "base/failure.h"
#include "io/files.h"
#include "support/change_cases.h"
#include "support/scratch_folder.h"

// A save is whole or not at all, replaces nothing unasked, and leaves nothing else behind.
using namespace latchwright;
namespace fs = std::filesystem;

namespace {

std::vector<std::string> names_in(const std::string& folder) {
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder)) names.push_back(entry.path().filename().string());
  std::sort(names.begin(), names.end());
  return names;
}

/// What save_text says, or nothing where it saved.
std::string fault_of(const std::string& path, const std::string& text, bool overwrite) {
  try {
    io::save_text(path, text, overwrite);
  } catch (const base::UsageError& error) {
    return error.what();
  }
  return "";
}

mode_t mode_of(const std::string& path) {
  struct stat found {};
  REQUIRE(::stat(path.c_str(), &found) == 0);
  return found.st_mode & 07777;
}

}  // namespace

TEST_CASE("saving a new file", "[io]") {
  const tests::ScratchFolder folder;
  const std::string path = folder.file("job.json");
  const mode_t mask = ::umask(027);
  const std::string fault = fault_of(path, "{}\n", false);
  ::umask(mask);
  CHECK(fault.empty());
  CHECK(tests::read_text(path) == "{}\n");
  CHECK(mode_of(path) == 0640);  // as the user's mask has it, not as a temporary file's
  CHECK(names_in(folder.path()) == std::vector<std::string>{"job.json"});
  CHECK(fault_of(folder.file("empty"), "", false).empty());
  CHECK(tests::read_text(folder.file("empty")).empty());
}

TEST_CASE("saving over a file", "[io]") {
  const tests::ScratchFolder folder;
  const std::string path = folder.file("job.json");
  std::ofstream(path) << "old";
  ::chmod(path.c_str(), 0604);
  CHECK(fault_of(path, "new", false) == path + ": exists already; nothing was written (--force replaces it)");
  CHECK(tests::read_text(path) == "old");
  const std::string large(3 << 20, 'x');
  CHECK(fault_of(path, large, true).empty());
  CHECK(tests::read_text(path) == large);
  CHECK(mode_of(path) == 0604);
  CHECK(names_in(folder.path()) == std::vector<std::string>{"job.json"});
}

TEST_CASE("saving where it cannot be", "[io]") {
  const tests::ScratchFolder folder;
  const std::string lost = folder.file("missing/job.json");
  CHECK(fault_of(lost, "x", false) ==
        lost + ": cannot write into its folder (No such file or directory); nothing was written");
  CHECK(fault_of(folder.path(), "x", true) == folder.path() + ": is a folder; nothing was written");
  CHECK(fault_of(folder.path(), "x", false) == folder.path() + ": is a folder; nothing was written");
  const std::string pipe = folder.file("pipe");
  REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
  CHECK(fault_of(pipe, "x", true) == pipe + ": is not an ordinary file; nothing was written");
  CHECK(fs::is_fifo(pipe));
  CHECK(names_in(folder.path()) == std::vector<std::string>{"pipe"});
}

TEST_CASE("saving through a symbolic link", "[io]") {
  const tests::ScratchFolder folder;
  fs::create_directory(folder.file("deep"));
  const std::string target = folder.file("deep/real.json"), link = folder.file("link.json");
  fs::create_symlink("deep/real.json", link);
  SECTION("to a file") {
    std::ofstream(target) << "old";
    CHECK_FALSE(fault_of(link, "new", false).empty());
    CHECK(tests::read_text(target) == "old");
    CHECK(fault_of(link, "new", true).empty());
  }
  SECTION("to nothing yet") { CHECK(fault_of(link, "new", false).empty()); }
  SECTION("to nothing yet, replacing") { CHECK(fault_of(link, "new", true).empty()); }
  CHECK(fs::is_symlink(link));
  CHECK(tests::read_text(target) == "new");
  CHECK(names_in(folder.file("deep")) == std::vector<std::string>{"real.json"});
  CHECK(names_in(folder.path()) == std::vector<std::string>{"deep", "link.json"});
}

TEST_CASE("saving through links that lead in a circle", "[io]") {
  const tests::ScratchFolder folder;
  fs::create_symlink("b", folder.file("a"));
  fs::create_symlink("a", folder.file("b"));
  const std::string path = folder.file("a");
  CHECK(fault_of(path, "x", true) ==
        path + ": is a symbolic link that leads in a circle; nothing was written");
  CHECK(names_in(folder.path()) == std::vector<std::string>{"a", "b"});
}

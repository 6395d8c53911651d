// SPDX-License-Identifier: GPL-3.0-or-later
#include "io/files.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <system_error>

#include "base/failure.h"
#include "io/builtin_parts.h"
#include "io/json.h"

namespace latchwright::io {

namespace {

template <class T>
bool take_issues(const base::Checked<T>& checked, base::Issues& issues) {
  if (checked.ok()) return false;
  issues.insert(issues.end(), checked.issues().begin(), checked.issues().end());
  return true;
}

void add_file(const base::Checked<model::Raw>& raw, const std::string& file, model::Catalogue& catalogue,
              base::Issues& issues) {
  if (take_issues(raw, issues)) return;
  const auto parts = model::check_parts_file(raw.value(), file);
  if (!take_issues(parts, issues)) catalogue.add_layer(file, parts.value(), "/parts");
}

class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  ~Descriptor() { close(); }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  int number() const { return number_; }
  bool close() {
    const int number = number_;
    number_ = -1;
    return number < 0 || ::close(number) == 0;
  }

 private:
  int number_;
};

[[noreturn]] void fail(const std::string& path, const std::string& what) {
  throw base::UsageError(path + ": " + what + " (" + std::generic_category().message(errno) +
                         "); nothing was written");
}

/// What a symbolic link leads to, whether that exists or not; anything else stays itself.
std::filesystem::path follow_links(const std::string& path) {
  namespace fs = std::filesystem;
  fs::path target = path;
  std::error_code problem;
  for (int k = 0; fs::is_symlink(target, problem); ++k) {
    if (k == 40) throw base::UsageError(path + ": is a symbolic link that leads in a circle; nothing was written");
    const fs::path next = fs::read_symlink(target, problem);
    if (problem) break;
    target = next.is_absolute() ? next : target.parent_path() / next;
  }
  return target;
}

/// Gives a finished file its name where no other file has it. False with errno: EEXIST where one has it.
bool place_new(const std::string& temporary, const std::string& target) {
  if (::link(temporary.c_str(), target.c_str()) == 0) {
    ::unlink(temporary.c_str());
    return true;
  }
  if (errno == EEXIST) return false;
  // Some file systems know no hard links (EPERM, EOPNOTSUPP, ENOSYS and others).
  if (::renameat2(AT_FDCWD, temporary.c_str(), AT_FDCWD, target.c_str(), RENAME_NOREPLACE) == 0) return true;
  if (errno == EEXIST) return false;
  // Nor an exclusive rename: a last look, then the plain one.
  struct stat other {};
  if (::lstat(target.c_str(), &other) == 0) {
    errno = EEXIST;
    return false;
  }
  return ::rename(temporary.c_str(), target.c_str()) == 0;
}

}  // namespace

base::Checked<model::Catalogue> load_catalogue(const std::vector<std::string>& user_files) {
  model::Catalogue catalogue;
  base::Issues issues;
  for (const BuiltinFile& file : builtin_part_files()) {
    const std::string name(file.name);
    add_file(parse_json(file.text, name), name, catalogue, issues);
  }
  for (const auto& path : user_files) add_file(read_json_file(path), path, catalogue, issues);
  if (issues.empty()) {
    for (const auto* entry : catalogue.entries()) {
      model::ReadContext context{entry->file, {}};
      model::check_part_references(*entry->part, entry->pointer, catalogue, context);
      issues.insert(issues.end(), context.issues.begin(), context.issues.end());
    }
  }
  if (!issues.empty()) return issues;
  return catalogue;
}

base::Checked<model::Catalogue> load_sound_catalogue(const std::vector<std::string>& user_files,
                                                     base::Issues& left_out) {
  auto built_in = load_catalogue({});
  if (!built_in.ok()) return built_in;
  model::Catalogue catalogue = built_in.value();
  base::Issues issues;
  for (const auto& path : user_files) {
    const auto raw = read_json_file(path);
    if (take_issues(raw, issues)) continue;
    const auto parts = model::check_sound_parts(raw.value(), path, left_out);
    if (!take_issues(parts, issues)) catalogue.add_layer(path, parts.value(), "/parts");
  }
  if (!issues.empty()) return issues;
  for (bool changed = true; changed;) {
    changed = false;
    for (const auto* entry : catalogue.entries()) {
      model::ReadContext context{entry->file, {}};
      model::check_part_references(*entry->part, entry->pointer, catalogue, context);
      if (context.issues.empty()) continue;
      left_out.insert(left_out.end(), context.issues.begin(), context.issues.end());
      catalogue.remove(std::string(entry->part->id));
      changed = true;
      break;
    }
  }
  return catalogue;
}

base::Checked<model::Study> load_job(const std::string& path, const model::Catalogue& parts) {
  const auto raw = read_json_file(path);
  if (!raw.ok()) return raw.issues();
  return model::check_job(raw.value(), path, parts);
}

void save_text(const std::string& path, const std::string& text, bool overwrite) {
  namespace fs = std::filesystem;
  std::error_code problem;
  // A symbolic link stays a link: what it leads to is written.
  const fs::path target = follow_links(path);
  if (fs::is_directory(target, problem)) throw base::UsageError(path + ": is a folder; nothing was written");
  if (!overwrite && fs::exists(target, problem)) {
    throw base::UsageError(path + ": exists already; nothing was written (--force replaces it)");
  }
  // A device or a pipe would be replaced by a file, not written to.
  if (fs::exists(target, problem) && !fs::is_regular_file(target, problem)) {
    throw base::UsageError(path + ": is not an ordinary file; nothing was written");
  }
  const fs::path folder = target.has_parent_path() ? target.parent_path() : fs::path(".");
  std::string temporary = (folder / (".latchwright-XXXXXX")).string();
  Descriptor file(::mkstemp(temporary.data()));
  if (file.number() < 0) fail(path, "cannot write into its folder");
  const auto give_up = [&](const std::string& what) {
    const int error = errno;
    ::unlink(temporary.c_str());
    errno = error;
    fail(path, what);
  };
  struct stat old {};
  const mode_t mask = ::umask(0);
  ::umask(mask);
  const mode_t mode = ::stat(target.c_str(), &old) == 0 ? old.st_mode & 07777 : 0666 & ~mask;
  if (::fchmod(file.number(), mode) != 0) give_up("cannot set its permissions");
  std::size_t done = 0;
  while (done < text.size()) {
    const ssize_t wrote = ::write(file.number(), text.data() + done, text.size() - done);
    if (wrote < 0 && errno == EINTR) continue;
    if (wrote <= 0) give_up("cannot be written");
    done += static_cast<std::size_t>(wrote);
  }
  if (::fsync(file.number()) != 0) give_up("cannot be flushed to disk");
  if (!file.close()) give_up("cannot be closed");
  if (overwrite) {
    if (::rename(temporary.c_str(), target.c_str()) != 0) give_up("cannot be put in place");
  } else if (!place_new(temporary, target)) {
    give_up("cannot be put in place");
  }
  if (const int directory = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY); directory >= 0) {
    ::fsync(directory);
    ::close(directory);
  }
}

}  // namespace latchwright::io

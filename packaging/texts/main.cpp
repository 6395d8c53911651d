// SPDX-License-Identifier: GPL-3.0-or-later
#include <exception>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <stdexcept>
#include <string>

#include "io/files.h"
#include "model/part_fields.h"
#include "texts.h"

using namespace latchwright;

namespace {

std::string read_whole(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  if (!file) throw std::runtime_error(path.string() + " cannot be read");
  return std::string(std::istreambuf_iterator<char>(file), {});
}

void write_whole(const std::filesystem::path& path, const std::string& text) {
  std::ofstream file(path, std::ios::binary);
  file << text;
  file.close();
  if (!file) throw std::runtime_error(path.string() + " cannot be written");
}

texts::PartIds built_in_ids() {
  texts::PartIds ids;
  const auto parts = io::load_catalogue({});
  if (!parts.ok()) throw std::runtime_error(parts.issues().front().line());
  for (const auto& kind : model::part_kinds()) ids[kind] = parts.value().ids_of(kind);
  return ids;
}

}  // namespace

// Manual pages and completions into a folder: main TEMPLATES FOLDER [HELP], HELP being a file of what the
// window says to
// --help.
int main(int argc, char** argv) {
  try {
    if (argc < 3 || argc > 4) throw std::runtime_error("usage: TEMPLATES FOLDER [HELP]");
    const std::filesystem::path templates = argv[1];
    const std::filesystem::path folder = argv[2];
    const auto fill = [&](const char* name, const texts::Fields& fields) {
      write_whole(folder / name, texts::filled(read_whole(templates / name), fields));
    };
    const cli::ProgramText program = cli::describe_program();
    const texts::PartIds ids = built_in_ids();
    write_whole(folder / "latchwright.1", texts::man_page(program));
    fill("latchwright.bash", texts::bash_fields(program, ids));
    fill("_latchwright", texts::zsh_fields(program, ids));
    fill("latchwright.fish", texts::fish_fields(program, ids));
    if (argc == 4) {
      const cli::ProgramText desk = texts::read_desk_help(read_whole(argv[3]), program.version);
      write_whole(folder / "latchwright-desk.1", texts::desk_man_page(desk));
      fill("latchwright-desk.bash", texts::bash_fields(desk));
      fill("_latchwright-desk", texts::zsh_fields(desk));
      fill("latchwright-desk.fish", texts::fish_fields(desk));
    }
    return 0;
  } catch (const std::exception& fault) {
    std::cerr << "write_texts: " << fault.what() << '\n';
    return 1;
  }
}

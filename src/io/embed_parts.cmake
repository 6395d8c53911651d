# SPDX-License-Identifier: GPL-3.0-or-later
# Writes OUTPUT, the source of io/builtin_parts.h, from the files NAMES (joined by |, in order) in PARTS_DIR.
# The bytes go in one by one, so neither UTF-8 nor the compilers' limits on string literals matter.
string(REPLACE "|" ";" names "${NAMES}")
set(arrays "")
set(rows "")
set(count 0)
foreach(name IN LISTS names)
  file(READ "${PARTS_DIR}/${name}" bytes HEX)
  if(bytes STREQUAL "")
    message(FATAL_ERROR "parts/${name} is empty")
  endif()
  string(REGEX REPLACE "(..)" "'\\\\x\\1'," bytes "${bytes}")
  string(REPLACE "'\\x0a'," "'\\n',\n" bytes "${bytes}")
  string(APPEND arrays "constexpr char file_${count}[] = {\n${bytes}};\n\n")
  string(APPEND rows "    BuiltinFile{\"parts/${name}\", {file_${count}, sizeof file_${count}}},\n")
  math(EXPR count "${count} + 1")
endforeach()
file(WRITE "${OUTPUT}" "// Written by embed_parts.cmake.
#include \"io/builtin_parts.h\"

#include <array>

namespace latchwright::io {
namespace {

${arrays}constexpr std::array<BuiltinFile, ${count}> files = {
${rows}};

}  // namespace

std::span<const BuiltinFile> builtin_part_files() { return files; }

}  // namespace latchwright::io
")

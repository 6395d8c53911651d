# SPDX-License-Identifier: GPL-3.0-or-later
# For packages: the hardening that Debian asks for, and nothing in the programs that says where they were built.
add_compile_options(-fstack-protector-strong -Wformat -Werror=format-security
                    "-ffile-prefix-map=${PROJECT_BINARY_DIR}=build" "-ffile-prefix-map=${PROJECT_SOURCE_DIR}=.")
add_compile_definitions(_FORTIFY_SOURCE=2)
set(CMAKE_POSITION_INDEPENDENT_CODE ON)
include(CheckPIESupported)
check_pie_supported()
add_link_options(LINKER:-z,relro LINKER:-z,now)

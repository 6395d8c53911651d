// SPDX-License-Identifier: GPL-3.0-or-later
// Nothing: precompiled headers want a source file (tests/CMakeLists.txt).

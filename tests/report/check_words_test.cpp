// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/check_words.h"

#include <catch2/catch.hpp>

// A check's figures in words: what it says where there is no figure.
using namespace latchwright;
using verdict::CheckId;

TEST_CASE("check: a figure that is not there is said in words") {
  const auto said = [](CheckId id, bool is_need) {
    verdict::CheckRow row;
    row.id = id;
    return report::figure_text(row, is_need);
  };
  CHECK(said(CheckId::throw_time, false) == "never arrives");
  CHECK(said(CheckId::wire_heat, false) == "burns");
  // A wire that never heats needs no fuse that opens.
  CHECK(said(CheckId::fuse_guard, false) == "never heats");
  CHECK(said(CheckId::fuse_guard, true) == "never opens");
  CHECK(said(CheckId::fuse_clear, false) == "never opens");
}

TEST_CASE("check: a figure that is not there does not follow have or need") {
  verdict::CheckRow row;
  row.id = CheckId::fuse_clear;
  row.have = 5;
  row.unit = "s";
  CHECK(report::have_and_need(row) == "have 5.00 s, the fuse may never open");
  row.id = CheckId::fuse_guard;
  row.have.reset();
  CHECK(report::have_and_need(row) == "the wire never heats, the fuse may never open");
  row.need = 16.4;
  CHECK(report::have_and_need(row) == "the wire never heats, need 16.4 s");
  row.id = CheckId::wire_heat;
  row.have = 45;
  row.need.reset();
  row.unit = "K";
  CHECK(report::have_and_need(row) == "have 45.0 K, the wire burns");
  row.id = CheckId::throw_time;
  row.have = 0.5;
  row.unit = "s";
  CHECK(report::have_and_need(row) == "have 0.500 s, the rod never arrives");
}

TEST_CASE("check: figures have three digits and cycles are counted") {
  verdict::CheckRow row;
  row.id = CheckId::force;
  row.have = 31.04;
  row.need = 33;
  row.unit = "N";
  CHECK(report::have_and_need(row) == "have 31.0 N, need 33.0 N");
  row.unit = "cycles";
  row.have = 3;
  row.need = 5;
  CHECK(report::have_and_need(row) == "3 of 5 cycles");
}

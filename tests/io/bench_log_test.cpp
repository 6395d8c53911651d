// SPDX-License-Identifier: GPL-3.0-or-later
#include "io/bench_log.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>

#include "support/scratch_folder.h"

// What loggers write, by hand: every expected figure is read off the text beside it.
namespace latchwright {

namespace {

model::BenchLog good(const std::string& text) {
  const auto log = io::parse_bench_log(text, "log.csv");
  for (const auto& issue : log.ok() ? base::Issues{} : log.issues()) UNSCOPED_INFO(issue.line());
  REQUIRE(log.ok());
  return log.value();
}

std::vector<std::string> faults(const std::string& text) {
  const auto log = io::parse_bench_log(text, "log.csv");
  std::vector<std::string> lines;
  if (!log.ok()) {
    for (const auto& issue : log.issues()) lines.push_back(issue.line());
  }
  return lines;
}

}  // namespace

TEST_CASE("a plain bench log is read") {
  const auto log = good("time_s,current_A,voltage_V,case_C\n0,0,0,23\n0.1,5.1,12.5,23\n");
  CHECK(log.time_s == std::vector<double>{0, 0.1});
  CHECK(log.current_A == std::vector<double>{0, 5.1});
  CHECK(log.voltage_V == std::vector<double>{0, 12.5});
  CHECK(log.case_C == std::vector<double>{23, 23});
  CHECK(good("time_s,current_A,voltage_V\n0,1,2").case_C.empty());
}

TEST_CASE("bench logs may have a mark at the start and comments and blank lines and CRLF") {
  const auto log = good(
      "\xEF\xBB\xBF# held by hand\r\n\r\ntime_s;current_A;voltage_V\r\n# "
      "on\r\n-3,5;0,01;0\r\n\r\n-3,4;5,02;12,6\r\n");
  CHECK(log.time_s == std::vector<double>{-3.5, -3.4});
  CHECK(log.current_A == std::vector<double>{0.01, 5.02});
  CHECK(log.voltage_V == std::vector<double>{0, 12.6});
}

TEST_CASE("columns of a bench log come in any order and in other units") {
  const auto log =
      good("voltage [mV]\t\"Time (ms)\"\tnote\tcurrent / mA\tcase_F\n12600\t1500\tx\t5100\t212\n");
  CHECK(log.time_s[0] == Approx(1.5));
  CHECK(log.current_A[0] == Approx(5.1));
  CHECK(log.voltage_V[0] == Approx(12.6));
  CHECK(log.case_C[0] == Approx(100));
  CHECK(good("case (°C),time (s),current (A),voltage (V)\n41,1,2,3\n").case_C[0] == 41);
}

TEST_CASE("a missing sample of a bench log is not a number") {
  const auto log = good("time_s,current_A,voltage_V\n0,,12\n1,nan,--\n2,1\n");
  CHECK(std::isnan(log.current_A[0]));
  CHECK(log.voltage_V[0] == 12);
  CHECK(std::isnan(log.voltage_V[1]));
  CHECK(log.current_A[2] == 1);
  CHECK(std::isnan(log.voltage_V[2]));
}

TEST_CASE("faults of a bench log name line and column and value and range") {
  CHECK(faults("time_s,current_A,voltage_V\n0,x,12\n") ==
        std::vector<std::string>{"log.csv:2: current_A: \"x\" is not a number (-500 to 500 A)"});
  CHECK(faults("time_s,current_mA,voltage_V\n0,900000,12\n") ==
        std::vector<std::string>{
            "log.csv:2: current_mA: 900000 is outside the permitted range (-500 to 500 A)"});
  CHECK(faults("time_s,current_A,voltage_V\n1,1,12\n1,1,12\n0.5,1,12\n") ==
        std::vector<std::string>{"log.csv:3: time_s: 1 s must come after the row before it (1 s)",
                                 "log.csv:4: time_s: 0.5 s must come after the row before it (1 s)"});
  CHECK(faults("time_s,current_A,voltage_V\n,1,12\n") ==
        std::vector<std::string>{"log.csv:2: time_s: a row needs its time"});
  CHECK(faults("time_s,curent_A,voltage_V\n0,1,12\n") ==
        std::vector<std::string>{
            "log.csv:1: has no column current_A (the first row names the columns; is it \"curent_A\"?)"});
  CHECK(faults("time_h,current_A,voltage_V\n0,1,12\n") ==
        std::vector<std::string>{"log.csv:1: \"time_h\": the unit is missing or unknown (one of time_s, "
                                 "time_ms, time_us, time_min)"});
  CHECK(faults("time_s,time_ms,current_A,voltage_V\n0,0,1,12\n") ==
        std::vector<std::string>{"log.csv:1: \"time_ms\": there is a column for time already"});
  CHECK(
      faults("time_s,current_A,voltage_V\n0,1,5,12,6\n") ==
      std::vector<std::string>{
          "log.csv:2: has 5 fields where the header has 3 (decimal commas want ; or tabs between columns)"});
  CHECK(faults("time_s;current_A;voltage_V\n0;1.234,5;12\n") ==
        std::vector<std::string>{"log.csv:2: current_A: \"1.234,5\" is not a number (-500 to 500 A)"});
  CHECK(faults("") == std::vector<std::string>{
                          "log.csv: holds no log (a header such as time_s,current_A,voltage_V is wanted)"});
  CHECK(faults("time_s,current_A,voltage_V\n") ==
        std::vector<std::string>{"log.csv: holds a header and no samples"});
}

TEST_CASE("many faults of a bench log are told as a dozen and their number") {
  std::string text = "time_s,current_A,voltage_V\n";
  for (int k = 0; k < 40; ++k) text += std::to_string(k) + ",x,12\n";
  const auto lines = faults(text);
  REQUIRE(lines.size() == 13);
  CHECK(lines.back() == "log.csv: has 28 faults more");
}

TEST_CASE("a bench log of a million rows is read whole") {
  std::string text = "time_s,current_A,voltage_V\n";
  for (int k = 0; k < 1'000'000; ++k) {
    text += std::to_string(k) + ".25,5." + std::to_string(k % 1000) + ",12.5\n";
  }
  const auto log = good(text);
  REQUIRE(log.time_s.size() == 1'000'000);
  CHECK(log.time_s.back() == 999999.25);
  CHECK(log.current_A.back() == 5.999);
}

TEST_CASE("a bench log takes the name of its file") {
  tests::ScratchFolder folder;
  std::ofstream(folder.file("held.csv")) << "time_s,current_A,voltage_V\n0,1,12\n";
  const auto log = io::read_bench_log(folder.file("held.csv"));
  REQUIRE(log.ok());
  CHECK(log.value().name == "held.csv");
  CHECK(io::read_bench_log(folder.file("none.csv")).issues()[0].text == "there is no such file");
  CHECK(io::read_bench_log(folder.path()).issues()[0].text == "is a folder, not a file");
}

}  // namespace latchwright

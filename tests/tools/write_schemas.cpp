// SPDX-License-Identifier: GPL-3.0-or-later
#include <iostream>
#include <string>

#include "io/files.h"
#include "io/json.h"
#include "report/keys_page.h"
#include "report/schema.h"
#include "support/worked_case.h"

// latchwright_write_schemas FOLDER       writes job.schema.json, parts.schema.json and keys.md there
// latchwright_write_schemas --worked-case  prints the worked case of docs/model.md section 10 with two doors, as a job
int main(int count, char** words) {
  using namespace latchwright;
  if (count != 2) {
    std::cerr << "usage: latchwright_write_schemas FOLDER | --worked-case\n";
    return 2;
  }
  const std::string word = words[1];
  if (word == "--worked-case") {
    std::cout << tests::worked_case_json(2);
    return 0;
  }
  try {
    io::save_text(word + "/job.schema.json", io::write_json(report::job_schema()), true);
    io::save_text(word + "/parts.schema.json", io::write_json(report::parts_schema()), true);
    io::save_text(word + "/keys.md", report::keys_page(), true);
  } catch (const std::exception& error) {
    std::cerr << error.what() << '\n';
    return 2;
  }
}

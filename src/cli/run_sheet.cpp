// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "base/failure.h"
#include "base/worker_pool.h"
#include "cli/console.h"
#include "cli/verbs.h"
#include "io/files.h"
#include "io/json.h"
#include "report/check_report.h"
#include "report/sheet_html.h"

namespace latchwright::cli {

namespace {

enum class SheetKind { html, pdf };

/// By the file name's ending. Throws base::UsageError.
SheetKind sheet_kind(const std::string& path) {
  std::string ending = path.substr(std::min(path.rfind('.'), path.size()));
  std::transform(ending.begin(), ending.end(), ending.begin(),
                 [](unsigned char c) { return std::tolower(c); });
  if (ending == ".html") return SheetKind::html;
  if (ending == ".pdf") return SheetKind::pdf;
  throw base::UsageError(fmt::format("-o: {}: job sheets go into files that end in .html or .pdf", path));
}

model::Raw sheet_result(const LoadedJob& job, const report::SheetFindings& findings,
                        const report::JobSheet& sheet, const Options& options) {
  model::Raw::Object result =
      report::result_head("sheet", std::nullopt, {{"file", model::Raw(options.output)}});
  const auto& examination = findings.examination;
  result.emplace_back("pass", model::Raw(examination.pass));
  result.emplace_back("weakest", report::weakest_json(job.study, examination.worst[examination.weakest]));
  result.emplace_back("input", model::Raw(report::input_sum(job.study)));
  model::Raw::List sections;
  for (const auto& section : sheet.sections) sections.emplace_back(section.key);
  result.emplace_back("sections", model::Raw(std::move(sections)));
  return model::Raw(std::move(result));
}

}  // namespace

int run_sheet(const Options& options, MakePictureWriter make_writer) {
  const SheetKind kind = sheet_kind(options.output);
  if (kind == SheetKind::html && !options.paper.empty()) {
    throw base::UsageError(
        "--paper: an .html file prints on whatever paper is in the printer; --paper is for .pdf");
  }
  const auto writer = make_writer();
  if (kind == SheetKind::pdf && !writer) {
    throw base::UsageError(
        "-o: this program was built without Qt and cannot draw a .pdf (configure with LATCHWRIGHT_QT=ON); "
        "an .html file it can write");
  }
  const auto job = load_for(options);
  if (!job) return exit_bad_input;
  report::SheetFindings findings;
  {
    ConsoleProgress progress(options.quiet);
    findings = report::find_for_sheet(job->study, base::available_workers(), progress);
  }
  report::JobSheet sheet = report::make_job_sheet(job->study, findings, options.date);
  if (job->file_index.size() < job->whole.doors.size()) {
    sheet.title += fmt::format(" (only {} of its {} doors)", job->file_index.size(), job->whole.doors.size());
  }
  const auto paper = options.paper == "letter" ? report::Paper::letter : report::Paper::a4;
  io::save_text(
      options.output,
      kind == SheetKind::pdf ? writer->sheet_pdf(sheet, paper) : report::sheet_html(sheet, writer.get()),
      options.force);
  if (options.json) {
    print(io::write_json(sheet_result(*job, findings, sheet, options)));
  } else if (!options.quiet) {
    std::string text = fmt::format("Wrote {}.\n", options.output);
    if (!sheet.stop.empty()) text += report::wrapped(sheet.stop, 0);
    if (report::uses_invented_parts(job->study))
      text += "Example parts: measure yours before promising this.\n";
    print(text);
  }
  return exit_good;
}

}  // namespace latchwright::cli

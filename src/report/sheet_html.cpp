// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/sheet_html.h"

#include <fmt/format.h>

#include <iterator>

namespace latchwright::report {

namespace {

// No "<" and no "&" in here: inside XML they would be markup. States are words; colour only helps.
constexpr std::string_view css = R"css(
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1rem; max-width: 62rem; color: #111; background: #fff;
  font: 1rem/1.45 "DejaVu Sans", Verdana, "Segoe UI", Roboto, sans-serif; overflow-wrap: break-word; }
h1 { font-size: 1.5rem; margin: .5rem 0 .25rem; }
h2 { font-size: 1.3rem; margin: 2.5rem 0 .75rem; padding-top: .75rem; border-top: 3px solid #333; }
h3 { font-size: 1.05rem; margin: 1.5rem 0 .4rem; }
p, ul, ol { margin: .4rem 0 .8rem; }
ul, ol { padding-left: 1.4rem; }
li { margin: .25rem 0; }
nav a { display: inline-block; margin: .3rem 1rem .3rem 0; padding: .4rem 0; color: #0b4a8f; }
.faint, .origin { color: #444; font-size: .85rem; }
.notice { border: 2px solid #333; border-left-width: .6rem; padding: .5rem .8rem; margin: .8rem 0; }
.notice strong { display: block; }
.notice ul { margin: .3rem 0 0; }
.good { border-color: #2c6e2f; background: #f1f8f1; }
.mind { border-color: #8a5a00; background: #fff8e8; }
.stop { border-color: #a11212; background: #fdeeee; }
.caution { border-color: #8a5a00; background: #fff8e8; }
table { border-collapse: collapse; width: 100%; margin: .8rem 0 1rem; font-size: .9rem; }
caption { text-align: left; font-weight: bold; padding: .3rem 0; }
th, td { border: 1px solid #888; padding: .3rem .45rem; text-align: left; vertical-align: top; }
th { background: #eee; }
.right { text-align: right; }
td.right { white-space: nowrap; }
td.box { min-width: 4.5rem; height: 2.2rem; background: #fff; border: 2px solid #333; }
.form { display: grid; grid-template-columns: repeat(auto-fit, minmax(14rem, 1fr)); gap: .6rem 1.2rem; margin: .8rem 0; }
.form div { border-bottom: 2px solid #333; height: 3.2rem; font-size: .85rem; }
figure { margin: 1rem 0; overflow-x: auto; }
figure svg { display: block; width: 100%; min-width: 40rem; height: auto; }
figure svg text { font-family: "DejaVu Sans", Verdana, "Segoe UI", Roboto, sans-serif; }
@media screen and (max-width: 44rem) {
  table.wide, table.wide tbody, table.wide tr, table.wide td, table.wide caption { display: block; width: 100%; }
  table.wide thead { display: none; }
  table.wide tr { border: 2px solid #333; margin: 0 0 .7rem; }
  table.wide td { border: 0; border-bottom: 1px solid #ccc; text-align: left; white-space: normal; display: flex; gap: .6rem; }
  table.wide td::before { content: attr(data-label); flex: 0 0 38%; color: #444; }
  table.wide td.box { border: 2px solid #333; min-height: 2.6rem; height: auto; }
}
@media print {
  @page { margin: 14mm; }
  body { padding: 0; max-width: none; font-size: 9.5pt; }
  nav { display: none; }
  h2 { break-before: page; margin-top: 0; }
  section:first-of-type h2 { break-before: auto; }
  h2, h3, caption { break-after: avoid; }
  tr, li, figure, .notice, .form { break-inside: avoid; }
  thead { display: table-header-group; }
  th, .notice, td { -webkit-print-color-adjust: exact; print-color-adjust: exact; }
  figure { overflow: visible; }
  figure svg { min-width: 0; max-height: 120mm; }
}
)css";

class Page {
 public:
  explicit Page(PictureWriter* writer) : writer_(writer) {}

  void operator()(const SheetHeading& heading) { line("<h3>{}</h3>", escaped(heading.text)); }

  void operator()(const SheetParagraph& paragraph) {
    line("<p{}>{}</p>", paragraph.faint ? " class=\"faint\"" : "", escaped(paragraph.text));
  }

  void operator()(const SheetList& list) {
    const char* tag = list.numbered ? "ol" : "ul";
    line("<{}{}>", tag, list.faint ? " class=\"faint\"" : "");
    for (const auto& item : list.items) line("<li>{}</li>", escaped(item));
    line("</{}>", tag);
  }

  void operator()(const SheetNotice& notice) {
    line("<div class=\"notice {}\"><strong>{}</strong>", class_of(notice.kind), escaped(notice.title));
    if (!notice.lines.empty()) (*this)(SheetList{notice.lines});
    line("</div>");
  }

  void operator()(const SheetTable& table) {
    const bool wide = table.columns.size() + table.boxes.size() > 3;
    line("<table{}>", wide ? " class=\"wide\"" : "");
    if (!table.title.empty()) line("<caption>{}</caption>", escaped(table.title));
    out_ += "<thead><tr>";
    for (const auto& column : table.columns)
      add("<th scope=\"col\"{}>{}</th>", right(column), escaped(column.title));
    for (const auto& box : table.boxes) add("<th scope=\"col\">{}</th>", escaped(box));
    line("</tr></thead>");
    line("<tbody>");
    for (const auto& row : table.rows) {
      out_ += "<tr>";
      for (std::size_t c = 0; c < table.columns.size(); ++c) {
        add("<td{} data-label=\"{}\">{}</td>", right(table.columns[c]), escaped(table.columns[c].title),
            escaped(row[c]));
      }
      for (const auto& box : table.boxes) add("<td class=\"box\" data-label=\"{}\"></td>", escaped(box));
      line("</tr>");
    }
    line("</tbody></table>");
  }

  void operator()(const SheetForm& form) {
    line("<div class=\"form\">");
    for (const auto& label : form.labels) line("<div>{}</div>", escaped(label));
    line("</div>");
  }

  void operator()(const SheetPicture& shown) {
    if (writer_ != nullptr) {
      line("<figure role=\"img\" aria-label=\"{}\">{}</figure>", escaped(shown.picture.title),
           writer_->svg(shown.picture));
    } else {
      line("<p>{}: this picture is left out, because the program was built without Qt and cannot draw.</p>",
           escaped(shown.picture.title));
    }
  }

  void stop(const std::string& text) {
    if (!text.empty()) line("<div class=\"notice stop\"><strong>✕ {}</strong></div>", escaped(text));
  }

  template <class... Values>
  void line(fmt::format_string<Values...> text, Values&&... values) {
    add(text, std::forward<Values>(values)...);
    out_ += '\n';
  }

  std::string& text() { return out_; }

 private:
  template <class... Values>
  void add(fmt::format_string<Values...> text, Values&&... values) {
    fmt::format_to(std::back_inserter(out_), text, std::forward<Values>(values)...);
  }

  static const char* right(const SheetTable::Column& column) {
    return column.right ? " class=\"right\"" : "";
  }

  static const char* class_of(SheetNotice::Kind kind) {
    switch (kind) {
      case SheetNotice::Kind::good:
        return "good";
      case SheetNotice::Kind::mind:
        return "mind";
      case SheetNotice::Kind::stop:
        return "stop";
      case SheetNotice::Kind::caution:
        break;
    }
    return "caution";
  }

  PictureWriter* writer_;
  std::string out_;
};

}  // namespace

std::string escaped(std::string_view text) {
  std::string out;
  for (std::size_t k = 0; k < text.size(); ++k) {
    const char c = text[k];
    const auto byte = static_cast<unsigned char>(c);
    // U+FFFE and U+FFFF, EF BF BE and EF BF BF, are no characters of XML either.
    const std::string_view three = text.substr(k, 3);
    if (three == "\xEF\xBF\xBE" || three == "\xEF\xBF\xBF") {
      out.push_back(' ');
      k += 2;
    } else if (c == '&') {
      out += "&amp;";
    } else if (c == '<') {
      out += "&lt;";
    } else if (c == '>') {
      out += "&gt;";
    } else if (c == '"') {
      out += "&quot;";
    } else if (c == '\'') {
      out += "&#39;";
    } else {
      out.push_back(byte < 0x20 || byte == 0x7F ? ' ' : c);
    }
  }
  return out;
}

std::string sheet_html(const JobSheet& sheet, PictureWriter* writer) {
  Page page(writer);
  page.line("<!DOCTYPE html>");
  page.line("<html lang=\"en\">");
  page.line("<head>");
  page.line("<meta charset=\"utf-8\"/>");
  page.line("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>");
  page.line("<title>Job sheet: {}</title>", escaped(sheet.title));
  page.line("<style>{}</style>", css);
  page.line("</head>");
  page.line("<body>");
  page.line("<header>");
  page.stop(sheet.stop);
  page.line("<h1>{}</h1>", escaped(sheet.title));
  page.line("<p>Job sheet for power door locks{}</p>", sheet.date.empty() ? "" : ", " + escaped(sheet.date));
  page.line("<nav>");
  for (const auto& section : sheet.sections)
    page.line("<a href=\"#{}\">{}</a>", section.key, escaped(section.title));
  page.line("</nav>");
  page.line("</header>");
  for (const auto& section : sheet.sections) {
    page.line("<section id=\"{}\">", section.key);
    page.line("<h2>{}</h2>", escaped(section.title));
    // Pages part company once they are printed; the first stands right below the head.
    if (&section != &sheet.sections.front()) page.stop(sheet.stop);
    for (const auto& block : section.blocks) std::visit(page, block);
    page.line("<p class=\"origin\">{}</p>", escaped(sheet.origin));
    page.line("</section>");
  }
  page.line("</body>");
  page.line("</html>");
  return std::move(page.text());
}

}  // namespace latchwright::report

// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/picture_writer.h"

#include <QApplication>
#include <QLocale>
#include <clocale>

#include "charts/sheet_pages.h"
#include "charts/write_pictures.h"

namespace latchwright::report {

namespace {

/// What Qt says of displays and folders that drawing into a file does not need stays unsaid.
void keep_quiet(QtMsgType type, const QMessageLogContext&, const QString& message) {
  if (type == QtFatalMsg) static_cast<void>(std::fprintf(stderr, "latchwright: %s\n", qPrintable(message)));
}

/// Qt Charts wants a QApplication; this one has no display, and nothing of the desktop's settings in it.
class QuietApplication {
 public:
  QuietApplication() : former_(qInstallMessageHandler(keep_quiet)) {
    qputenv("QT_QPA_PLATFORM", "offscreen");
    QCoreApplication::setAttribute(Qt::AA_Use96Dpi);
    QApplication::setDesktopSettingsAware(false);
    application_ = std::make_unique<QApplication>(count_, words_);
    // Qt takes over the user's locale; the figures of results keep their points.
    // NOLINTNEXTLINE(concurrency-mt-unsafe): before anything is drawn, and there is no other thread.
    static_cast<void>(std::setlocale(LC_NUMERIC, "C"));
    QLocale::setDefault(QLocale::c());
  }
  ~QuietApplication() {
    application_.reset();
    qInstallMessageHandler(former_);
  }
  QuietApplication(const QuietApplication&) = delete;
  QuietApplication& operator=(const QuietApplication&) = delete;

 private:
  int count_ = 1;
  char name_[12] = "latchwright";
  char* words_[2] = {name_, nullptr};
  QtMessageHandler former_;
  std::unique_ptr<QApplication> application_;
};

class QtPictureWriter : public PictureWriter {
 public:
  bool accepts(const std::string& path, std::string& why) const override {
    if (charts::file_kind(path)) return true;
    why = "pictures go into files that end in .png, .svg or .pdf";
    return false;
  }
  void write(const std::vector<Picture>& pictures, const std::string& path, bool overwrite) override {
    makeReady();
    charts::write_pictures(pictures, path, charts::Style{}, overwrite);
  }
  std::string svg(const Picture& picture) override {
    makeReady();
    return charts::draw_svg_element(picture, charts::Style{}).toStdString();
  }
  std::string sheet_pdf(const JobSheet& sheet, Paper paper) override {
    makeReady();
    return charts::draw_sheet_pdf(sheet, paper).toStdString();
  }

 private:
  void makeReady() {
    if (QCoreApplication::instance() == nullptr) application_ = std::make_unique<QuietApplication>();
  }

  std::unique_ptr<QuietApplication> application_;
};

}  // namespace

std::unique_ptr<PictureWriter> make_picture_writer() { return std::make_unique<QtPictureWriter>(); }

}  // namespace latchwright::report

// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/theme.h"

#include <QFontDatabase>
#include <QRawFont>
#include <QStyle>
#include <QTest>
#include <QToolTip>
#include <array>
#include <cmath>

using namespace latchwright::desk;

namespace {

constexpr Theme themes[] = {Theme::light, Theme::dark};
constexpr Standing standings[] = {Standing::holds, Standing::tight, Standing::fails, Standing::not_chosen,
                                  Standing::neutral};

double linear(double channel) {
  return channel <= 0.04045 ? channel / 12.92 : std::pow((channel + 0.055) / 1.055, 2.4);
}

using Three = std::array<double, 3>;

Three linear_rgb(const QColor& colour) {
  return {linear(colour.redF()), linear(colour.greenF()), linear(colour.blueF())};
}

double luminance(const QColor& colour) {
  const Three rgb = linear_rgb(colour);
  return 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2];
}

/// Contrast ratio of WCAG 2.1 (W3C), "contrast ratio" and "relative luminance".
double contrast(const QColor& a, const QColor& b) {
  const double la = luminance(a), lb = luminance(b);
  return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

enum class Eye { usual, no_red, no_green };

/// What a dichromat sees of a colour, in linear RGB: Viénot, Brettel and Mollon, Color Research & Application
/// 24 (1999), matrices from memory.
Three seen(const QColor& colour, Eye eye) {
  const Three rgb = linear_rgb(colour);
  if (eye == Eye::usual) return rgb;
  double l = 17.8824 * rgb[0] + 43.5161 * rgb[1] + 4.11935 * rgb[2];
  double m = 3.45565 * rgb[0] + 27.1554 * rgb[1] + 3.86714 * rgb[2];
  const double s = 0.0299566 * rgb[0] + 0.184309 * rgb[1] + 1.46709 * rgb[2];
  if (eye == Eye::no_red) l = 2.02344 * m - 2.52581 * s;
  if (eye == Eye::no_green) m = 0.494207 * l + 1.24827 * s;
  return {0.0809444479 * l - 0.130504409 * m + 0.116721066 * s,
          -0.0102485335 * l + 0.0540193266 * m - 0.113614708 * s,
          -0.000365296938 * l - 0.00412161469 * m + 0.693511405 * s};
}

/// CIELAB (CIE 15) of linear sRGB under D65.
Three lab(const Three& rgb) {
  const auto f = [](double t) { return t > 216.0 / 24389 ? std::cbrt(t) : (24389.0 / 27 * t + 16) / 116; };
  const Three c{std::clamp(rgb[0], 0.0, 1.0), std::clamp(rgb[1], 0.0, 1.0), std::clamp(rgb[2], 0.0, 1.0)};
  const double x = f((0.4124 * c[0] + 0.3576 * c[1] + 0.1805 * c[2]) / 0.9505);
  const double y = f(0.2126 * c[0] + 0.7152 * c[1] + 0.0722 * c[2]);
  const double z = f((0.0193 * c[0] + 0.1192 * c[1] + 0.9505 * c[2]) / 1.0890);
  return {116 * y - 16, 500 * (x - y), 200 * (y - z)};
}

double difference(const QColor& a, const QColor& b, Eye eye) {
  const Three p = lab(seen(a, eye)), q = lab(seen(b, eye));
  return std::sqrt(std::pow(p[0] - q[0], 2) + std::pow(p[1] - q[1], 2) + std::pow(p[2] - q[2], 2));
}

#define AT_LEAST(value, least, what)                                                                         \
  do {                                                                                                       \
    const double at_least_value = (value);                                                                   \
    QVERIFY2(at_least_value >= (least), qPrintable(QStringLiteral("%1: %2").arg(what).arg(at_least_value))); \
  } while (false)

}  // namespace

class ThemeTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void formulaIsTheStandards();
  void paletteIsReadable();
  void statesAreReadable();
  void statesDifferForEveryEye();
  void signsAndWordsAreThere();
  void appliesToTheApplication();
};

void ThemeTest::formulaIsTheStandards() {
  // Black on white is 21:1 by definition; #767676 is known as the lightest grey that reaches 4.5 on white.
  QVERIFY(std::abs(contrast(Qt::black, Qt::white) - 21) < 1e-9);
  QVERIFY(contrast(QColor(0x76, 0x76, 0x76), Qt::white) >= 4.5);
  QVERIFY(contrast(QColor(0x77, 0x77, 0x77), Qt::white) < 4.5);
  // White stays white for every eye, so the matrices and their inverse belong together.
  for (const Eye eye : {Eye::no_red, Eye::no_green}) {
    for (const double channel : seen(Qt::white, eye)) QVERIFY(std::abs(channel - 1) < 0.01);
  }
  QVERIFY(difference(QColor(200, 60, 60), QColor(110, 110, 60), Eye::no_green) <
          difference(QColor(200, 60, 60), QColor(110, 110, 60), Eye::usual));
}

void ThemeTest::paletteIsReadable() {
  using P = QPalette;
  const std::pair<P::ColorRole, P::ColorRole> texts[] = {{P::WindowText, P::Window},
                                                         {P::Text, P::Base},
                                                         {P::Text, P::AlternateBase},
                                                         {P::ButtonText, P::Button},
                                                         {P::HighlightedText, P::Highlight},
                                                         {P::ToolTipText, P::ToolTipBase},
                                                         {P::Link, P::Window},
                                                         {P::Link, P::Base},
                                                         {P::LinkVisited, P::Base},
                                                         {P::PlaceholderText, P::Base},
                                                         {P::PlaceholderText, P::Window},
                                                         {P::WindowText, P::Base}};
  for (const Theme theme : themes) {
    const QPalette palette = palette_of(theme);
    for (const auto& [text, ground] : texts) {
      AT_LEAST(contrast(palette.color(text), palette.color(ground)), 4.5,
               QStringLiteral("theme %1, roles %2 on %3").arg(int(theme)).arg(text).arg(ground));
    }
    // What shows the focus and the chosen link: 3:1 (WCAG 2.1, 1.4.11).
    for (const P::ColorRole ground : {P::Window, P::Base, P::Button}) {
      AT_LEAST(contrast(palette.color(P::Highlight), palette.color(ground)), 3.0, "highlight");
    }
    QCOMPARE(theme_of(palette), theme);
  }
}

void ThemeTest::statesAreReadable() {
  for (const Theme theme : themes) {
    const QColor window = palette_of(theme).color(QPalette::Window);
    for (const Standing standing : standings) {
      const QString what = QStringLiteral("theme %1, state %2").arg(int(theme)).arg(int(standing));
      const StandingLook look = look_of(standing, theme);
      AT_LEAST(contrast(look.text, look.background), 4.5, what);
      AT_LEAST(contrast(look.edge, window), 3.0, what);
      const StandingLook grey = greyed(look, theme);
      AT_LEAST(contrast(grey.text, grey.background), 4.5, what);
      // Greyed is nearer to the window than before.
      QVERIFY(contrast(grey.background, window) <= contrast(look.background, window));
    }
  }
}

void ThemeTest::statesDifferForEveryEye() {
  for (const Theme theme : themes) {
    for (const Eye eye : {Eye::usual, Eye::no_red, Eye::no_green}) {
      for (const Standing a : {Standing::holds, Standing::tight, Standing::fails}) {
        for (const Standing b : {Standing::tight, Standing::fails}) {
          if (a >= b) continue;
          const StandingLook one = look_of(a, theme), other = look_of(b, theme);
          const QString what = QStringLiteral("theme %1, eye %2, states %3 %4")
                                   .arg(int(theme))
                                   .arg(int(eye))
                                   .arg(int(a))
                                   .arg(int(b));
          // A difference of about 2 is the least that is seen side by side.
          AT_LEAST(difference(one.background, other.background, eye), 15.0, what);
          AT_LEAST(difference(one.edge, other.edge, eye), 15.0, what);
        }
      }
    }
  }
}

void ThemeTest::signsAndWordsAreThere() {
  QStringList signs, words;
  for (const Standing standing : {Standing::holds, Standing::tight, Standing::fails, Standing::not_chosen}) {
    signs << sign_of(standing);
    words << word_of(standing);
    QCOMPARE(signs.back().size(), 1);
    QVERIFY(!words.back().isEmpty());
    QCOMPARE(sign_and_word(standing), signs.back() + " " + words.back());
  }
  signs.removeDuplicates();
  words.removeDuplicates();
  QCOMPARE(signs.size(), 4);
  QCOMPARE(words.size(), 4);
  QVERIFY(sign_and_word(Standing::neutral).isEmpty());
  using latchwright::verdict::Verdict;
  QCOMPARE(standing_of(Verdict::holds), Standing::holds);
  QCOMPARE(standing_of(Verdict::tight), Standing::tight);
  QCOMPARE(standing_of(Verdict::fails), Standing::fails);
  if (!QFontDatabase::families().contains(QStringLiteral("DejaVu Sans")))
    QSKIP("DejaVu Sans is not installed");
  const QRawFont font = QRawFont::fromFont(QFont(QStringLiteral("DejaVu Sans")));
  for (const QString& sign : signs) QVERIFY(font.supportsCharacter(sign.front()));
}

void ThemeTest::appliesToTheApplication() {
  auto& application = *qobject_cast<QApplication*>(QCoreApplication::instance());
  const Theme system = system_theme();
  for (const Theme theme : {Theme::dark, Theme::light, Theme::dark}) {
    apply_theme(application, theme);
    QCOMPARE(theme_of(QApplication::palette()), theme);
    QCOMPARE(QApplication::palette().color(QPalette::Window), palette_of(theme).color(QPalette::Window));
    QCOMPARE(QToolTip::palette().color(QPalette::ToolTipText),
             palette_of(theme).color(QPalette::ToolTipText));
    QCOMPARE(system_theme(), system);
  }
}

QTEST_MAIN(ThemeTest)
#include "theme_test.moc"

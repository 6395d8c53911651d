// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/theme.h"

#include <QCoreApplication>
#include <QPainter>
#include <QProxyStyle>
#include <QStyleFactory>
#include <QStyleOption>
#include <QToolTip>

namespace latchwright::desk {

namespace {

/// Every colour of a theme.
struct Colours {
  QColor window, text, base, alternate, button, faint_text;
  QColor light, midlight, mid, dark, shadow;
  QColor highlight, highlighted_text, link, link_visited;
  QColor tip, tip_text;
};

const Colours& colours_of(Theme theme) {
  static const Colours light{QColor(0xf3, 0xf4, 0xf6), QColor(0x1b, 0x1f, 0x24), QColor(0xff, 0xff, 0xff),
                             QColor(0xee, 0xf1, 0xf4), QColor(0xe6, 0xe9, 0xed), QColor(0x66, 0x6d, 0x76),
                             QColor(0xff, 0xff, 0xff), QColor(0xf0, 0xf2, 0xf4), QColor(0xa9, 0xb0, 0xb8),
                             QColor(0x7c, 0x85, 0x8f), QColor(0x4c, 0x54, 0x5d), QColor(0x1a, 0x5f, 0xb4),
                             QColor(0xff, 0xff, 0xff), QColor(0x12, 0x56, 0xa6), QColor(0x6b, 0x3f, 0xa0),
                             QColor(0xff, 0xff, 0xff), QColor(0x1b, 0x1f, 0x24)};
  static const Colours dark{QColor(0x20, 0x23, 0x27), QColor(0xe8, 0xea, 0xed), QColor(0x17, 0x1a, 0x1d),
                            QColor(0x25, 0x29, 0x2e), QColor(0x30, 0x35, 0x3b), QColor(0x9a, 0xa2, 0xab),
                            QColor(0x4a, 0x51, 0x59), QColor(0x3c, 0x42, 0x49), QColor(0x5c, 0x64, 0x6d),
                            QColor(0x12, 0x14, 0x16), QColor(0x08, 0x09, 0x0a), QColor(0x8a, 0xb8, 0xf5),
                            QColor(0x10, 0x18, 0x22), QColor(0x8a, 0xb8, 0xf5), QColor(0xc9, 0xa8, 0xf0),
                            QColor(0x30, 0x35, 0x3b), QColor(0xe8, 0xea, 0xed)};
  return theme == Theme::dark ? dark : light;
}

struct Standings {
  Q_DECLARE_TR_FUNCTIONS(Standings)
};

/// Fusion draws its edges a little darker than the window, which a dark window swallows, and its buttons
/// close around their words.
class EdgedFusion : public QProxyStyle {
 public:
  EdgedFusion() : QProxyStyle(QStyleFactory::create(QStringLiteral("Fusion"))) {}

  void drawPrimitive(PrimitiveElement element, const QStyleOption* option, QPainter* painter,
                     const QWidget* widget) const override {
    QProxyStyle::drawPrimitive(element, option, painter, widget);
    if (element == PE_IndicatorCheckBox || element == PE_IndicatorItemViewItemCheck ||
        element == PE_PanelLineEdit) {
      const auto* frame = qstyleoption_cast<const QStyleOptionFrame*>(option);
      if (element == PE_PanelLineEdit && frame != nullptr && frame->lineWidth <= 0) return;
      edge(option, painter, option->rect);
    }
  }

  void drawComplexControl(ComplexControl control, const QStyleOptionComplex* option, QPainter* painter,
                          const QWidget* widget) const override {
    QProxyStyle::drawComplexControl(control, option, painter, widget);
    if (control == CC_SpinBox || control == CC_ComboBox) edge(option, painter, option->rect);
  }

  QSize sizeFromContents(ContentsType type, const QStyleOption* option, const QSize& size,
                         const QWidget* widget) const override {
    QSize whole = QProxyStyle::sizeFromContents(type, option, size, widget);
    if (type == CT_PushButton) whole.rwidth() += 2 * option->fontMetrics.averageCharWidth();
    return whole;
  }

 private:
  static void edge(const QStyleOption* option, QPainter* painter, const QRect& around) {
    // The edge of what has the keyboard's focus is Fusion's own.
    if (option->state & State_HasFocus) return;
    painter->save();
    painter->setRenderHint(QPainter::Antialiasing);
    painter->setBrush(Qt::NoBrush);
    const bool enabled = option->state & State_Enabled;
    const bool dark = theme_of(option->palette) == Theme::dark;
    const auto strong = dark ? QPalette::PlaceholderText : QPalette::Dark;
    painter->setPen(QPen(option->palette.color(enabled ? strong : QPalette::Mid), 1));
    painter->drawRoundedRect(QRectF(around).adjusted(0.5, 0.5, -0.5, -0.5), 2, 2);
    painter->restore();
  }
};

QColor blend(const QColor& from, const QColor& to, double share) {
  return QColor::fromRgbF(static_cast<float>(from.redF() + share * (to.redF() - from.redF())),
                          static_cast<float>(from.greenF() + share * (to.greenF() - from.greenF())),
                          static_cast<float>(from.blueF() + share * (to.blueF() - from.blueF())));
}

}  // namespace

Theme theme_for(ThemeChoice choice) {
  if (choice == ThemeChoice::system) return system_theme();
  return choice == ThemeChoice::dark ? Theme::dark : Theme::light;
}

Theme theme_of(const QPalette& palette) {
  return palette.color(QPalette::Window).lightness() < palette.color(QPalette::WindowText).lightness()
             ? Theme::dark
             : Theme::light;
}

Theme system_theme() {
  // The palette is the system's only until apply_theme() puts another in its place.
  static const Theme first = theme_of(QGuiApplication::palette());
  return first;
}

QPalette palette_of(Theme theme) {
  const Colours& colours = colours_of(theme);
  QPalette palette;
  palette.setColor(QPalette::Window, colours.window);
  palette.setColor(QPalette::WindowText, colours.text);
  palette.setColor(QPalette::Base, colours.base);
  palette.setColor(QPalette::AlternateBase, colours.alternate);
  palette.setColor(QPalette::Text, colours.text);
  palette.setColor(QPalette::Button, colours.button);
  palette.setColor(QPalette::ButtonText, colours.text);
  palette.setColor(QPalette::BrightText, theme == Theme::dark ? Qt::white : Qt::black);
  palette.setColor(QPalette::PlaceholderText, colours.faint_text);
  palette.setColor(QPalette::Light, colours.light);
  palette.setColor(QPalette::Midlight, colours.midlight);
  palette.setColor(QPalette::Mid, colours.mid);
  palette.setColor(QPalette::Dark, colours.dark);
  palette.setColor(QPalette::Shadow, colours.shadow);
  palette.setColor(QPalette::Highlight, colours.highlight);
  palette.setColor(QPalette::HighlightedText, colours.highlighted_text);
  palette.setColor(QPalette::Link, colours.link);
  palette.setColor(QPalette::LinkVisited, colours.link_visited);
  palette.setColor(QPalette::ToolTipBase, colours.tip);
  palette.setColor(QPalette::ToolTipText, colours.tip_text);
  const QColor disabled = blend(colours.text, colours.window, 0.5);
  for (const auto role : {QPalette::WindowText, QPalette::Text, QPalette::ButtonText}) {
    palette.setColor(QPalette::Disabled, role, disabled);
  }
  palette.setColor(QPalette::Disabled, QPalette::Highlight, colours.mid);
  return palette;
}

void apply_theme(QApplication& application, Theme theme) {
  system_theme();
  const QPalette palette = palette_of(theme);
  application.setStyle(new EdgedFusion);
  application.setPalette(palette);
  // Tool tips keep a palette of their own.
  QToolTip::setPalette(palette);
}

Standing standing_of(verdict::Verdict verdict) {
  switch (verdict) {
    case verdict::Verdict::holds:
      return Standing::holds;
    case verdict::Verdict::tight:
      return Standing::tight;
    case verdict::Verdict::fails:
      break;
  }
  return Standing::fails;
}

QString sign_of(Standing standing) {
  switch (standing) {
    case Standing::holds:
      return QStringLiteral("✓");
    case Standing::tight:
      return QStringLiteral("!");
    case Standing::fails:
      return QStringLiteral("✕");
    case Standing::not_chosen:
      return QStringLiteral("○");
    case Standing::neutral:
      break;
  }
  return {};
}

QString word_of(Standing standing) {
  switch (standing) {
    case Standing::holds:
      return Standings::tr("holds");
    case Standing::tight:
      return Standings::tr("tight");
    case Standing::fails:
      return Standings::tr("fails");
    case Standing::not_chosen:
      return Standings::tr("not chosen");
    case Standing::neutral:
      break;
  }
  return {};
}

QString sign_and_word(Standing standing) {
  return QStringLiteral("%1 %2").arg(sign_of(standing), word_of(standing)).trimmed();
}

StandingLook look_of(Standing standing, Theme theme) {
  // Blue-green, amber, vermilion: hues that stay apart for red- and green-blind eyes; what fails is filled,
  // so that it stands out by lightness alone.
  const bool dark = theme == Theme::dark;
  switch (standing) {
    case Standing::holds:
      return dark
                 ? StandingLook{QColor(0x8f, 0xdc, 0xf0), QColor(0x12, 0x30, 0x38), QColor(0x2f, 0x9a, 0xb5)}
                 : StandingLook{QColor(0x0b, 0x4a, 0x5a), QColor(0xe2, 0xf2, 0xf6), QColor(0x1f, 0x85, 0x9c)};
    case Standing::tight:
      return dark
                 ? StandingLook{QColor(0xff, 0xd9, 0x7a), QColor(0x42, 0x34, 0x08), QColor(0xe0, 0xa8, 0x20)}
                 : StandingLook{QColor(0x5c, 0x3d, 0x00), QColor(0xff, 0xe9, 0xad), QColor(0xa8, 0x76, 0x00)};
    case Standing::fails:
      return dark
                 ? StandingLook{QColor(0x2a, 0x08, 0x00), QColor(0xff, 0x9a, 0x7a), QColor(0xff, 0x9a, 0x7a)}
                 : StandingLook{QColor(0xff, 0xff, 0xff), QColor(0xb0, 0x2a, 0x0c), QColor(0x8a, 0x1c, 0x04)};
    case Standing::not_chosen:
    case Standing::neutral:
      break;
  }
  const Colours& colours = colours_of(theme);
  return {colours.text, colours.base, dark ? QColor(0x8c, 0x95, 0x9f) : QColor(0x7c, 0x85, 0x8f)};
}

StandingLook greyed(const StandingLook& look, Theme theme) {
  const Colours& colours = colours_of(theme);
  // Past the middle the background is nearer to the window than to the state, so the window's own text goes
  // on it.
  return {blend(colours.text, colours.window, 0.15), blend(look.background, colours.window, 0.72),
          blend(look.edge, colours.window, 0.35)};
}

}  // namespace latchwright::desk

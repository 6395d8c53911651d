// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QApplication>
#include <QColor>
#include <QPalette>
#include <QString>

#include "desk/preferences.h"
#include "verdict/check_row.h"

// Light and dark, and how a state looks: a sign and a word first, then colours that colour-blind readers can
// tell apart too.
namespace latchwright::desk {

enum class Theme { light, dark };

/// What the system's own palette is like. Its answer stays the same after apply_theme().
Theme system_theme();
/// The Fusion style with this program's palette, for all windows and tool tips.
void apply_theme(QApplication& application, Theme theme);
/// The palette that apply_theme() sets.
QPalette palette_of(Theme theme);
/// Which of the two a palette in use belongs to.
Theme theme_of(const QPalette& palette);
/// What a preference means here and now.
Theme theme_for(ThemeChoice choice);

/// How a link, or a result, stands. neutral: there is nothing to say of it (yet).
enum class Standing { holds, tight, fails, not_chosen, neutral };
Standing standing_of(verdict::Verdict verdict);

/// "✓", "!", "✕", "○"; empty for neutral.
QString sign_of(Standing standing);
/// "holds", "tight", "fails", "not chosen"; empty for neutral.
QString word_of(Standing standing);
/// "✕ fails".
QString sign_and_word(Standing standing);

/// Colours of a state: text on background with a contrast of 4.5:1 or more, an edge that stands out from the
/// window by 3:1 or more.
struct StandingLook {
  QColor text, background, edge;
};
StandingLook look_of(Standing standing, Theme theme);
/// The same of a state that a newer result may soon replace: nearer to the window's own colours, still as
/// readable.
StandingLook greyed(const StandingLook& look, Theme theme);

}  // namespace latchwright::desk

// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/preferences.h"

#include <QFile>
#include <QFileInfo>
#include <QStringList>

#include "desk/recent_files.h"

namespace latchwright::desk {

namespace {

/// So many jobs are remembered as having had their cautions shown; an older one shows them again.
constexpr int most_cautioned = 200;

constexpr auto units_key = "units", theme_key = "theme", parts_key = "part_files",
               geometry_key = "window/geometry", state_key = "window/split", cautions_key = "cautions_shown";

QString theme_word(ThemeChoice theme) {
  if (theme == ThemeChoice::light) return "light";
  return theme == ThemeChoice::dark ? "dark" : "system";
}

}  // namespace

Preferences::Preferences(const QString& ini_file)
    : settings_(ini_file.isEmpty()
                    ? QSettings(QSettings::NativeFormat, QSettings::UserScope, "latchwright", "desk")
                    : QSettings(ini_file, QSettings::IniFormat)) {}

units::UnitSystem Preferences::units() const {
  return settings_.value(units_key).toString() == "us" ? units::UnitSystem::us : units::UnitSystem::metric;
}

void Preferences::setUnits(units::UnitSystem units) {
  settings_.setValue(units_key, units == units::UnitSystem::us ? "us" : "metric");
}

ThemeChoice Preferences::theme() const {
  const QString word = settings_.value(theme_key).toString();
  for (const ThemeChoice theme : {ThemeChoice::light, ThemeChoice::dark}) {
    if (word == theme_word(theme)) return theme;
  }
  return ThemeChoice::system;
}

void Preferences::setTheme(ThemeChoice theme) { settings_.setValue(theme_key, theme_word(theme)); }

std::vector<std::string> Preferences::partFiles() const {
  std::vector<std::string> files;
  for (const QString& path : settings_.value(parts_key).toStringList()) {
    if (!path.isEmpty()) files.push_back(QFile::encodeName(path).toStdString());
  }
  return files;
}

void Preferences::setPartFiles(const std::vector<std::string>& files) {
  QStringList list;
  for (const std::string& path : files) {
    // Read again when the program is started from another folder.
    list << QFileInfo(QFile::decodeName(QByteArray::fromStdString(path))).absoluteFilePath();
  }
  settings_.setValue(parts_key, list);
}

QByteArray Preferences::windowGeometry() const { return settings_.value(geometry_key).toByteArray(); }
void Preferences::setWindowGeometry(const QByteArray& geometry) {
  settings_.setValue(geometry_key, geometry);
}
QByteArray Preferences::splitState() const { return settings_.value(state_key).toByteArray(); }
void Preferences::setSplitState(const QByteArray& state) { settings_.setValue(state_key, state); }

bool Preferences::cautionsShown(const QString& job_path) const {
  if (job_path.isEmpty()) return false;
  return settings_.value(cautions_key).toStringList().contains(fileIdentity(job_path));
}

void Preferences::setCautionsShown(const QString& job_path) {
  if (job_path.isEmpty()) return;
  QStringList list = settings_.value(cautions_key).toStringList();
  list.removeAll(fileIdentity(job_path));
  list.prepend(fileIdentity(job_path));
  settings_.setValue(cautions_key, list.mid(0, most_cautioned));
}

}  // namespace latchwright::desk

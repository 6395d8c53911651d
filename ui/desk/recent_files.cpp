// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/recent_files.h"

#include <QFileInfo>

namespace latchwright::desk {

namespace {

constexpr auto key = "recent_files";
/// More than are shown, so that missing files do not crowd out the others.
constexpr int most_stored = 30;

}  // namespace

QString fileIdentity(const QString& path) {
  const QString canonical = QFileInfo(path).canonicalFilePath();
  return canonical.isEmpty() ? QFileInfo(path).absoluteFilePath() : canonical;
}

QStringList RecentFiles::stored() const {
  // What other programs wrote meanwhile.
  settings_.sync();
  return settings_.value(key).toStringList();
}

QStringList RecentFiles::shown() const {
  QStringList list, seen;
  for (const QString& path : stored()) {
    if (list.size() == most_shown) break;
    if (!QFileInfo(path).isFile() || seen.contains(fileIdentity(path))) continue;
    seen << fileIdentity(path);
    list << path;
  }
  return list;
}

void RecentFiles::add(const QString& path) {
  QStringList list = stored();
  const QString own = fileIdentity(path);
  list.removeIf([&](const QString& other) { return fileIdentity(other) == own; });
  list.prepend(QFileInfo(path).absoluteFilePath());
  settings_.setValue(key, list.mid(0, most_stored));
}

void RecentFiles::clear() { settings_.remove(key); }

}  // namespace latchwright::desk

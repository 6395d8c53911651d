// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QSettings>
#include <QString>
#include <QStringList>

namespace latchwright::desk {

/// Two names of one file are the same here (links, dots); a missing file goes by its absolute path.
QString fileIdentity(const QString& path);

/// The job files that were open last, kept in the settings, so that windows and programs share them.
class RecentFiles {
 public:
  static constexpr int most_shown = 10;

  /// The settings must live longer.
  explicit RecentFiles(QSettings& settings) : settings_(settings) {}

  /// Newest first, at most most_shown, each file once, only those that are there now: a file on a drive that
  /// is not plugged in comes back with it.
  QStringList shown() const;
  /// Puts a file first.
  void add(const QString& path);
  void clear();

 private:
  QStringList stored() const;
  QSettings& settings_;
};

}  // namespace latchwright::desk

// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QByteArray>
#include <QSettings>
#include <QString>
#include <string>
#include <vector>

#include "units/shown_unit.h"

namespace latchwright::desk {

enum class ThemeChoice { system, light, dark };

/// What the window remembers from one time to the next. A setting that holds nonsense counts as not set.
class Preferences {
 public:
  /// The user's own settings ("latchwright", "desk"), or those of an ini file.
  explicit Preferences(const QString& ini_file = {});

  /// Metric unless chosen otherwise.
  units::UnitSystem units() const;
  void setUnits(units::UnitSystem units);
  /// As the system has it unless chosen otherwise.
  ThemeChoice theme() const;
  void setTheme(ThemeChoice theme);
  /// The user's own part files, in the order in which they are read.
  std::vector<std::string> partFiles() const;
  void setPartFiles(const std::vector<std::string>& files);
  /// As QWidget::saveGeometry() and QSplitter::saveState() give them; empty: not set.
  QByteArray windowGeometry() const;
  void setWindowGeometry(const QByteArray& geometry);
  QByteArray splitState() const;
  void setSplitState(const QByteArray& state);
  /// Whether the cautions were shown for this job file. Never true of a job without a file.
  bool cautionsShown(const QString& job_path) const;
  void setCautionsShown(const QString& job_path);

  /// For RecentFiles.
  QSettings& settings() { return settings_; }

 private:
  mutable QSettings settings_;
};

}  // namespace latchwright::desk

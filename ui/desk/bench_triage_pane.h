// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QComboBox>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QScrollArea>
#include <QTimer>
#include <map>
#include <optional>

#include "bench/triage.h"
#include "desk/bench_subject.h"
#include "desk/flat_table.h"
#include "desk/latest_task.h"
#include "desk/wrapped_text.h"

class QGridLayout;

namespace latchwright::desk {

/// "waiting to cool", for people.
QString state_words(bench::State state);
/// "94 %"; "under 1 %" where it is not nothing.
QString percent_text(double share);

/// Is it dead or only waiting? A short conversation: what to read next and why, one row a reading, each of
/// which may stay empty, and what may be the matter, likeliest first. Computed off the interface's thread
/// while somebody types; nothing changes the job.
class BenchTriagePane : public QWidget {
  Q_OBJECT

 public:
  explicit BenchTriagePane(QWidget* parent = nullptr);
  /// What lies on the bench; its ambient counts as read.
  void setSubject(const BenchSubject& subject);
  /// What has been typed and chosen so far, as far as it is lawful.
  const bench::Readings& readings() const { return readings_; }
  /// Field of a reading by its key ("leads", ..., "on", "gap"); null: chosen from a few words.
  QLineEdit* field(const QString& key) const;
  /// "moves", "frees".
  QComboBox* choice(const QString& key) const;
  QPushButton* next() const { return next_; }
  FlatTable& states() { return *states_; }
  /// Of the readings as they are; none while it is computed.
  const std::optional<bench::Triage>& triage() const { return triage_; }
  bool isCurrent() const { return triage_ && !task_.isRunning() && !typing_.isActive(); }
  void clear();

 private:
  /// Of a typed reading: where it goes, and what is permitted.
  struct Number {
    const model::FieldInfo* info = nullptr;  ///< its row: unit, range, meaning
    QLineEdit* line = nullptr;
  };
  struct Row {
    QLabel* name = nullptr;
    QLabel* note = nullptr;
    QString hint;
    QWidget* entry = nullptr;
  };
  QWidget* makeRows();
  Row& addRow(QGridLayout* grid, const QString& key, const QString& name, const QString& meaning,
              QWidget* entry, const QString& unit);
  /// when_empty: what the field says while nothing stands in it.
  void addNumber(QGridLayout* grid, const QString& key, const QString& name, const QString& when_empty,
                 const QString& hint = {});
  void addChoice(QGridLayout* grid, const QString& key, const QString& name, const QString& meaning,
                 const QStringList& words);
  /// The number of a field; a fault is told beside it.
  std::optional<double> numberOf(const QString& key);
  void takeReadings();
  void compute();
  void show(bench::Triage triage);
  void showNext();
  void showStates();
  void showWait();

  LatestTask task_;
  QTimer typing_;  // a number has several digits
  BenchSubject subject_;
  bench::Readings readings_;
  std::optional<bench::Triage> triage_;
  std::map<QString, Number> numbers_;
  std::map<QString, QComboBox*> choices_;
  std::map<QString, Row> rows_;
  QLabel* mark_;
  QPushButton* next_;
  WrappedText* next_why_;
  FlatTable* states_;
  WrappedText* hardly_;
  WrappedText* wait_;
  QLabel* remarks_;
};

}  // namespace latchwright::desk

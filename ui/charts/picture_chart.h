// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QFont>
#include <QtCharts/QChart>
#include <memory>
#include <set>

#include "charts/chart.h"
#include "charts/legend.h"
#include "charts/place_labels.h"
#include "charts/thin.h"

namespace latchwright::charts {

/// The chart of a picture: Qt Charts' axes, lines and bands, and what Qt Charts has no place for: title,
/// condition and note that wrap, a legend with one entry a name that may take several rows, marks of any
/// shape and their labels, numbers between the decades.
class PictureChart : public QChart {
 public:
  PictureChart(const report::Picture& picture, const Style& style, const QFont& font);
  ~PictureChart() override;

  /// In the units that are shown.
  const report::Picture& shown() const { return picture_; }
  bool isEmpty() const { return empty_; }
  /// As they stand below the picture now; labels without room beside their marks are among them.
  const std::vector<LegendEntry>& legendEntries() const { return legend_now_; }
  /// Where the labels of the marks are; none: in the legend.
  std::vector<std::optional<QRectF>> labelPlaces() const;
  /// Height in which words, legend and a plot of a fair size find room at this width.
  double leastHeight(double width) const;
  /// What is at a point of the chart, for a tool tip: a mark, a line, or the values of the axes.
  QString textAt(const QPointF& point) const;

 protected:
  void resizeEvent(QGraphicsSceneResizeEvent* event) override;

 private:
  friend class PictureOverlay;

  struct DrawnLine {
    const report::PictureLine* line;
    Run run;
  };
  struct DrawnMark {
    const report::PictureMarks* marks;
    QPointF value;
    QString label;
    std::optional<Placed> place;  ///< of the label
    bool in_legend = false;
  };

  void addAxes(const Scale& across, const Scale& up, const Scale& right);
  void addAllSeries();
  void addBands();
  void addLimits();
  void addLines();
  void addMarks();
  void attach(QAbstractSeries& series, bool right);
  /// What of the picture has a part within the axes, without its figures: for the legend.
  report::Picture drawnNames() const;
  const Span& spanOf(const report::PictureLimit& limit) const;

  /// Room above and below the plot for this width.
  void makeRoom();
  void placeLabels();
  QPointF position(const QPointF& value, bool right) const;
  QPointF value(const QPointF& position, bool right) const;
  QRectF textRect(const QString& text, const QFont& font, double top) const;
  QString valuesText(const QString& name, const QPointF& value, bool right) const;

  void draw(QPainter& painter) const;
  void drawWords(QPainter& painter) const;
  void drawMarks(QPainter& painter) const;
  void drawNumbers(QPainter& painter) const;
  void drawAxisWords(QPainter& painter) const;

  report::Picture picture_;
  Style style_;
  QFont font_, title_font_, small_font_;
  bool empty_ = false;
  Span across_, up_, right_;
  QAbstractAxis* across_axis_ = nullptr;
  QAbstractAxis* up_axis_ = nullptr;
  QAbstractAxis* right_axis_ = nullptr;
  std::vector<DrawnLine> lines_;
  std::vector<Run> band_edges_;
  std::vector<DrawnMark> marks_;
  std::vector<LegendEntry> legend_, legend_now_;
  LegendLayout legend_layout_;
  QRectF title_rect_, condition_rect_, note_rect_;
  QPointF legend_corner_;
  QGraphicsItem* overlay_ = nullptr;
};

/// make_chart with a font other than the application's.
std::unique_ptr<PictureChart> make_picture_chart(const report::Picture& picture, const Style& style,
                                                 const QFont& font);

}  // namespace latchwright::charts

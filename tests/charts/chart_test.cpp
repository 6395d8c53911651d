// SPDX-License-Identifier: GPL-3.0-or-later
#include <QGraphicsScene>
#include <QGuiApplication>
#include <QtCharts/QAreaSeries>
#include <QtCharts/QCategoryAxis>
#include <QtCharts/QLineSeries>
#include <QtCharts/QLogValueAxis>
#include <QtCharts/QScatterSeries>
#include <QtCharts/QValueAxis>
#include <catch2/catch.hpp>
#include <cmath>

#include "charts/chart.h"
#include "charts/picture_chart.h"
#include "qt_text.h"
#include "sample_pictures.h"

using namespace latchwright;
using charts::Style;

namespace {

constexpr Style us_style{false, units::UnitSystem::us};

template <class Series>
QList<Series*> series_of(const QChart& chart) {
  QList<Series*> found;
  for (auto* one : chart.series()) {
    if (auto* typed = dynamic_cast<Series*>(one)) found.push_back(typed);
  }
  return found;
}

QLineSeries* line_named(const QChart& chart, const QString& name) {
  for (auto* line : series_of<QLineSeries>(chart)) {
    if (line->name() == name) return line;
  }
  return nullptr;
}

template <class AxisType>
AxisType* axis_at(const QChart& chart, Qt::Alignment side) {
  for (auto* axis : chart.axes()) {
    if (axis->alignment() == side) return dynamic_cast<AxisType*>(axis);
  }
  return nullptr;
}

/// A chart laid out in a scene, as in a window of that size.
struct Shown {
  QGraphicsScene scene;
  charts::PictureChart* chart;

  Shown(const report::Picture& picture, const QSizeF& size, const Style& style = {}) {
    QFont font = QGuiApplication::font();
    font.setPixelSize(13);
    chart = charts::make_picture_chart(picture, style, font).release();
    scene.addItem(chart);
    chart->resize(size);
  }
  QStringList legend() const {
    QStringList names;
    for (const auto& entry : chart->legendEntries()) names.push_back(entry.name);
    return names;
  }
};

}  // namespace

TEST_CASE("chart: lines with names values and strokes") {
  const auto chart = charts::make_chart(tests::small_picture(), {});
  CHECK(chart->objectName() == "small");
  const auto* front = line_named(*chart, "front left");
  const auto* tailgate = line_named(*chart, "tailgate");
  REQUIRE(front != nullptr);
  REQUIRE(tailgate != nullptr);
  CHECK(front->points() == QList<QPointF>{{0, 20}, {10, 60}, {20, 100}});
  CHECK(tailgate->points() == QList<QPointF>{{0, 20}, {10, 40}, {20, 80}});
  CHECK(front->pen().style() == Qt::SolidLine);
  CHECK(tailgate->pen().style() == Qt::CustomDashLine);
  CHECK(front->pen().color() != tailgate->pen().color());
  const auto scatters = series_of<QScatterSeries>(*chart);
  REQUIRE(scatters.size() == 1);
  CHECK(scatters[0]->points() == QList<QPointF>{{10, 60}});
}

TEST_CASE("chart: axes with titles units and ranges") {
  const auto chart = charts::make_chart(tests::small_picture(), {});
  const auto* across = axis_at<QValueAxis>(*chart, Qt::AlignBottom);
  const auto* up = axis_at<QValueAxis>(*chart, Qt::AlignLeft);
  REQUIRE(across != nullptr);
  REQUIRE(up != nullptr);
  CHECK(across->titleText() == "time, s");
  CHECK(up->titleText() == "winding, °C");
  CHECK(across->min() == 0);
  CHECK(across->max() == 20);
  CHECK(up->min() == 20);
  CHECK(up->max() >= 120);
  CHECK(axis_at<QAbstractAxis>(*chart, Qt::AlignRight) == nullptr);
  // The limit runs from end to end.
  const auto* limit = line_named(*chart, "winding class");
  REQUIRE(limit != nullptr);
  CHECK(limit->points() == QList<QPointF>{{0, 120}, {20, 120}});
}

TEST_CASE("chart: US customary units in values titles ends and limits") {
  report::Picture picture = tests::small_picture();
  picture.up.low = 0;
  picture.up.high = 150;
  const auto chart = charts::make_chart(picture, us_style);
  const auto* up = axis_at<QValueAxis>(*chart, Qt::AlignLeft);
  REQUIRE(up != nullptr);
  CHECK(up->titleText() == "winding, °F");
  CHECK(axis_at<QValueAxis>(*chart, Qt::AlignBottom)->titleText() == "time, s");
  // 20, 60, 100 °C by the definition of the Fahrenheit scale.
  const auto points = line_named(*chart, "front left")->points();
  CHECK(points[0].y() == Approx(68));
  CHECK(points[1].y() == Approx(140));
  CHECK(points[2].y() == Approx(212));
  CHECK(line_named(*chart, "winding class")->at(0).y() == Approx(248));
  CHECK(up->min() == Approx(32));
  CHECK(up->max() == Approx(302));
  const Shown shown(picture, {800, 500}, us_style);
  CHECK(shown.legend().contains("winding class: 248 °F"));
}

TEST_CASE("chart: a right axis has its own lines and limits") {
  const auto chart = charts::make_chart(tests::throw_picture(), us_style);
  auto* right = axis_at<QValueAxis>(*chart, Qt::AlignRight);
  auto* left = axis_at<QValueAxis>(*chart, Qt::AlignLeft);
  REQUIRE(right != nullptr);
  CHECK(right->titleText() == "current, A");
  CHECK(left->titleText() == "travel of the rod, in");
  CHECK(line_named(*chart, "current")->attachedAxes().contains(right));
  CHECK(line_named(*chart, "at standstill")->attachedAxes().contains(right));
  CHECK(line_named(*chart, "travel of the rod")->attachedAxes().contains(left));
  // 22 mm by the definition of the inch.
  CHECK(line_named(*chart, "travel of the rod")->points().back().y() == Approx(22 / 25.4));
  CHECK(line_named(*chart, "current")->points().back().y() == Approx(4.9));
}

TEST_CASE("chart: logarithmic axes and bands") {
  const auto chart = charts::make_chart(tests::time_current_picture(), {});
  const auto* across = axis_at<QLogValueAxis>(*chart, Qt::AlignBottom);
  const auto* up = axis_at<QLogValueAxis>(*chart, Qt::AlignLeft);
  REQUIRE(across != nullptr);
  REQUIRE(up != nullptr);
  CHECK(across->base() == 10);
  CHECK(up->max() == Approx(3600).epsilon(0.002));
  // Numbers of decades in full.
  CHECK(QString::asprintf(qPrintable(across->labelFormat()), 1000.0) == "1000");
  CHECK(QString::asprintf(qPrintable(across->labelFormat()), 0.001) == "0.001");
  CHECK(QString::asprintf(qPrintable(across->labelFormat()), 1e6) == "1000000");
  const auto bands = series_of<QAreaSeries>(*chart);
  REQUIRE(bands.size() == 2);
  CHECK(bands[0]->name() == "main fuse, 30 A");
  CHECK(bands[0]->upperSeries()->points().contains(QPointF(60, 5)));
  CHECK(bands[0]->lowerSeries()->points().contains(QPointF(60, 0.15)));
}

TEST_CASE("chart: an axis of words is read from the top") {
  const report::Picture picture = tests::margins_picture();
  const auto chart = charts::make_chart(picture, us_style);
  auto* words = axis_at<QCategoryAxis>(*chart, Qt::AlignLeft);
  REQUIRE(words != nullptr);
  CHECK(words->isReverse());
  CHECK(words->categoriesLabels().size() == static_cast<qsizetype>(picture.up.words.size()));
  CHECK(words->categoriesLabels().front().toStdString() == picture.up.words.front());
  CHECK(words->min() == -0.5);
  CHECK(words->max() == 13.5);
  const Shown shown(picture, {1280, 800});
  const auto places = shown.chart->labelPlaces();
  REQUIRE(places.size() == 14);
  // "tight" comes second: its first mark is the first word's, above that of the second word, the first of
  // "holds".
  const std::size_t first_tight = picture.marks[0].x.size();
  REQUIRE(places[first_tight]);
  REQUIRE(places[0]);
  CHECK(places[first_tight]->center().y() < places[0]->center().y());
}

TEST_CASE("chart: values that cannot be shown are gaps") {
  const auto chart = charts::make_chart(tests::odd_picture(), {});
  QList<QList<QPointF>> gap;
  for (const auto* line : series_of<QLineSeries>(*chart)) {
    if (line->name() == "gap") gap.push_back(line->points());
    for (const auto& point : line->points()) CHECK(std::isfinite(point.x() + point.y()));
  }
  CHECK(gap == QList<QList<QPointF>>{{{1, 1}, {2, 2}}, {{4, 4}}});
  CHECK(series_of<QScatterSeries>(*chart)[0]->points() == QList<QPointF>{{2, 1.5}});
  // What is nowhere drawn has no entry.
  const Shown shown(tests::odd_picture(), {640, 400});
  CHECK(shown.legend() == QStringList{"gap", "uneven"});
}

TEST_CASE("chart: nothing to draw says so and draws") {
  report::Picture picture;
  picture.title = "Empty";
  picture.lines = {tests::line("nothing", {}, {})};
  picture.limits = {tests::limit("limit", 5, 0, report::Stroke::dashed)};
  const Shown shown(picture, {640, 400});
  CHECK(shown.chart->isEmpty());
  CHECK(shown.chart->series().isEmpty());
  CHECK(shown.legend().isEmpty());
  CHECK_FALSE(Shown(tests::small_picture(), {640, 400}).chart->isEmpty());
}

TEST_CASE("chart: a legend has one entry a name") {
  report::Picture picture = tests::small_picture();
  picture.lines.push_back(tests::line("front left", {5, 6}, {30, 40}, 3));
  picture.lines.push_back(tests::line("", {5, 6}, {30, 40}));
  picture.marks.push_back(tests::marks("front left", {5}, {30}, {}, 0, report::Shape::square));
  picture.limits.push_back(tests::limit("winding class", 130, 1, report::Stroke::dashed));
  const Shown shown(picture, {1000, 600});
  CHECK(shown.legend() ==
        QStringList{"front left", "tailgate", "missed throw", "winding class: 120 °C, 130 °C"});
  const auto& first = shown.chart->legendEntries().front();
  CHECK(first.stroke == report::Stroke::solid);
  CHECK(first.shape == report::Shape::square);
  CHECK_FALSE(first.hue.has_value());  // two subjects
}

TEST_CASE("chart: labels cover neither each other nor marks") {
  for (const QSizeF size : {QSizeF(1280, 800), QSizeF(520, 340)}) {
    const Shown shown(tests::cycling_picture(), size);
    std::vector<QRectF> rects;
    for (const auto& place : shown.chart->labelPlaces()) {
      if (place) rects.push_back(*place);
    }
    CHECK(rects.size() >= 2);
    for (std::size_t a = 0; a < rects.size(); ++a) {
      CHECK(shown.chart->plotArea().contains(rects[a]));
      for (std::size_t b = a + 1; b < rects.size(); ++b) CHECK_FALSE(rects[a].intersects(rects[b]));
    }
  }
}

TEST_CASE("chart: labels without room go into the legend") {
  report::Picture picture = tests::small_picture();
  picture.marks = {tests::marks("trips", {}, {}, {}, 0, report::Shape::circle)};
  for (int k = 0; k < 40; ++k) {
    picture.marks[0].x.push_back(10);
    picture.marks[0].y.push_back(60);
    picture.marks[0].labels.push_back("a label of some length (" + std::to_string(k) + ")");
  }
  const Shown shown(picture, {420, 320});
  const auto places = shown.chart->labelPlaces();
  const auto placed =
      std::count_if(places.begin(), places.end(), [](const auto& place) { return place.has_value(); });
  CHECK(placed < 40);
  CHECK(placed > 0);
  const QString listed = shown.legend().join('\n');
  for (std::size_t k = 0; k < places.size(); ++k) {
    INFO(k);
    CHECK(listed.contains(QString("(%1)").arg(k)) != places[k].has_value());
  }
}

TEST_CASE("chart: a tool tip tells name and values") {
  const Shown shown(tests::small_picture(), {800, 500});
  const QRectF area = shown.chart->plotArea();
  const auto* up = axis_at<QValueAxis>(*shown.chart, Qt::AlignLeft);
  const auto at = [&](double time, double winding) {
    return QPointF(area.left() + area.width() * time / 20,
                   area.bottom() - area.height() * (winding - up->min()) / (up->max() - up->min()));
  };
  CHECK(shown.chart->textAt(at(10, 60)) == "missed throw\nthrow 3\ntime: 10.0 s\nwinding: 60.0 °C");
  CHECK(shown.chart->textAt(at(15, 60)) == "tailgate\ntime: 15.0 s\nwinding: 60.0 °C");
  CHECK(shown.chart->textAt(at(2, 100)) == "time: 2.00 s\nwinding: 100 °C");
  CHECK(shown.chart->textAt(area.topLeft() - QPointF(5, 5)).isEmpty());
}

// SPDX-License-Identifier: GPL-3.0-or-later
#include <QAction>
#include <QClipboard>
#include <QContextMenuEvent>
#include <QGuiApplication>
#include <QMenu>
#include <QSignalSpy>
#include <catch2/catch.hpp>

#include "charts/picture_view.h"
#include "qt_text.h"
#include "sample_pictures.h"

using namespace latchwright;
using charts::PictureView;

TEST_CASE("view: names itself for screen readers") {
  PictureView view;
  CHECK_FALSE(view.picture().has_value());
  CHECK(view.textAt({10, 10}).isEmpty());
  view.setPicture(tests::small_picture(), {});
  CHECK(view.accessibleName() == "Temperatures while locking again and again");
  CHECK(view.accessibleDescription().startsWith("condition (12.6 V, 80 °C)"));
  REQUIRE(view.picture().has_value());
  CHECK(view.picture()->key == "small");
  view.setPicture(tests::throw_picture(), {true, units::UnitSystem::us});
  CHECK(view.accessibleName() == "One throw of tailgate");
}

TEST_CASE("view: tells the values under the pointer") {
  PictureView view;
  view.resize(800, 500);
  view.setPicture(tests::small_picture(), {});
  view.show();
  CHECK(view.textAt(view.rect().center()).contains("time: "));
  CHECK(view.textAt({1, 1}).isEmpty());
}

TEST_CASE("view: a menu to save and to copy") {
  PictureView view;
  view.resize(400, 300);
  view.setPicture(tests::small_picture(), {});
  view.show();
  QSignalSpy saves(&view, &PictureView::saveRequested);
  QContextMenuEvent event(QContextMenuEvent::Keyboard, {50, 50}, view.mapToGlobal(QPoint(50, 50)));
  QCoreApplication::sendEvent(view.viewport(), &event);
  auto* menu = view.findChild<QMenu*>();
  REQUIRE(menu != nullptr);
  REQUIRE(menu->actions().size() == 2);
  menu->actions()[0]->trigger();
  CHECK(saves.count() == 1);
  QGuiApplication::clipboard()->clear();
  menu->actions()[1]->trigger();
  CHECK(QGuiApplication::clipboard()->image().size() == QSize(800, 600));
  menu->close();
}

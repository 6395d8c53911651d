// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QWidget>
#include <vector>

#include "desk/link_button.h"
#include "desk/wrapped_text.h"

namespace latchwright::desk {

/// The doors' part of the run: the wire that branches, a row of four links for each door. Where the wire
/// comes in is told by whoever holds it.
class DoorRows : public QWidget {
  Q_OBJECT

 public:
  explicit DoorRows(QWidget* parent);

  /// Where things go, in pixels of this widget.
  struct Places {
    int bus = 0;   ///< x of the branching wire
    int name = 0;  ///< x of the names
    int name_width = 0;
    int links = 0;  ///< x of the first link
    int link_width = 0;
    int gap = 0;      ///< between links
    int row = 0;      ///< height of a row
    int between = 0;  ///< between rows
    int entry = -1;   ///< y at which the feed comes in from the left; -1: from above
  };
  void setDoors(const QStringList& names);
  /// The links of a door, in the order along the wire, are children of this widget.
  void setLinks(std::vector<LinkButton*> links) { links_ = std::move(links); }
  void arrange(const Places& places);
  void setEntry(int entry);

 protected:
  void paintEvent(QPaintEvent* event) override;

 private:
  std::vector<WrappedText*> names_;
  std::vector<LinkButton*> links_;  // four a door
  Places places_;
};

/// Wires of the run.
QPen wire_pen(const QWidget& widget);

}  // namespace latchwright::desk

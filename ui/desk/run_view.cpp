// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/run_view.h"

#include <QKeyEvent>
#include <QPainter>
#include <QScrollBar>
#include <algorithm>

#include "base/text.h"
#include "desk/door_rows.h"
#include "desk/row_words.h"
#include "report/check_words.h"

namespace latchwright::desk {

using report::Link;
using report::LinkKind;
using report::LinkState;

namespace {

constexpr std::size_t trunk = 4;       // links before the doors
constexpr std::size_t most_shown = 6;  // rows without scrolling
constexpr int straight_link_em = 24;   // what a link needs before the wire may run straight

bool is_door_link(LinkKind kind) { return kind >= LinkKind::door_run; }

/// Which column a link stands in, on its own side of the relay.
std::size_t column_of(LinkKind kind) { return static_cast<std::size_t>(kind) % trunk; }

LinkKind kind_at(bool of_door, std::size_t column) {
  return static_cast<LinkKind>(column + (of_door ? trunk : 0));
}

}  // namespace

RunView::RunView(QWidget* parent)
    : QWidget(parent),
      title_(new QLabel(tr("The run"), this)),
      mark_(new QLabel(tr("computing…"), this)),
      scroll_(new QScrollArea(this)),
      rows_(new DoorRows(scroll_)) {
  setAccessibleName(tr("the run"));
  setAccessibleDescription(
      tr("The circuit from the battery to the rods. Arrow keys walk along the wire and from door to door, "
         "Enter shows a link's numbers and pictures."));
  setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
  QFont bold = title_->font();
  bold.setBold(true);
  title_->setFont(bold);
  mark_->setForegroundRole(QPalette::PlaceholderText);
  mark_->setToolTip(
      tr("A newer verdict over all corners is being computed; what stands here is the last one."));
  mark_->hide();
  scroll_->setWidget(rows_);
  scroll_->setFrameShape(QFrame::NoFrame);
  scroll_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
  scroll_->setFocusPolicy(Qt::NoFocus);
  scroll_->setAccessibleName(tr("doors"));
  scroll_->viewport()->setAutoFillBackground(false);
  rows_->setAutoFillBackground(false);
  scroll_->hide();
  connect(scroll_->verticalScrollBar(), &QScrollBar::valueChanged, this, [this] { arrange(); });
}

std::size_t RunView::doors() const { return states_.size() < trunk ? 0 : (states_.size() - trunk) / trunk; }

void RunView::setVerdict(const VerdictState& verdict, units::UnitSystem units) {
  verdict_ = verdict;
  units_ = units;
  setStates(verdict.study ? report::run_links(*verdict.study, verdict.examined.get())
                          : std::vector<LinkState>{});
}

void RunView::setStates(std::vector<LinkState> states) {
  const auto same =
      std::equal(states.begin(), states.end(), states_.begin(), states_.end(),
                 [](const LinkState& a, const LinkState& b) { return a.link == b.link && a.name == b.name; });
  states_ = std::move(states);
  if (!same) rebuild();
  const bool computing = verdict_.study && verdict_.study->complete() && !verdict_.current;
  mark_->setVisible(computing && !states_.empty());
  for (std::size_t k = 0; k < states_.size(); ++k) {
    const LinkState& state = states_[k];
    LinkButton* button = buttons_[k];
    button->setFace(faceOf(state));
    button->setChecked(state.link == chosen_);
    const QString part = partWords(state), name = QString::fromStdString(state.name);
    button->setAccessibleName(part.isEmpty() ? tr("%1: %2").arg(name, stateWords(state))
                                             : tr("%1, %2: %3").arg(name, part, stateWords(state)));
    const QString full = fullWords(state);
    button->setAccessibleDescription(full);
    button->setToolTip(tip_text(full));
  }
}

void RunView::rebuild() {
  const bool had_focus = tab_stop_ != nullptr && tab_stop_->hasFocus();
  const std::optional<Link> stood = tab_stop_ ? std::optional(tab_stop_->link()) : std::nullopt;
  setFocusProxy(nullptr);
  for (LinkButton* button : buttons_) delete button;
  buttons_.clear();
  tab_stop_ = nullptr;
  door_names_.clear();
  for (std::size_t door = 0; door < doors(); ++door) {
    // "door run, tailgate": the study is not asked, so that states can come without one.
    const std::string& name = states_[trunk + trunk * door].name;
    const auto comma = name.find(", ");
    door_names_ << QString::fromStdString(comma == std::string::npos ? name : name.substr(comma + 2));
  }
  rows_->setDoors(door_names_);
  for (const LinkState& state : states_) {
    auto* button = new LinkButton(state.link, is_door_link(state.link.kind) ? static_cast<QWidget*>(rows_)
                                                                            : static_cast<QWidget*>(this));
    button->installEventFilter(this);
    connect(button, &LinkButton::clicked, this, [this, link = state.link] {
      setChosen(link);
      Q_EMIT linkChosen(link);
    });
    buttons_.push_back(button);
    button->show();
  }
  rows_->setLinks(doors() == 0 ? std::vector<LinkButton*>{}
                               : std::vector<LinkButton*>(buttons_.begin() + trunk, buttons_.end()));
  scroll_->setVisible(doors() > 0);
  // New widgets come last in the window's tab order; these belong where the run stands. Qt orders only what
  // can have the focus.
  scroll_->setFocusPolicy(Qt::TabFocus);
  QWidget* last = scroll_;
  for (LinkButton* each : buttons_) {
    setTabOrder(last, each);
    last = each;
  }
  scroll_->setFocusPolicy(Qt::NoFocus);
  LinkButton* stop = stood ? button(*stood) : nullptr;
  if (stop == nullptr) stop = button(chosen_);
  if (stop == nullptr && !buttons_.empty()) stop = buttons_.front();
  moveTabStop(stop);
  if (had_focus && stop != nullptr) stop->setFocus(Qt::OtherFocusReason);
  updateGeometry();
  arrange();
}

void RunView::setChosen(const Link& link) {
  chosen_ = link;
  for (LinkButton* each : buttons_) each->setChecked(each->link() == link);
  if (LinkButton* to = button(link)) {
    const bool walks_elsewhere = tab_stop_ != nullptr && tab_stop_->hasFocus();
    if (!walks_elsewhere) moveTabStop(to);
    if (is_door_link(link.kind)) scroll_->ensureWidgetVisible(to, 0, lengths().between);
  }
}

LinkButton* RunView::button(const Link& link) const {
  const auto found = std::find_if(buttons_.begin(), buttons_.end(),
                                  [&](const LinkButton* each) { return each->link() == link; });
  return found == buttons_.end() ? nullptr : *found;
}

const verdict::CheckRow* RunView::worstOf(const LinkState& state) const {
  if (!state.worst || !verdict_.examined || *state.worst >= verdict_.examined->worst.size()) return nullptr;
  return &verdict_.examined->worst[*state.worst];
}

QString RunView::partWords(const LinkState& state) const {
  // The state's own word says it.
  if (!state.chosen && state.part == "not chosen") return {};
  return part_words(state, units_);
}

QString RunView::stateWords(const LinkState& state) const {
  if (!state.chosen) return word_of(Standing::not_chosen);
  if (const auto* row = worstOf(state)) return word_of(standing_of(row->verdict));
  if (state.link.kind == LinkKind::battery) return tr("given");
  if (verdict_.study && !verdict_.study->complete()) {
    return state.link.kind == LinkKind::rod ? tr("given") : tr("chosen");
  }
  return verdict_.examined ? tr("not checked") : tr("not checked yet");
}

LinkFace RunView::faceOf(const LinkState& state) const {
  LinkFace face;
  face.kind = kind_words(state.link.kind);
  const QString word = stateWords(state);
  face.state = {word};
  face.greyed = verdict_.examined && !verdict_.current;
  face.part = partWords(state);
  if (!state.chosen) {
    face.standing = Standing::not_chosen;
    return face;
  }
  if (const auto* row = worstOf(state)) {
    face.standing = standing_of(row->verdict);
    if (row->margin) {
      face.state.prepend(
          tr("%1 · margin %2").arg(word, QString::fromStdString(report::margin_text(row->margin))));
    }
    if (row->verdict != verdict::Verdict::holds) {
      face.state.prepend(tr("%1: %2").arg(word, have_and_need_words(*row, units_)));
    }
  }
  return face;
}

QString RunView::fullWords(const LinkState& state) const {
  const QString name = QString::fromStdString(state.name);
  const QString part = partWords(state);
  QStringList lines{part.isEmpty() ? name : tr("%1: %2").arg(name, part)};
  if (const auto* row = worstOf(state); row != nullptr && verdict_.study) {
    lines << tr("weakest here: %1").arg(row_words(*verdict_.study, *row, units_));
    if (state.rows.size() > 1) lines << tr("checks of this link: %1").arg(state.rows.size());
  } else if (state.chosen && state.link.kind == LinkKind::battery) {
    lines << tr("The job gives the battery; no check is about it alone.");
  } else {
    lines << stateWords(state);
  }
  return lines.join(u'\n');
}

LinkButton* RunView::neighbour(const Link& from, int key) const {
  const bool of_door = is_door_link(from.kind);
  const std::size_t column = column_of(from.kind);
  switch (key) {
    case Qt::Key_Left:
      if (column > 0) return button({kind_at(of_door, column - 1), from.door});
      return of_door ? button({LinkKind::relay}) : nullptr;
    case Qt::Key_Right:
      if (column + 1 < trunk) return button({kind_at(of_door, column + 1), from.door});
      return of_door || doors() == 0 ? nullptr
                                     : button({LinkKind::door_run, std::min(last_door_, doors() - 1)});
    case Qt::Key_Up:
      if (!of_door) return nullptr;
      if (from.door > 0) return button({from.kind, from.door - 1});
      return isStraight() ? nullptr : button({kind_at(false, column)});
    case Qt::Key_Down:
      if (of_door) return button({from.kind, from.door + 1});
      return isStraight() ? nullptr : button({kind_at(true, column), 0});
    case Qt::Key_Home:
      return button({LinkKind::battery});
    case Qt::Key_End:
      return button({LinkKind::rod, of_door ? from.door : std::min(last_door_, doors() - 1)});
    default:
      return nullptr;
  }
}

void RunView::moveTabStop(LinkButton* to) {
  if (tab_stop_ != nullptr) tab_stop_->setFocusPolicy(Qt::ClickFocus);
  tab_stop_ = to;
  if (to != nullptr) to->setFocusPolicy(Qt::StrongFocus);
  setFocusProxy(to);
}

bool RunView::eventFilter(QObject* watched, QEvent* event) {
  auto* at = qobject_cast<LinkButton*>(watched);
  if (at == nullptr) return QWidget::eventFilter(watched, event);
  if (event->type() == QEvent::KeyPress) {
    const int key = static_cast<QKeyEvent*>(event)->key();
    static constexpr int walking[] = {Qt::Key_Left, Qt::Key_Right, Qt::Key_Up,
                                      Qt::Key_Down, Qt::Key_Home,  Qt::Key_End};
    if (std::find(std::begin(walking), std::end(walking), key) != std::end(walking)) {
      if (LinkButton* to = neighbour(at->link(), key)) to->setFocus(Qt::OtherFocusReason);
      return true;
    }
  } else if (event->type() == QEvent::FocusIn) {
    moveTabStop(at);
    if (is_door_link(at->link().kind)) {
      last_door_ = at->link().door;
      scroll_->ensureWidgetVisible(at, 0, lengths().between);
    }
  }
  return QWidget::eventFilter(watched, event);
}

RunView::Lengths RunView::lengths() const {
  Lengths lengths{};
  lengths.em = std::max(1, fontMetrics().averageCharWidth());
  lengths.gap = 2 * lengths.em;
  // All rows are as high as one, whatever they say.
  lengths.row = buttons_.empty() ? 2 * fontMetrics().height() : buttons_.front()->sizeHint().height();
  lengths.between = std::max(3, fontMetrics().height() / 4);
  lengths.title = title_->sizeHint().height();
  for (const QString& name : door_names_) {
    lengths.name = std::max(lengths.name, fontMetrics().horizontalAdvance(name));
  }
  lengths.name = std::clamp(lengths.name + 1, 6 * lengths.em, 19 * lengths.em);
  lengths.shown_rows = static_cast<int>(std::min(doors(), most_shown));
  return lengths;
}

bool RunView::isStraight() const {
  const Lengths l = lengths();
  return width() >= 8 * straight_link_em * l.em + l.name + 8 * l.gap + 4 * l.em;
}

int RunView::heightFor(bool straight) const {
  const Lengths l = lengths();
  const int rows = l.shown_rows * (l.row + l.between) - (l.shown_rows > 0 ? l.between : 0);
  return straight ? l.title + l.between + std::max(rows, l.row) : l.row + l.gap + rows;
}

QSize RunView::sizeHint() const { return {fontMetrics().averageCharWidth() * 160, heightFor(isStraight())}; }

QSize RunView::minimumSizeHint() const {
  return {fontMetrics().averageCharWidth() * 90, heightFor(isStraight())};
}

void RunView::arrange() {
  const Lengths l = lengths();
  const bool straight = isStraight();
  const int bar = doors() > most_shown ? scroll_->verticalScrollBar()->sizeHint().width() : 0;
  const int right = std::max(bar + l.em / 2, l.em + l.em / 2);
  const int bus_room = 3 * l.em;
  DoorRows::Places places;
  places.row = l.row;
  places.between = l.between;
  places.gap = l.gap;
  places.bus = l.em;
  places.name = bus_room;
  places.name_width = l.name;
  places.links = bus_room + l.name + l.gap;

  const int rows_height = static_cast<int>(doors()) * (l.row + l.between) - l.between;
  QRect room;
  const auto place_trunk = [&](int x, int y, int link_width) {
    for (std::size_t k = 0; k < std::min(trunk, buttons_.size()); ++k) {
      buttons_[k]->setGeometry(x + static_cast<int>(k) * (link_width + l.gap), y, link_width, l.row);
    }
  };
  if (straight) {
    const int top = l.title + l.between;
    const int link_width = (width() - right - places.links - 7 * l.gap) / 8;
    const int rows_x = 4 * (link_width + l.gap) - l.gap;
    room = QRect(rows_x, top, width() - rows_x, std::max(0, height() - top));
    const int shown = l.shown_rows * (l.row + l.between) - l.between;
    place_trunk(0, top + (std::max(shown, l.row) - l.row) / 2, link_width);
    places.link_width = link_width;
    places.links += l.gap;
    places.name += l.gap;
    places.bus += l.gap;
    title_->setGeometry(0, 0, title_->sizeHint().width(), l.title);
    mark_->setGeometry(title_->width() + 2 * l.em, 0, mark_->sizeHint().width(), l.title);
    places.entry = std::max(shown, l.row) / 2 + scroll_->verticalScrollBar()->value();
  } else {
    const int link_width = (width() - right - places.links - 3 * l.gap) / 4;
    place_trunk(places.links, 0, link_width);
    places.link_width = link_width;
    const int top = l.row + l.gap;
    room = QRect(0, top, width(), std::max(0, height() - top));
    title_->setGeometry(0, 0, places.links - l.gap, l.title);
    mark_->setGeometry(0, l.title, places.links - l.gap, mark_->sizeHint().height());
  }
  scroll_->setGeometry(room);
  rows_->resize(room.width() - bar, std::max(0, rows_height));
  rows_->arrange(places);
  update();
}

void RunView::resizeEvent(QResizeEvent* event) {
  QWidget::resizeEvent(event);
  arrange();
  // Straight and folded runs differ in height.
  if (sizeHint().height() != height()) updateGeometry();
}

void RunView::changeEvent(QEvent* event) {
  QWidget::changeEvent(event);
  if (event->type() == QEvent::FontChange || event->type() == QEvent::StyleChange) {
    QFont bold = font();
    bold.setBold(true);
    title_->setFont(bold);
    updateGeometry();
    arrange();
  }
}

void RunView::paintEvent(QPaintEvent*) {
  if (buttons_.size() < trunk) return;
  QPainter painter(this);
  painter.setRenderHint(QPainter::Antialiasing);
  painter.setPen(wire_pen(*this));
  for (std::size_t k = 0; k + 1 < trunk; ++k) {
    const QRect from = buttons_[k]->geometry(), to = buttons_[k + 1]->geometry();
    painter.drawLine(from.right(), from.center().y(), to.left(), to.center().y());
  }
  if (doors() == 0 || isStraight()) return;
  // The wire turns behind the relay and comes back to where the doors branch off.
  const Lengths l = lengths();
  const QRect relay = buttons_[trunk - 1]->geometry();
  const int out = relay.right() + l.em, turn = relay.bottom() + l.gap / 2;
  const QPointF corners[] = {{qreal(relay.right()), qreal(relay.center().y())},
                             {qreal(out), qreal(relay.center().y())},
                             {qreal(out), qreal(turn)},
                             {qreal(l.em), qreal(turn)},
                             {qreal(l.em), qreal(scroll_->y())}};
  painter.drawPolyline(corners, 5);
}

}  // namespace latchwright::desk

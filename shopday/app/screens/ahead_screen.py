"""Ahead: the next weeks in lanes by job, station or person, and how full the weeks are."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList, Static

from shopday.app.rows.day_axis import DayAxis
from shopday.app.rows.lane_rows import LaneRows, label_cells
from shopday.app.rows.lane_text import TITLES, legend, period, step_lines
from shopday.app.rows.lanes import LANES_BY, Lane, LaneStep
from shopday.app.rows.week_loads import last_worked, week_rows
from shopday.app.screens.step_screen import StepScreen
from shopday.app.session_messages import JobOpened
from shopday.app.step_keys import screen_keys
from shopday.app.widgets.lane_list import LaneList
from shopday.app.widgets.row_list import Row, RowList
from shopday.planning.questions.loads import Load, loads
from shopday.text.cells import fit
from shopday.text.safe import clean

if TYPE_CHECKING:
    from shopday.app.session import Session
    from shopday.planning.plan import Plan, PlannedStep

ZOOMS = (2, 3, 4, 6, 8, 12, 24)
"""Cells per day."""
DAYS = 14
"""The least number of days shown, unless the person zooms in."""
EMPTY = DayAxis(dt.date.min, 1, 1, 0, 1, frozenset())
WEEK = dt.timedelta(days=7)


NOTHING = "No work is planned. Press 4 to plan a new job."
OF_LANES = ("zoom", "walk", "open_job", "do_step", "print")
"""Actions that have no meaning while weeks are shown instead of lanes."""


class AheadScreen(StepScreen):
    PLACE = "ahead"
    HELP_TEXT = (
        "Lanes over days; nights take no room, days off are shaded. Solid is hands-on work, light is waiting. Below each job "
        "stands its delivery: planned, likely with 80 %, possible with 95 %, and the promise. Stations and people have the "
        "load of each day below them. Up and down choose a lane, left and right a step on it; Enter or a second tap opens "
        "the step. The last view shows how full the coming weeks are."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("v", "view", "View"),
        Binding("less_than_sign,comma", "move(-1)", "Earlier", key_display="<"),
        Binding("greater_than_sign,full_stop", "move(1)", "Later", key_display=">"),
        Binding("t", "today", "Today"),
        Binding("plus,equals_sign", "zoom(1)", "Closer", key_display="+"),
        Binding("minus", "zoom(-1)", "Wider", key_display="-"),
        Binding("left", "walk(-1)", "Step before", show=False),
        Binding("right", "walk(1)", "Step after", show=False),
        Binding("J", "open_job", "Its job", show=False),
        *screen_keys("pin", "why", "note", shown=()),
        Binding("P", "print", "Print", show=False),
    ]

    _by = "job"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._ahead, self._zoom = dt.timedelta(), 0
        self._chosen: tuple[str, int] | None = None
        self._marked: tuple[Lane | None, LaneStep | None] = None, None
        self._drawn_lanes: tuple[object, LaneRows] | None = None
        self._axis: tuple[object, DayAxis] = None, EMPTY
        self._lanes: tuple[object, list[Lane]] = None, []
        self._loads: tuple[object, dict[str, dict[str, Load]]] = None, {}

    def body(self) -> ComposeResult:
        yield Static("", id="ahead-head", markup=False)
        yield LaneList(id="lanes")
        yield Static("", id="lane-told", markup=False)
        yield Static("", id="legend", markup=False)

    @property
    def axis(self) -> DayAxis:
        width = self.query_one("#lanes", RowList).room
        room = max(1, width - label_cells(width))
        known = id(self.state.plan), self.first, self._zoom, room
        if self._axis[0] != known:
            days = self.state.open_shop.days()
            self._axis = known, DayAxis.of(days, self.first, ZOOMS[self._place(room)], room)
        return self._axis[1]

    @property
    def first(self) -> dt.date:
        return self.state.now.date() + self._ahead

    def _place(self, room: int) -> int:
        """The index in ZOOMS: as close as a fortnight allows, shifted by what the person chose."""
        widest = max((n for n, cells in enumerate(ZOOMS) if cells * DAYS <= room), default=0)
        return min(len(ZOOMS) - 1, max(0, widest + self._zoom))

    # ------------------------------------------------------------ drawing

    def show_plan(self) -> None:
        plan = self.state.plan
        if plan is not None and self.query_one("#lanes", RowList).room:
            self._head()
            self.query_one("#lanes", RowList).fill(self._rows(plan))
            self._tell()

    def on_resize(self, event: events.Resize) -> None:
        self.call_after_refresh(self.show_plan)

    def _rows(self, plan: Plan) -> list[Row]:
        if self._by == "week":
            shop, today = self.state.open_shop.folder.shop, self.state.now.date()
            return week_rows(self.loads()["person"], shop, today, self.first)
        lanes = self.lanes(plan)
        lines = min(3, max(1, self.query_one("#lanes", RowList).size.height // max(1, len(lanes))))
        known = id(lanes), self.axis, self.state.now, id(self.state.odds), lines
        if self._drawn_lanes is None or self._drawn_lanes[0] != known:
            of_lane = self.loads()[self._by] if self._by != "job" else {}
            self._drawn_lanes = known, LaneRows(self.axis, self.state.now, self.state.odds, of_lane, lines)
        lane, step = self._marked = self.chosen()
        return [self._drawn_lanes[1].row(each, step if each is lane else None) for each in lanes]

    def lanes(self, plan: Plan) -> list[Lane]:
        """The lanes, made once per plan and view."""
        known = plan, self._by, self.state.open_shop.folder
        if self._lanes[0] != known:
            self._lanes = known, LANES_BY[self._by](plan, self.state.open_shop.folder.shop)
        return self._lanes[1]

    def loads(self) -> dict[str, dict[str, Load]]:
        """The loads, worked out once per plan."""
        plan, folder = self.state.plan, self.state.open_shop.folder
        if plan is not None and self._loads[0] != (id(plan), id(folder)):
            self._loads = (id(plan), id(folder)), loads(self.state.open_shop, plan)
        return self._loads[1]

    def _head(self) -> None:
        """Show the title and the period, beside months and days."""
        width = self.query_one("#lanes", RowList).room
        axis, today, label = self.axis, self.state.now.date(), label_cells(width)
        back = "t: back to today" if self._ahead else ""
        weeks = self._by == "week"
        last = max(self.first, last_worked(self.loads()["person"], today)) if weeks else axis.last
        names = [(TITLES[self._by], "bold $accent"), (period(self.first, last, today), ""), (back, "$muted")]
        heads = axis.heads(today) if not weeks else [Content("")] * 3
        lines = [
            Content.assemble((fit(name, label), look), days)
            for (name, look), days in zip(names, heads, strict=True)
        ]
        self.put("#ahead-head", Content("\n").join(lines))
        self.put("#legend", legend(self._by, self.size.width - 2))

    # ------------------------------------------------------------ the chosen step

    def chosen(self) -> tuple[Lane | None, LaneStep | None]:
        """The lane under the cursor, and its step: the one chosen last, else the next one after now or after the
        first day shown."""
        row = self.query_one("#lanes", RowList).current if self._by != "week" else None
        lanes = self._lanes[1] if row is not None else []
        lane = next((each for each in lanes if row and each.key == row.key), next(iter(lanes), None))
        if lane is None:
            return None, None
        known = next((found for found in lane.steps if found.step.key == self._chosen), None)
        start = max(self.state.now, dt.datetime.combine(self.axis.first, dt.time(), self.state.now.tzinfo))
        return lane, known or next((found for found in lane.steps if found.end > start), None)

    def selected_step(self) -> PlannedStep | None:
        _, found = self.chosen()
        return found.step if found else None

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """The cursor has moved to another lane; ignored if the rows were drawn for the lane it is on."""
        if self.state.plan is not None and self.ready and self.chosen() != self._marked:
            self.show_plan()

    def _tell(self) -> None:
        plan = self.state.plan
        lane, found = self.chosen()
        if plan is None or lane is None:
            weeks = "Work planned, of the hours that people are in."
            self.put("#lane-told", Content(weeks if self._by == "week" else NOTHING))
        elif found is None:
            self.put("#lane-told", Content(clean(f"{lane.label}: nothing from here on.")))
        else:
            names = self.session.step_actions.names()
            width, whole = self.size.width - 4, self.has_class("-narrow")
            told = step_lines(found.step, plan, names, self.state.now, width, whole)
            self.put("#lane-told", told)

    def action_walk(self, by: int) -> None:
        lane, found = self.chosen()
        if lane is None or found is None:
            return
        place = lane.steps.index(found) + by
        if 0 <= place < len(lane.steps):
            self._choose(lane.steps[place])

    def _choose(self, found: LaneStep) -> None:
        """Choose the step and scroll to it."""
        self._chosen = found.step.key
        seen = self.axis.last - self.first
        while found.start.date() > self.first + seen:
            self._ahead += WEEK
        while self._ahead and found.end.date() < self.first:
            self._ahead -= WEEK
        self.show_plan()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """A tap chooses the step it hits, a second tap opens it; Enter opens the chosen step."""
        lanes = self.query_one("#lanes", LaneList)
        tapped, lanes.tapped = lanes.tapped, None
        lane, before = self.chosen()
        met = self._met(lane, tapped) if lane is not None and tapped is not None else before
        if met is not None and met is before:
            self.session.step_actions.show_step(met.step)
        elif met is not None:
            self._choose(met)

    def _met(self, lane: Lane, x: int) -> LaneStep | None:
        """The step on the tapped cell, or the nearest one on the lane."""
        axis = self.axis
        cell = x + 0.5 - label_cells(self.query_one("#lanes", RowList).room)
        return min(
            lane.steps,
            key=lambda found: max(axis.place(found.start) - cell, cell - axis.place(found.end), 0),
            default=None,
        )

    # ------------------------------------------------------------ the view

    def action_open_job(self) -> None:
        if (step := self.selected_step()) is not None:
            self.post_message(JobOpened(step.job))

    def action_view(self) -> None:
        order = list(TITLES)
        self._by = order[(order.index(self._by) + 1) % len(order)]
        self.refresh_bindings()
        self.show_plan()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Disable the actions for lanes while weeks are shown."""
        return action not in OF_LANES if self._by == "week" else True

    def on_lane_list_wheeled(self, message: LaneList.Wheeled) -> None:
        self.action_move(message.by)

    def action_move(self, by: int) -> None:
        """Move by weeks, as far as there is work."""
        plan = self.state.plan
        last = max((step.complete.date() for step in plan.steps), default=None) if plan else None
        ahead = self._ahead + by * WEEK
        if last is not None and (by < 0 or self.state.now.date() + ahead <= last):
            self._ahead = max(dt.timedelta(), ahead)
            self._chosen = None
            self.show_plan()

    def action_today(self) -> None:
        self._ahead, self._chosen = dt.timedelta(), None
        self.show_plan()

    def action_zoom(self, by: int) -> None:
        if 0 <= ZOOMS.index(self.axis.cells) + by < len(ZOOMS):
            self._zoom += by
        self.show_plan()

    def action_print(self) -> None:
        """Write the lanes as shown to a picture to print."""
        from shopday.app.actions.paper_actions import PaperActions
        from shopday.app.rows.lane_svg import lanes_svg

        plan, today = self.state.plan, self.state.now.date()
        if plan is not None and self._by != "week":
            title = f"{TITLES[self._by]}, {period(self.axis.first, self.axis.last, today)}"
            drawn = lanes_svg(title, self.lanes(plan), self.axis, self.state.now)
            PaperActions(self.session).picture(f"ahead-{self._by}-{today}.svg", drawn)

"""The app: holds the desk, asks the planner, and takes up plans without shuffling what is being looked at."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, ClassVar, Literal

from textual import events
from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.command import CommandPalette
from textual.message import Message
from textual.screen import Screen

from shopday.app import words
from shopday.app.bell import BellRope
from shopday.app.desk import Desk, same_day
from shopday.app.help import Help
from shopday.app.masthead import PLACES
from shopday.app.moved import Moved, summary
from shopday.app.places import open_place
from shopday.app.planner import Answer, Ask, Planner
from shopday.app.shopscreen import ShopScreen
from shopday.app.themes import BY_DAY, BY_NIGHT
from shopday.app.today_screen import TodayScreen
from shopday.shop.faults import ShopdayError

if TYPE_CHECKING:
    from shopday.app.deeds import Deeds
    from shopday.app.job_deeds import JobDeeds
    from shopday.planning.changes import Move
    from shopday.planning.plan import Plan
    from shopday.planning.today import Day
    from shopday.planning.waiting import Waiting
    from shopday.planning.workshop import Workshop
    from shopday.shop.models import Job


LOOK_EVERY = 3
"""Seconds between looks at the files and the journal, which others may change."""
PLAN_EVERY = 300
"""Seconds after which the plan is worked out anew, because time goes on."""


class Answered(Message):
    """The planner said something; None: it is gone."""

    def __init__(self, answer: Answer | None) -> None:
        super().__init__()
        self.answer = answer


class ShopdayApp(App[None]):
    CSS_PATH = "app.tcss"
    TITLE = "shopday"
    ENABLE_COMMAND_PALETTE = True
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("u", "take_back", "Undo"),
        Binding("x", "take_up", "Take up the better plan", show=False),
        Binding("c", "command_palette", "Everything one can do", show=False),
        Binding("l", "lamp", "Lamp: light or dark", show=False),
        Binding("question_mark", "help", "Help", key_display="?"),
        Binding("q", "quit", "Quit"),
        *(Binding(str(n), f"go('{name}')", PLACES[name], show=False) for n, name in enumerate(PLACES, 1)),
    ]

    def __init__(self, open_shop: Callable[[], Workshop], planner: Planner) -> None:
        super().__init__()
        self._open_shop = open_shop
        self._desk: Desk | None = None
        self.planner = planner
        self.trouble: ShopdayError | None = None
        self.news = "Working out the day"
        self._serial = self._plan_serial = self._quote_serial = 0
        self._before: Plan | None = None
        self._what = ""
        self._show_moves = False
        self._touched = self._quoting = False
        self._fresh = True
        self._trouble = ""
        self._early: Plan | None = None
        self.today: Day | None = None
        self.waits: Sequence[Waiting] = ()
        self.lights_out: Sequence[str] = ()
        self.bell_rope = BellRope(self)

    # ------------------------------------------------------------ life

    def on_mount(self) -> None:
        self.register_theme(BY_DAY)
        self.register_theme(BY_NIGHT)
        self.theme = BY_NIGHT.name
        self.planner.listen(lambda answer: self.post_message(Answered(answer)))
        self.plan_on()
        self.push_screen(open_place("today"))
        self.call_after_refresh(self._open)

    def _open(self) -> None:
        """Read the shop behind the first picture: models and files take longer than the terminal."""
        try:
            self._desk = Desk(self._open_shop())
        except ShopdayError as error:
            self.trouble = error
            self.exit(return_code=2)
            return
        self.refresh_bindings()
        self._minute = self.desk.now
        self.set_interval(1, self._tick)
        self.set_interval(LOOK_EVERY, self.look_again)
        self.set_interval(PLAN_EVERY, self.plan_on)
        if self._early is not None:
            self._consider(self._early)
        elif isinstance(self.screen, ShopScreen):
            self.screen.redraw()

    @property
    def opened(self) -> bool:
        """The shop has been read."""
        return self._desk is not None

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Before the shop is read one can only leave."""
        return True if self.opened or action in ("quit", "lamp") else None

    @property
    def desk(self) -> Desk:
        assert self._desk is not None
        return self._desk

    @cached_property
    def deeds(self) -> Deeds:
        from shopday.app.deeds import Deeds

        return Deeds(self)

    @cached_property
    def jobs(self) -> JobDeeds:
        from shopday.app.job_deeds import JobDeeds

        return JobDeeds(self)

    def on_unmount(self) -> None:
        self.planner.close()

    def on_key(self, event: events.Key) -> None:
        """Somebody is at the day: from here on it is not reordered unasked."""
        if isinstance(self.screen, TodayScreen) and not event.key.isdigit():
            self._touched = True

    def _tick(self) -> None:
        """By the second: clocks and countdowns; by the minute: everything that says how long."""
        if isinstance(self.screen, ShopScreen):
            minute = self.desk.now
            if minute != self._minute:
                self._minute = minute
                self.screen.redraw()
            else:
                self.screen.tick()
        self.bell_rope.ring(self.waits, self.desk.clock)

    # ------------------------------------------------------------ planning

    def ask_plan(self, what: str = "", show_moves: bool = False) -> None:
        """Plan anew after a change, near the best plan so far; `show_moves` asks whether to keep it."""
        self._before, self._what, self._show_moves = self.desk.better or self.desk.plan, what, show_moves
        self._fresh, self._touched, self._quoting = True, False, False
        self._ask(self._before)
        self.desk.better = None

    def plan_on(self) -> None:
        """Plan anew because time went on; the day on the screen keeps its order unless somebody agrees."""
        if self._quoting:
            return
        near = (self.desk.better or self.desk.plan) if self.opened else None
        self._fresh, self._before = near is None, None
        self._ask(near)

    def _ask(self, near: Plan | None) -> None:
        self._serial += 1
        self._plan_serial = self._serial
        self.planner.ask(Ask(self._serial, near))

    def ask_quote(self, id: str, job: Job) -> None:
        """What a job not in the shop would do; the answer goes to the screen that asks for it."""
        self._serial += 1
        self._quote_serial = self._serial
        self._quoting = True
        self.planner.ask(Ask(self._serial, self.desk.plan, job_id=id, job=job))

    def _show_quote(self, answer: Answer) -> None:
        from shopday.app.newjob_screen import NewjobScreen

        self._quoting = not answer.last
        if isinstance(self.screen, NewjobScreen):
            self.screen.show_answer(answer)

    def on_answered(self, message: Answered) -> None:
        answer = message.answer
        if answer is None:
            self.say("The planner stopped. Quit and open the app again.", "error")
        elif answer.serial == self._quote_serial:
            self._show_quote(answer)
        elif answer.serial == self._plan_serial:
            if answer.trouble:
                self.tell(answer.trouble)
            elif answer.plan is not None:
                self._consider(answer.plan)

    def _consider(self, plan: Plan) -> None:
        """The first answer is taken at once; a later one only if it leaves a day somebody touches alone."""
        if not self.opened:
            self._early = plan
            return
        old = self.desk.plan
        if self._fresh or old is None:
            self._fresh = False
            self._take(plan)
            self._tell_moves(plan)
        elif not self._touched or same_day(old, plan, self.desk.now.date()):
            self._take(plan)
            self._better_taken(old, plan)
        else:
            self.desk.better = plan
            self.tell(f"x takes up a better plan. {self._difference(old, plan)}")

    def _take(self, plan: Plan) -> None:
        """Put a plan on the screen, with what is read off it while it fits what has happened."""
        from shopday.planning.minding import day_end
        from shopday.planning.today import day
        from shopday.planning.waiting import waiting

        workshop = self.desk.workshop
        try:
            self.today, self.waits = day(workshop, plan), waiting(workshop, plan)
            self.lights_out = day_end(workshop, plan)
        except KeyError:  # somebody else logged something since; `look_again` will have it planned
            return
        self.desk.plan, self.desk.better = plan, None
        if isinstance(self.screen, ShopScreen):
            self.screen.redraw()
        elif isinstance(self.screen, Moved) and self._before is not None:
            self.screen.show_moves(self._moves(self._before, plan))

    def _tell_moves(self, plan: Plan) -> None:
        if self._before is None:
            self.tell("")
            return
        moved = self._moves(self._before, plan)
        if self._show_moves:
            self.push_screen(Moved(self._what, moved, self.desk.now.date()), self._kept)
        else:
            self.tell(f"{self._what}. {summary(moved)}".lstrip(". "))

    def _better_taken(self, old: Plan, plan: Plan) -> None:
        """After a change its line is told anew; otherwise a day in another order is."""
        if self._before is not None and not self._show_moves:
            self._tell_moves(plan)
        elif not same_day(old, plan, self.desk.now.date()):
            self.tell(f"The day was put in a better order. {self._difference(old, plan)}")

    def _difference(self, old: Plan, plan: Plan) -> str:
        return summary(self._moves(old, plan), gains_first=True)

    def _moves(self, old: Plan, plan: Plan) -> Sequence[Move]:
        from shopday.planning.changes import moves

        return moves(old, plan)

    def _kept(self, keep: bool | None) -> None:
        if keep:
            self.tell(f"Kept: {self._what}. Press u to take it back.")
        else:
            self.action_take_back()

    # ------------------------------------------------------------ what screens ask

    def tell(self, news: str) -> None:
        """One quiet line above the keys."""
        self.news = news
        if isinstance(self.screen, ShopScreen):
            self.screen.show_news(news)

    def say(self, text: str, severity: Literal["information", "warning", "error"] = "information") -> None:
        """A toast; what people typed is shown as it is."""
        self.notify(words.clean(text), severity=severity, markup=False)

    def attempt(self, change: Callable[[], object]) -> bool:
        """Do something a person asked for; a mistake is told, not raised."""
        try:
            change()
        except (ShopdayError, OSError) as error:
            self.say(str(error), "error")
            return False
        return True

    def look_again(self) -> None:
        """Take up what changed on disk, by whoever; a file that cannot be read is told once."""
        try:
            changed, trouble = self.desk.workshop.refresh(), ""
        except ShopdayError as error:
            changed, trouble = False, str(error).splitlines()[0]
        if changed:
            self.ask_plan("The shop's files changed")
        elif trouble != self._trouble:
            self.tell(trouble)
        self._trouble = trouble

    # ------------------------------------------------------------ keys

    def action_take_back(self) -> None:
        told: list[str] = []
        if self.attempt(lambda: told.append(self.desk.take_back())):
            self.ask_plan(f"Taken back: {told[0]}")

    def action_take_up(self) -> None:
        better = self.desk.better
        if better is None:
            self.tell("There is no better plan than this one yet.")
            return
        self._take(better)
        self.tell("Taken up.")

    def action_lamp(self) -> None:
        self.theme = BY_DAY.name if self.theme == BY_NIGHT.name else BY_NIGHT.name

    def action_go(self, name: str) -> None:
        if self.opened and isinstance(self.screen, ShopScreen) and name != self.screen.PLACE:
            self.switch_screen(open_place(name))

    def action_help(self) -> None:
        if isinstance(self.screen, ShopScreen):
            self.push_screen(Help(PLACES[self.screen.PLACE], self.screen.HELP_TEXT, self._keys()))

    def _keys(self) -> list[tuple[str, str]]:
        return [(self.get_key_display(b), b.description) for b, _ in self._own_bindings(self.screen)]

    def _own_bindings(self, screen: Screen[object]) -> Iterator[tuple[Binding, bool]]:
        """What this app binds on a screen, once for each action; and whether the screen itself does it."""
        own = {b.action for cls in (*type(screen).__mro__, type(self)) for b in _declared(cls)}
        for bound in screen.active_bindings.values():
            if bound.binding.action in own and bound.binding.description:
                own.discard(bound.binding.action)
                yield bound.binding, bound.node is screen

    def action_command_palette(self) -> None:
        self.push_screen(CommandPalette(placeholder="What do you want to do?", id="--command-palette"))

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Everything that has a key has a place in the command list."""
        for binding, its_own in self._own_bindings(screen):
            action = f"screen.{binding.action}" if its_own else binding.action
            key = f"key {self.get_key_display(binding)}"
            yield SystemCommand(binding.description, key, self._runner(action))

    def _runner(self, action: str) -> Callable[[], None]:
        def run() -> None:
            self.run_worker(self.run_action(action))

        return run


def _declared(cls: type) -> list[Binding]:
    """Bindings that a class of this app declares itself."""
    ours = cls.__module__.startswith("shopday.")
    return [b for b in cls.__dict__.get("BINDINGS", ()) if isinstance(b, Binding)] if ours else []

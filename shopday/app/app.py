"""The app: holds the desk, asks the planner, and takes up plans without shuffling what is being looked at."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from functools import cached_property, partial
from typing import TYPE_CHECKING, Any, ClassVar, Literal, TypeVar

from textual import events
from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.command import CommandPalette
from textual.message import Message
from textual.screen import Screen, ScreenResultCallbackType

from shopday.app.actions.plan_updates import PlanUpdates
from shopday.app.actions.window_alarm import WindowAlarm
from shopday.app.dialogs.dialog import Dialog
from shopday.app.dialogs.help_dialog import HelpDialog
from shopday.app.key_bindings import own_bindings
from shopday.app.load_shop import ReadShop, ShopLoaded
from shopday.app.planner_client import Planner, PlannerAnswer
from shopday.app.screens.screen_registry import open_place
from shopday.app.screens.shop_screen import ShopScreen
from shopday.app.screens.today_screen import TodayScreen
from shopday.app.session_state import SessionState
from shopday.app.themes import BY_DAY, BY_NIGHT, register_themes
from shopday.app.widgets.header import PLACES
from shopday.shop.faults import ShopdayError
from shopday.shop.safe_text import clean

if TYPE_CHECKING:
    from shopday.app.actions.job_actions import JobActions
    from shopday.app.actions.step_actions import StepActions


T = TypeVar("T")

LOOK_EVERY = 3
"""Seconds between looks at the files and the journal, which others may change."""
SET_UP_EVERY = 0.1
"""Seconds from setting up one screen to the next, for keys to come between."""
NEWS_STAYS = dt.timedelta(minutes=3)
"""Old news is no news."""
PLAN_EVERY = 300
"""Seconds after which the plan is worked out anew, because time goes on."""


class Answered(Message):
    """The planner said something; None: it is gone."""

    def __init__(self, answer: PlannerAnswer | None) -> None:
        super().__init__()
        self.answer = answer


class ShopdayApp(App[None]):
    CSS_PATH = "app.tcss"
    TITLE = "shopday"
    ENABLE_COMMAND_PALETTE = True
    SCREENS = {name: partial(open_place, name) for name in (*PLACES, "job")}
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("u", "take_back", "Undo"),
        Binding("x", "take_up", "Use the better plan", show=False),
        Binding("c", "command_palette", "Everything one can do", show=False),
        Binding("l", "lamp", "Lamp: light or dark", show=False),
        Binding("question_mark", "help", "Help", key_display="?"),
        Binding("q", "quit", "Quit"),
        *(Binding(str(n), f"go('{name}')", PLACES[name], show=False) for n, name in enumerate(PLACES, 1)),
    ]

    def __init__(self, open_shop: ReadShop, planner: Planner, ahead: bool = False) -> None:
        """`ahead`: set the other screens up while the first plan is worked out, so that no key waits for that."""
        super().__init__()
        self._ahead = ahead
        register_themes(self)
        self._open_shop = open_shop
        self._keys_ahead: list[events.Key] = []
        self.pressed: float | None = None  # when the last key or tap came, by the clock of Textual's messages
        self._cards: dict[str, Dialog[Any]] = {}
        self.desk = SessionState()
        self.planner = planner
        self.trouble: Exception | None = None
        self.news = "Working out the day"
        self.plans = PlanUpdates(self, planner)
        self._troubles: tuple[str, ...] = ()
        self._told_at: dt.datetime | None = None
        self.bell_rope = WindowAlarm(self)

    # ------------------------------------------------------------ life

    def on_mount(self) -> None:
        self.planner.listen(lambda answer: self.post_message(Answered(answer)))
        self.push_screen("today")
        self.call_after_refresh(self._open_shop, lambda found: self.post_message(ShopLoaded(found)))

    def on_shop_loaded(self, message: ShopLoaded) -> None:
        """From here on everything works; keys pressed before are taken now."""
        if isinstance(message.found, Exception):
            self.trouble = message.found
            self.exit(return_code=2)
            return
        self.desk.read = message.found
        self._minute = self.desk.now
        self.set_interval(1, self._tick)
        self.set_interval(LOOK_EVERY, self.look_again)
        self.set_interval(PLAN_EVERY, self.plans.go_on)
        if self.shown is not None:
            self.shown.redraw()
        for key in self._keys_ahead:
            self.post_message(key)
        for n, name in enumerate(self.SCREENS if self._ahead else ()):
            self.set_timer((n + 1) * SET_UP_EVERY, partial(self._set_up, name))

    def _set_up(self, name: str) -> None:
        """A screen that was shown, if only for no time, is there when it is gone to."""
        if isinstance(self.shown, TodayScreen) and not self.get_screen(name).is_running:
            self.push_screen(name)
            self.pop_screen()

    async def on_event(self, event: events.Event) -> None:
        """Before the shop is read one can only leave: other keys wait, and the pointer does nothing."""
        if isinstance(event, events.InputEvent):
            self.pressed = event.time
        if self.desk.read is not None or not isinstance(event, events.InputEvent):
            await super().on_event(event)
        elif isinstance(event, events.Key):
            if event.key in ("q", "ctrl+q"):
                self.exit()
            else:
                self._keys_ahead.append(event)

    @cached_property
    def deeds(self) -> StepActions:
        from shopday.app.actions.step_actions import StepActions

        return StepActions(self)

    @cached_property
    def jobs(self) -> JobActions:
        from shopday.app.actions.job_actions import JobActions

        return JobActions(self)

    @property
    def shown(self) -> ShopScreen | None:
        """The screen of the shop that is seen: none behind a card, or while the app closes."""
        top = self.screen_stack[-1] if self.screen_stack else None
        return top if isinstance(top, ShopScreen) else None

    def on_unmount(self) -> None:
        self.planner.close()

    def on_answered(self, message: Answered) -> None:
        self.plans.answered(message.answer)

    def _tick(self) -> None:
        """By the second: clocks and countdowns; by the minute: everything that says how long."""
        if self.shown is not None:
            minute, before = self.desk.now, self._minute
            if minute != before:
                self._minute = minute
                self._drop_old_news()
                new_day = minute.date() != before.date()
                if new_day or abs((minute - before).total_seconds()) >= PLAN_EVERY:
                    self.plans.go_on(new_day)  # or the computer slept: its timers stood still
                self.shown.redraw()
            else:
                self.shown.tick()
        self.bell_rope.ring(self.plans.waits, self.desk.clock)

    def _drop_old_news(self) -> None:
        """What was told has been read by now; what still holds stays: a better plan, a file that cannot be read."""
        told_at = self._told_at
        holds = self.desk.better is not None or self._troubles
        if told_at is not None and not holds and self.desk.clock - told_at >= NEWS_STAYS:
            self.tell("")

    # ------------------------------------------------------------ what screens ask

    def tell(self, news: str) -> None:
        """One quiet line above the keys."""
        self.news, self._told_at = news, self.desk.clock if not self.desk.empty else None
        if self.shown is not None:
            self.shown.show_news(news)

    def say(self, text: str, severity: Literal["information", "warning", "error"] = "information") -> None:
        """A toast; what people typed is shown as it is."""
        self.notify(clean(text), severity=severity, markup=False)

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
            changed = self.desk.workshop.refresh()
            troubles = tuple(str(faults[0]) for faults in self.desk.workshop.folder.faulty.values())
        except ShopdayError as error:
            changed, troubles = False, (str(error).splitlines()[0],)
        new = [trouble for trouble in troubles if trouble not in self._troubles]
        if changed:
            self.plans.anew(new[0] if new else "The shop's files changed")
            self._recipes_may_have_changed()
        elif troubles != self._troubles:
            self.tell(next(iter((*new, *troubles)), ""))
        self._troubles = troubles

    def _recipes_may_have_changed(self) -> None:
        from shopday.app.screens.new_job_screen import NewJobScreen

        if isinstance(self.shown, NewJobScreen):
            self.shown.take_up_recipes()

    def open_job(self, id: str) -> None:
        """Show one job's steps."""
        from shopday.app.screens.job_screen import JobScreen

        self.get_screen("job", JobScreen).turn_to(id)
        self.push_screen("job")

    def open_card(self, card: Dialog[T], done: ScreenResultCallbackType[T] | None = None) -> None:
        """Show a card; `done` is told how it ended."""
        kept = self._cards.setdefault(card.kind, card)
        if kept is card:
            self.install_screen(card, card.kind)
        elif kept in self.screen_stack:
            kept = card
        else:
            kept.take_over(card)
        self.push_screen(kept, done)

    # ------------------------------------------------------------ keys

    def action_take_back(self) -> None:
        told: list[str] = []
        if self.attempt(lambda: told.append(self.desk.take_back())):
            self.plans.anew(f"Undone: {told[0]}")

    def action_take_up(self) -> None:
        better = self.desk.better
        if better is None:
            self.tell("There is no better plan than this one yet.")
            return
        if self.attempt(lambda: self.desk.use(better)):
            self.plans.take(better)
            self.tell("Using the better plan.")
            self.plans.go_on()

    def action_lamp(self) -> None:
        self.theme = BY_DAY.name if self.theme == BY_NIGHT.name else BY_NIGHT.name

    def action_go(self, name: str) -> None:
        """To a place, which stays as it was left; from a job back to its place first."""
        if self.shown is None:
            return
        if self.shown is not self.screen_stack[1]:
            self.pop_screen()
        self.switch_screen(name)
        self.shown.gone_to()

    def action_help(self) -> None:
        if (here := self.shown) is not None:
            self.open_card(HelpDialog(PLACES[here.PLACE], here.HELP_TEXT, self._keys()))

    def _keys(self) -> list[tuple[str, str]]:
        return [(self.get_key_display(b), b.description) for b, _ in own_bindings(self, self.screen)]

    def action_command_palette(self) -> None:
        self.push_screen(CommandPalette(placeholder="What do you want to do?", id="--command-palette"))

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Everything that has a key has a place in the command list."""
        for binding, its_own in own_bindings(self, screen):
            action = f"screen.{binding.action}" if its_own else binding.action
            key = f"key {self.get_key_display(binding)}"
            yield SystemCommand(binding.description, key, self._runner(action))

    def _runner(self, action: str) -> Callable[[], None]:
        def run() -> None:
            self.run_worker(self.run_action(action))

        return run

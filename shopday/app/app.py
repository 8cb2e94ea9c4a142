"""The app: its screens, keys and clock, over one session."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from functools import partial
from time import monotonic
from typing import Any, ClassVar

from textual import events
from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.command import CommandPalette, Provider
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Input

from shopday.app.actions.window_alarm import WindowAlarm
from shopday.app.dialogs.help_dialog import HelpDialog
from shopday.app.garbage import collect_older
from shopday.app.key_bindings import declared_bindings, own_bindings
from shopday.app.load_shop import ReadShop, ShopLoaded
from shopday.app.protocol import Planner, PlannerAnswer
from shopday.app.screens.screen_registry import make_screen
from shopday.app.screens.shop_screen import ShopScreen
from shopday.app.session import Session
from shopday.app.session_messages import JobOpened
from shopday.app.set_up_ahead import SetUpAhead
from shopday.app.terminal_look import remember_look
from shopday.app.themes import WIDTHS, other_look, register_themes
from shopday.app.widgets.header import PLACES

CHECK_EVERY = 3
"""Seconds between checks of the files and the journal, which other programs may change."""
PLAN_EVERY = 300
"""Seconds after which the shop is planned again because time has passed."""
STILL = 0.15
"""Seconds after a key before work begins that nobody waits for."""
PLACE_NAMES = (*PLACES, "job")
"""The screens by name."""


class PlannerAnswered(Message):
    """The planner has answered. None: its process has died."""

    def __init__(self, answer: PlannerAnswer | None) -> None:
        super().__init__()
        self.answer = answer


def _find_provider() -> type[Provider]:
    from shopday.app.find_provider import FindProvider  # not before the first picture

    return FindProvider


class ShopdayApp(App[None]):
    CSS_PATH = "app.tcss"
    TITLE = "shopday"
    ENABLE_COMMAND_PALETTE = True
    COMMANDS = App.COMMANDS | {_find_provider}
    HORIZONTAL_BREAKPOINTS = WIDTHS
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("u", "undo", "Undo"),
        Binding("U", "redo", "Redo", show=False),
        Binding("x", "use_better_plan", "Use the better plan", show=False),
        Binding("c,ctrl+p", "command_palette", "All commands", show=False),
        Binding("l", "toggle_theme", "Lamp: light or dark", show=False),
        Binding("question_mark", "help", "Help", key_display="?"),
        Binding("q", "quit", "Quit"),
        *(Binding(str(n), f"go('{name}')", PLACES[name], show=False) for n, name in enumerate(PLACES, 1)),
    ]

    def __init__(
        self, read_shop: ReadShop, planner: Planner, ahead: bool = False, light: bool = False, typed: str = ""
    ) -> None:
        """ahead: set up the other screens while the first plan is worked out, so that no key waits for that. light:
        the look at the start. typed: keys pressed before the app existed."""
        self.session = Session(self, planner)
        places: dict[str, Callable[[], Screen[Any]]] = {
            name: partial(make_screen, name, self.session) for name in PLACE_NAMES
        }
        self.SCREENS = places  # type: ignore[misc]  # each app's own, read by Textual: they have its session
        super().__init__()
        self._ahead, self._set_up_ahead = ahead, SetUpAhead(self)
        register_themes(self, light)
        self.set_class("SHOPDAY_FINGERS" in os.environ, "-fingers")  # what is tapped is two rows high
        self._read_shop = read_shop
        self._early_keys = [events.Key(key, key) for key in typed]
        self.pressed: float | None = None  # when the last key or tap came, by the clock of Textual's messages
        self._planner = planner
        self.trouble: Exception | None = None
        self._alarm = WindowAlarm(self._announce)

    # ------------------------------------------------------------ life

    def on_mount(self) -> None:
        self._planner.listen(lambda answer: self.post_message(PlannerAnswered(answer)))
        self.push_screen("today")
        self.call_after_refresh(self._read_shop, lambda found: self.post_message(ShopLoaded(found)))

    def on_shop_loaded(self, message: ShopLoaded) -> None:
        """Start the clock and take the keys that were pressed before the shop was read."""
        if isinstance(message.found, Exception):
            self.trouble = message.found
            self.exit(return_code=2)
            return
        self.session.state.read = message.found
        self._minute = self.session.state.now
        self.set_interval(1, self._tick)
        self.set_interval(CHECK_EVERY, self.session.check_files)
        self.set_interval(PLAN_EVERY, self.session.plan_updates.replan_as_time_passes)
        if self.shown is not None:
            self.shown.redraw()
        for key in self._early_keys:
            self.post_message(key)
        if self._ahead:
            self.call_after_refresh(self._set_up_ahead.begin)  # picture first

    def on_code_loaded(self) -> None:
        self._set_up_ahead.loaded()

    async def on_event(self, event: events.Event) -> None:
        """Before the shop is read the person can only quit: other keys wait, and the pointer does nothing."""
        if isinstance(event, events.InputEvent):
            self.pressed = event.time
        if self.session.state.read is not None or not isinstance(event, events.InputEvent):
            await super().on_event(event)
        elif isinstance(event, events.Key):
            if event.key in ("q", "ctrl+q"):
                self.exit()
            else:
                self._early_keys.append(event)

    @property
    def still(self) -> bool:
        """True if no key or tap came just now."""
        return self.pressed is None or monotonic() - self.pressed >= STILL

    @property
    def shown(self) -> ShopScreen | None:
        """The screen of the shop that is on top; None behind a dialog, or while the app closes."""
        top = self.screen_stack[-1] if self.screen_stack else None
        return top if isinstance(top, ShopScreen) else None

    def on_unmount(self) -> None:
        self._planner.close()

    def on_planner_answered(self, message: PlannerAnswered) -> None:
        self.session.plan_updates.answered(message.answer)

    def _tick(self) -> None:
        """Each second: clocks and countdowns. Each minute: everything that depends on the time."""
        if self.shown is not None:
            minute, before = self.session.state.now, self._minute
            if minute != before:
                self._minute = minute
                self.session.drop_old_news()
                new_day = minute.date() != before.date()
                if new_day or abs((minute - before).total_seconds()) >= PLAN_EVERY:
                    self.session.plan_updates.replan_as_time_passes(
                        new_day
                    )  # the computer may have slept, with its timers
                self.shown.redraw()
            else:
                self.shown.tick()
        self._alarm.ring(self.session.plan_updates.waits, self.session.state.clock)
        if self.still:
            collect_older()

    def _announce(self, text: str) -> None:
        self.bell()
        self.session.say(text, "warning")

    def on_job_opened(self, message: JobOpened) -> None:
        from shopday.app.screens.job_screen import JobScreen  # loaded when first opened

        screen = self.get_screen("job", JobScreen)
        screen.show_job(message.job)
        if self.shown is screen:
            screen.redraw()
        else:
            self.push_screen("job")

    # ------------------------------------------------------------ keys

    def action_undo(self) -> None:
        self.session.undo()

    def action_redo(self) -> None:
        self.session.redo()

    def action_use_better_plan(self) -> None:
        self.session.use_better_plan()

    def action_toggle_theme(self) -> None:
        """Switch between light and dark, and remember the choice."""
        look = other_look(self)
        self.theme = look.name
        remember_look(self.session.state.folder, light=not look.dark)

    def action_go(self, name: str) -> None:
        """Go to a place, which stays as it was left. The screen of a job is closed first."""
        if self.shown is None:
            return
        if name != self.shown.PLACE:
            self.session.leave()
        if self.shown is not self.screen_stack[1]:
            self.pop_screen()
        self.switch_screen(name)
        self.shown.visited()

    def action_help(self) -> None:
        if (here := self.shown) is not None:
            self.session.open_dialog(HelpDialog(PLACES[here.PLACE], here.HELP_TEXT, self._keys()))

    def _keys(self) -> list[tuple[str, str]]:
        """The keys with their descriptions; those of the places, which are on the top line, as one entry."""
        own = (b for b, _ in own_bindings(self, self.screen) if not b.action.startswith("go("))
        return [
            *((self.get_key_display(b), b.description) for b in own),
            (f"1 to {len(PLACES)}", "The top line"),
        ]

    def action_command_palette(self) -> None:
        self.push_screen(CommandPalette(placeholder="What is to be done?", id="--command-palette"))

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Every action that has a key is in the command list."""
        typing = isinstance(screen.focused, Input)  # then letters are no keys, but what they do can be chosen
        for binding, its_own in (declared_bindings if typing else own_bindings)(self, screen):
            if not binding.description:
                continue
            action = f"screen.{binding.action}" if its_own else binding.action
            key = f"key {self.get_key_display(binding)}"
            yield SystemCommand(binding.description, key, self._runner(action))

    def _runner(self, action: str) -> Callable[[], None]:
        def run() -> None:
            self.run_worker(self.run_action(action))

        return run

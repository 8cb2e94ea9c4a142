"""Sets up screens and dialogs before they are opened, as a first opening takes several times as long as a later one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from importlib import import_module
from threading import Thread
from typing import TYPE_CHECKING

from textual.message import Message

from shopday.app.garbage import keep_all
from shopday.app.screens.screen_registry import CLASSES, screen_class
from shopday.app.widgets.row_list import RowList

if TYPE_CHECKING:
    from shopday.app.app import ShopdayApp

EVERY = 0.1
"""Seconds between setting up one thing and the next, so that keys can come between."""

LATER = (
    "dialogs.confirm_moves", "dialogs.pick_dialog", "dialogs.recipe_dialog", "dialogs.step_dialog", "dialogs.why_dialog",
    "find_provider", "actions.order_actions", "actions.pin_actions", "forms.job_form", "forms.step_form",
    "screens.lessons_screen",
)  # fmt: skip
"""Modules that are loaded when first used, or here before that."""


class CodeLoaded(Message):
    """The code of every screen was loaded."""


class SetUpAhead:
    """Loads code in a thread, so that keys are handled meanwhile, then sets up one thing after another while a list
    has the focus and no key is pressed."""

    def __init__(self, app: ShopdayApp) -> None:
        self._app = app
        self._rest = self._things()

    def begin(self) -> None:
        Thread(target=self._load, daemon=True).start()

    def _load(self) -> None:
        from shopday.shop.recipes.recipe_library import recipes

        for name in CLASSES:
            screen_class(name)
        self._app.post_message(CodeLoaded())
        for module in LATER:
            import_module(f"shopday.app.{module}")
        recipes()

    def loaded(self) -> None:
        """Begin with the screens, as their code was loaded."""
        self._timer = self._app.set_interval(EVERY, self._next)

    def _next(self) -> None:
        app = self._app
        if not app.still or app.shown is None or not isinstance(app.focused, RowList):
            return
        depth, set_up = len(app.screen_stack), next(self._rest, None)
        if set_up is None:
            self._timer.stop()
            keep_all()
            return
        set_up()
        if len(app.screen_stack) > depth:
            app.pop_screen()  # before it was seen

    def _things(self) -> Iterator[Callable[[], object]]:
        """What opens each screen and the dialogs that are opened most."""
        app, session = self._app, self._app.session
        for name in CLASSES:
            if not app.get_screen(name).is_running:
                yield partial(app.push_screen, name)
        while (plan := session.state.plan) is None:
            yield int  # nothing yet
        for step in [step for step in plan.steps if step.state == "planned"][:1]:
            yield partial(session.step_actions.show_step, step)
            yield partial(session.step_actions.change, step)
            yield partial(session.step_actions.start_at, step)
            yield partial(session.job_actions.change, step.job)
        yield app.action_help

"""Which screen belongs to which place; each is loaded when first opened."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from shopday.app.screens.shop_screen import ShopScreen

if TYPE_CHECKING:
    from shopday.app.session import Session

CLASSES = {
    "today": "today_screen:TodayScreen",
    "jobs": "jobs_screen:JobsScreen",
    "ahead": "ahead_screen:AheadScreen",
    "newjob": "new_job_screen:NewJobScreen",
    "myshop": "settings_screen:SettingsScreen",
    "toget": "purchasing_screen:PurchasingScreen",
    "done": "done_screen:DoneScreen",
    "job": "job_screen:JobScreen",
}
"""Module and class by place."""


def make_screen(name: str, session: Session) -> ShopScreen:
    """A new screen of this place."""
    return screen_class(name)(session)


def screen_class(name: str) -> type[ShopScreen]:
    """The class of this place's screen."""
    module, of_module = CLASSES[name].split(":")
    found: type[ShopScreen] = getattr(import_module(f"shopday.app.screens.{module}"), of_module)
    return found

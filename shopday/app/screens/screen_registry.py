"""Which screen stands for which place; each is loaded when first gone to."""

from __future__ import annotations

from importlib import import_module

from shopday.app.screens.shop_screen import ShopScreen

CLASSES = {
    "today": "TodayScreen",
    "jobs": "JobsScreen",
    "ahead": "AheadScreen",
    "newjob": "NewJobScreen",
    "myshop": "SettingsScreen",
    "toget": "PurchasingScreen",
    "job": "JobScreen",
}


def open_place(name: str) -> ShopScreen:
    """A fresh screen of that place."""
    screen: ShopScreen = getattr(import_module(f"shopday.app.{name}_screen"), CLASSES[name])()
    return screen

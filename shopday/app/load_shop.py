"""Read the shop while the first picture and the first plan are made."""

from __future__ import annotations

from collections.abc import Callable
from threading import Thread
from typing import TYPE_CHECKING

from textual.message import Message

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

ReadShop = Callable[[Callable[["OpenShop | Exception"], object]], None]
"""Reads the shop and passes it on, at once or later; or the exception that prevented it."""


def read_in_background(read: Callable[[], OpenShop]) -> ReadShop:
    """Read in a thread, so that the first picture and the first plan do not wait."""

    def attempt(hand_on: Callable[[OpenShop | Exception], object]) -> None:
        try:
            found: OpenShop | Exception = read()
        except Exception as error:  # raised again once the terminal is restored
            found = error
        hand_on(found)

    return lambda hand_on: Thread(target=attempt, args=(hand_on,), daemon=True).start()


class ShopLoaded(Message):
    """The shop was read, or could not be."""

    def __init__(self, found: OpenShop | Exception) -> None:
        super().__init__()
        self.found = found

"""What every screen of the shop has: the top line, a quiet line for news, and the keys at the foot."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.containers import Container
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from shopday.app import words
from shopday.app.widgets.footer import ShopFooter
from shopday.app.widgets.header import ShopHeader
from shopday.app.widgets.style_cache import CachedStyles
from shopday.shop.safe_text import clean

if TYPE_CHECKING:
    from shopday.app.app import ShopdayApp
    from shopday.app.session_state import SessionState


class ShopScreen(CachedStyles, Screen[None]):
    """Subclasses compose `body` and redraw in `show_plan`, called whenever plan, shop or minute changed."""

    AUTO_FOCUS = "RowList"
    PLACE: ClassVar[str] = ""
    HELP_TEXT: ClassVar[str] = ""

    _composed = False
    _drawn: tuple[object, ...] = ()

    @property
    def ready(self) -> bool:
        """There is something to show and somewhere to show it: screen composed, app not closing."""
        return (
            self._composed
            and self.is_running
            and not self.desk.empty
            and "news" in (child.id for child in self.children)
        )

    @property
    def shopday(self) -> ShopdayApp:
        from shopday.app.app import ShopdayApp

        assert isinstance(self.app, ShopdayApp)
        return self.app

    @property
    def desk(self) -> SessionState:
        return self.shopday.desk

    def compose(self) -> ComposeResult:
        yield ShopHeader(self.PLACE)
        with Container(id="body"):
            yield from self.body()
        yield Static("", id="news", markup=False)
        yield ShopFooter()

    def body(self) -> ComposeResult:
        """The widgets between the top line and the news."""
        raise NotImplementedError

    def gone_to(self) -> None:
        """Somebody came here by its key, maybe once more."""

    def show_plan(self) -> None:
        """Draw what is known now."""

    def on_screen_resume(self) -> None:
        self.redraw()

    def on_mount(self) -> None:
        self._composed = True
        self.redraw()

    def redraw(self) -> None:
        if not self.ready:
            return
        self.tick()
        self.show_news(self.shopday.news)
        desk = self.desk
        drawn = desk.glance, desk.odds, desk.now, desk.read and desk.read.folder
        if drawn != self._drawn:
            self._drawn = drawn
            self.show_plan()

    def tick(self) -> None:
        """The clock, and whatever runs by the second."""
        if not self.ready:
            return
        now = self.desk.now
        self.query_one(ShopHeader).show_time(f"{now:%a} {now.day} {now:%b}  {words.clock(now)}")

    def show_news(self, news: str) -> None:
        """One quiet line."""
        if not self.ready:
            return
        self.put("#news", Content(clean(news)))

    def put(self, line: str, said: Content) -> None:
        """What stands on a line of fixed height; the screen is left alone where that is the same."""
        shown = self.query_one(line, Static)
        if not (isinstance(shown.content, Content) and shown.content.is_same(said)):
            shown.update(said, layout=False)

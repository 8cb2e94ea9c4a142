"""Windows that were missed before a step was started: the extra work stays with the step."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import NamedTuple

from shopday.journal.state import Key
from shopday.planning.encoding.passes import Pass
from shopday.scheduler import Clock
from shopday.shop.step_graph import HANDS_OFF, Predecessor

Over = Callable[[Pass, str | None], int]
"""Returns the minute at which a finished pass was complete, or at which its wait of that name was over."""

Begun = Callable[[Pass], int | None]
"""Returns the minute at which a pass was begun; None if it was not, or nobody knows when."""


def with_missed(
    passes: Sequence[Pass], before: Mapping[str, tuple[Predecessor, ...]], over: Over, begun: Begun
) -> tuple[Pass, ...]:
    """The same passes; those begun after their window had closed include the extra work."""
    history = _History(passes, before, over)
    return tuple(_late(p) if _was_missed(p, history, begun) else p for p in passes)


def over_at(p: Pass, when: str | None, clock: Clock | None) -> int:
    """The minute at which a finished pass was complete, or at which its wait named `when` was over. `clock`: the
    clock for waits that cure (None: they take what is written)."""
    assert p.log is not None
    assert p.log.finished is not None
    cursor = p.log.finished
    for wait in p.waits if when != HANDS_OFF else ():
        over = cursor + wait.takes if clock is None or not wait.cures else clock.after(cursor, wait.takes)
        if wait.name == when:
            return over
        cursor = cursor if wait.informs else over
    return cursor


def _was_missed(p: Pass, history: _History, begun: Begun) -> bool:
    if p.log is None or p.missed is None or p.skipped:
        return False
    start = begun(p)
    return start is not None and any(start > closed for closed in history.closings(p, start))


def _late(p: Pass) -> Pass:
    adds = p.missed.adds if p.missed is not None and not p.step.absent else 0
    return p._replace(base=p.base + adds, too_late=True)


class _Ref(NamedTuple):
    """What a window counts from: a pass (None: it was not finished yet), and which of its moments."""

    of: Pass | None
    when: str | None
    within: int | None


class _History:
    def __init__(
        self, passes: Sequence[Pass], before: Mapping[str, tuple[Predecessor, ...]], over: Over
    ) -> None:
        self.passes: dict[str, list[Pass]] = defaultdict(list)
        self.known: dict[Key, Pass] = {}
        for p in passes:
            self.passes[p.address].append(p)
            self.known[p.key] = p
        self.before, self.over = before, over

    def closings(self, p: Pass, start: int) -> Iterator[int]:
        """The last minute that kept each window of a pass begun at `start`, for windows that had begun to count."""
        refs = self._refs(p, start)
        ends = [None if ref.of is None else self.over(ref.of, ref.when) for ref in refs]
        yield from (
            end + ref.within
            for ref, end in zip(refs, ends, strict=True)
            if end is not None and ref.within is not None
        )
        known = [end for end in ends if end is not None]
        if p.within is not None and known and len(known) == len(ends):
            yield max(known) + p.within

    def _refs(self, p: Pass, start: int) -> list[_Ref]:
        if p.pass_no > 1:
            return [_Ref(self._if_over(self.known[p.address, p.pass_no - 1], start), None, None)]
        own = (b for b in self.before[p.address] if b.address in self.passes)
        return [_Ref(self._last_over(b.address, start), b.when, b.within) for b in own]

    def _last_over(self, address: str, start: int) -> Pass | None:
        """The last pass of a step that was over by `start`, if at least those written were: one may have been added
        since."""
        last = [p for p in self.passes[address] if p.pass_no >= p.step.passes]
        return next((p for p in reversed(last) if self._if_over(p, start)), None)

    def _if_over(self, p: Pass, start: int) -> Pass | None:
        over = p.log.finished if p.log is not None else None
        return p if over is not None and over <= start else None

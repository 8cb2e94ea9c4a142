"""Waits that somebody tested, and found over before the clock said so or longer than the label says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shopday.journal.state import Key
from shopday.planning.encoding.missed_windows import Over
from shopday.planning.encoding.passes import Pass
from shopday.shop.step_graph import HANDS_OFF


def with_tested(
    passes: Sequence[Pass], tested: Mapping[Key, Mapping[str, int]], over: Over
) -> tuple[Pass, ...]:
    """The same passes; each tested wait of a finished pass takes as long as the test found."""
    return tuple(_with(p, tested[p.key], over) if p.finished and p.key in tested else p for p in passes)


def _with(p: Pass, until: Mapping[str, int], over: Over) -> Pass:
    for n, wait in enumerate(p.waits):
        if wait.name in until:
            before = next((w.name for w in reversed(p.waits[:n]) if not w.informs), HANDS_OFF)
            takes = max(0, until[wait.name] - over(p, before))
            known = wait.model_copy(update={"takes": takes, "cures": False, "spread": None})
            p = p._replace(waits=(*p.waits[:n], known, *p.waits[n + 1 :]))
    return p

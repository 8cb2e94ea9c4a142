"""The state of the shop is a replay of its facts."""

from __future__ import annotations

import datetime as dt
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from shopday.journal.facts import REDO, UNDO, Fact, last_live, last_undone, live
from shopday.journal.state import PassState, Spell, fold

STEP = "table/top/glue"
KINDS = (
    "start", "pause", "finish", "skip", "again", "arrived", "close-day", "pin", "unpin", "reading", "whistled"
)  # fmt: skip


def facts(*told: tuple[Any, ...]) -> list[Fact]:
    """(kind, minute, data) rows about one step, numbered in order."""
    return [
        Fact(i, kind, STEP, 1, at, at * 60, data[0] if data else {})
        for i, (kind, at, *data) in enumerate(told, 1)
    ]


def test_a_pass_has_its_start_and_finish() -> None:
    state = fold(facts(("start", 10, {"people": ["ann", "sam"]}), ("finish", 60)))
    both = ("ann", "sam")
    assert state.passes == {(STEP, 1): PassState((Spell(10, None, both),), 60, both)}


def test_a_finish_alone_leaves_the_start_unknown() -> None:
    assert fold(facts(("finish", 60))).passes == {(STEP, 1): PassState((), 60)}


def test_of_two_facts_the_later_written_holds() -> None:
    state = fold(facts(("start", 10), ("start", 8), ("finish", 60), ("finish", 50)))
    assert state.passes == {(STEP, 1): PassState((Spell(8),), 50)}


def test_a_start_after_the_finish_opens_the_pass_again() -> None:
    assert fold(facts(("finish", 60), ("start", 70))).passes == {(STEP, 1): PassState((Spell(70),))}
    assert fold(facts(("finish", 60), ("start", 20))).passes == {(STEP, 1): PassState((Spell(20),), 60)}


def test_a_finish_before_the_start_leaves_the_start_unknown() -> None:
    assert fold(facts(("start", 70), ("finish", 60))).passes == {(STEP, 1): PassState((), 60)}


def one(*told: tuple[Any, ...]) -> PassState:
    """The pass these facts tell of."""
    return fold(facts(*told)).passes[STEP, 1]


def test_a_paused_pass_is_resumed_by_anybody() -> None:
    log = one(("start", 10, {"people": ["ann"]}), ("pause", 30))
    assert (log.going, log.put_down, log.started) == (False, 30, 10)
    log = one(("start", 10, {"people": ["ann"]}), ("pause", 30), ("start", 50, {"people": ["sam"]}))
    assert (log.going, log.put_down, log.people) == (True, None, ("sam",))
    assert log.worked(70) == (Spell(10, 30, ("ann",)), Spell(50, 70, ("sam",)))


def test_a_finish_ends_the_open_spell_and_cuts_later_ones() -> None:
    told = ("start", 10), ("pause", 30), ("start", 50)
    assert one(*told, ("finish", 60)).worked(99) == (Spell(10, 30), Spell(50, 60))
    assert one(*told, ("finish", 40)).worked(99) == (Spell(10, 30),)
    assert one(*told, ("finish", 20)).worked(99) == (Spell(10, 20),)


def test_a_start_before_the_pause_cancels_it() -> None:
    assert one(("start", 10), ("pause", 30), ("start", 20)).spells == (Spell(10),)
    assert one(("start", 10), ("pause", 30), ("start", 5)).spells == (Spell(5),)


def test_a_pause_of_a_pass_not_in_hand_is_ignored() -> None:
    assert fold(facts(("pause", 10))) == fold([])
    assert one(("start", 10), ("pause", 5)).going
    assert one(("start", 10), ("pause", 20), ("pause", 30)).put_down == 20
    assert one(("start", 10), ("finish", 20), ("pause", 30)).finished == 20


def test_a_skipped_pass_is_over_without_work() -> None:
    assert one(("start", 10), ("skip", 30)) == PassState((), 30, (), True)
    assert one(("skip", 30), ("start", 40)) == PassState((Spell(40),))
    assert one(("skip", 30), ("finish", 40)) == PassState((), 40)


def test_again_adds_a_pass_and_undo_removes_it() -> None:
    twice = facts(("again", 1), ("again", 2))
    assert fold(twice).extra_passes == {STEP: 2}
    undone = [*twice, Fact(3, UNDO, STEP, 1, 3, 3, {"of": 2})]
    assert fold(undone).extra_passes == {STEP: 1}
    assert fold([*undone, Fact(4, REDO, STEP, 1, 4, 4, {"of": 2})]).extra_passes == {STEP: 2}


def test_arrivals_pins_closed_days_and_readings_are_in_the_state() -> None:
    state = fold(
        facts(
            ("arrived", 30),
            ("pin", 5, {"start": 900}),
            ("close-day", 6, {"day": "2026-12-01", "why": "flu"}),
            ("reading", 9, {"celsius": 12.5}),
            ("reading", 7, {"celsius": 14}),
            ("reading", 9, {"celsius": 13}),
        )
    )
    assert state.passes == {(STEP, 1): PassState((), 30)}
    assert state.pins == {(STEP, 1): 900}
    assert state.closed == {dt.date(2026, 12, 1)}
    assert state.readings == [(7, 14.0), (9, 13.0)]
    assert fold(facts(("pin", 5), ("unpin", 6))).pins == {}


def test_facts_without_sense_are_ignored() -> None:
    strange = facts(
        ("close-day", 1, {"day": 3}),
        ("pin", 2, {"start": "soon"}),
        ("reading", 3, {"celsius": "warm"}),
        ("reading", 4, {"celsius": float("nan")}),
        ("whistled", 5),
        (UNDO, 6, {"of": [1]}),
        (REDO, 7, {"of": "first"}),
    )
    assert fold(strange) == fold([])


told_of = st.tuples(
    st.sampled_from(KINDS),
    st.sampled_from(("a/b", "a/c/d")),
    st.integers(1, 3),
    st.integers(0, 50),
    st.sampled_from(({}, {"celsius": 3.0}, {"day": "2026-12-01"}, {"people": ["ann"]})),
)
deeds = st.lists(st.one_of(st.sampled_from((UNDO, REDO)), told_of), max_size=40)


@given(deeds)
def test_taking_back_and_putting_back_is_as_a_person_expects_of_the_two_keys(
    told: list[str | tuple[str, str, int, int, dict[str, Any]]],
) -> None:
    rows: list[Fact] = []
    left: list[Fact] = []
    gone: list[Fact] = []
    for deed in told:
        id, newest_first = len(rows) + 1, rows[::-1]
        if isinstance(deed, tuple):
            kind, address, pass_no, at, data = deed
            rows.append(Fact(id, kind, address, pass_no, at, id, data))
            left.append(rows[-1])
            gone.clear()
        elif deed == UNDO and (last := last_live(newest_first)) is not None:
            assert last == left[-1]
            gone.append(left.pop())
            rows.append(Fact(id, UNDO, "", 0, 0, id, {"of": last.id}))
        elif deed == REDO:
            assert last_undone(newest_first) == (gone[-1].id if gone else None)
            if gone:
                left.append(gone.pop())
                rows.append(Fact(id, REDO, "", 0, 0, id, {"of": left[-1].id}))
        assert live(rows) == left
    assert fold(rows) == fold(left)

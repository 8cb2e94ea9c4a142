"""The state of the shop is a replay of its facts."""

from __future__ import annotations

import datetime as dt
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from shopday.journal.facts import UNDO, Fact
from shopday.journal.state import PassState, fold

STEP = "table/top/glue"
KINDS = ("start", "finish", "again", "arrived", "close-day", "pin", "unpin", "reading", "whistled")


def facts(*told: tuple[Any, ...]) -> list[Fact]:
    """(kind, minute, data) rows about one step, numbered in order."""
    return [
        Fact(i, kind, STEP, 1, at, at * 60, data[0] if data else {})
        for i, (kind, at, *data) in enumerate(told, 1)
    ]


def test_start_and_finish_of_a_pass() -> None:
    state = fold(facts(("start", 10, {"people": ["ann", "sam"]}), ("finish", 60)))
    assert state.passes == {(STEP, 1): PassState(10, 60, ("ann", "sam"))}


def test_a_finish_alone_leaves_the_start_unknown() -> None:
    assert fold(facts(("finish", 60))).passes == {(STEP, 1): PassState(None, 60)}


def test_the_later_written_of_two_is_right() -> None:
    state = fold(facts(("start", 10), ("start", 8), ("finish", 60), ("finish", 50)))
    assert state.passes == {(STEP, 1): PassState(8, 50)}


def test_a_start_after_the_finish_opens_the_pass_again() -> None:
    assert fold(facts(("finish", 60), ("start", 70))).passes == {(STEP, 1): PassState(70, None)}
    assert fold(facts(("finish", 60), ("start", 20))).passes == {(STEP, 1): PassState(20, 60)}


def test_a_finish_before_the_start_leaves_the_start_unknown() -> None:
    assert fold(facts(("start", 70), ("finish", 60))).passes == {(STEP, 1): PassState(None, 60)}


def test_again_adds_a_pass_and_undo_removes_it() -> None:
    twice = facts(("again", 1), ("again", 2))
    assert fold(twice).extra_passes == {STEP: 2}
    assert fold([*twice, Fact(3, UNDO, STEP, 1, 3, 3, {"of": 2})]).extra_passes == {STEP: 1}


def test_arrivals_pins_closed_days_and_readings() -> None:
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
    assert state.arrived == {STEP: 30}
    assert state.pins == {(STEP, 1): 900}
    assert state.closed == {dt.date(2026, 12, 1)}
    assert state.readings == [(7, 14.0), (9, 13.0)]
    assert fold(facts(("pin", 5), ("unpin", 6))).pins == {}


def test_facts_without_sense_count_nothing() -> None:
    strange = facts(
        ("close-day", 1, {"day": 3}),
        ("pin", 2, {"start": "soon"}),
        ("reading", 3, {"celsius": "warm"}),
        ("reading", 4, {"celsius": float("nan")}),
        ("whistled", 5),
        (UNDO, 6, {"of": [1]}),
    )
    assert fold(strange) == fold([])


deeds = st.lists(
    st.one_of(
        st.just(None),
        st.tuples(
            st.sampled_from(KINDS),
            st.sampled_from(("a/b", "a/c/d")),
            st.integers(1, 3),
            st.integers(0, 50),
            st.sampled_from(({}, {"celsius": 3.0}, {"day": "2026-12-01"}, {"people": ["ann"]})),
        ),
    ),
    max_size=30,
)


@given(deeds)
def test_taking_back_is_as_if_it_had_never_been(
    told: list[tuple[str, str, int, int, dict[str, Any]] | None],
) -> None:
    rows: list[Fact] = []
    left: list[Fact] = []
    for deed in told:
        id = len(rows) + 1
        if deed is not None:
            kind, address, pass_no, at, data = deed
            rows.append(Fact(id, kind, address, pass_no, at, id, data))
            left.append(rows[-1])
        elif left:
            rows.append(Fact(id, UNDO, "", 0, 0, id, {"of": left.pop().id}))
    assert fold(rows) == fold(left)

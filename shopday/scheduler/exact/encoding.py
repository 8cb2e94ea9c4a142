"""Times as CP-SAT expressions: minutes or positions, each a variable plus a constant, with its known range."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from ortools.sat.python import cp_model

from shopday.scheduler.exact.clock_pieces import SCALE, ClockPiece
from shopday.scheduler.exact.working_axis import Jumps

Literal = Any
"""A Boolean variable, its negation, or a constant."""


class Declined(Exception):
    """The model cannot express the problem, or does not accept its schedule; the message says why, in a few words."""


@dataclass(frozen=True, slots=True)
class Time:
    """`variable` (None: a constant) plus `plus`, between `low` and `high`."""

    variable: Any
    plus: int
    low: int
    high: int

    @staticmethod
    def at(minute: int) -> Time:
        return Time(None, minute, minute, minute)

    @property
    def of(self) -> Any:
        return self.plus if self.variable is None else self.variable + self.plus

    def later(self, minutes: int) -> Time:
        return Time(self.variable, self.plus + minutes, self.low + minutes, self.high + minutes)


class Encoding:
    """A CP-SAT model under construction."""

    def __init__(self) -> None:
        self.model = cp_model.CpModel()
        self._reached: dict[tuple[int, int], Literal] = {}

    def time(self, low: int, high: int) -> Time:
        return Time(self.model.new_int_var(low, max(low, high), ""), 0, low, max(low, high))

    def literal(self) -> Literal:
        return self.model.new_bool_var("")

    def reached(self, time: Time, value: int) -> Literal:
        """A literal: the time is this late or later."""
        if value <= time.low or value > time.high:
            return int(value <= time.low)
        key = time.variable.index, value - time.plus
        if key not in self._reached:
            literal = self._reached[key] = self.literal()
            self.model.add(time.of >= value).only_enforce_if(literal)
            self.model.add(time.of < value).only_enforce_if(~literal)
        return self._reached[key]

    def stepped(self, time: Time, plus: int, jumps: Jumps) -> Time:
        """The time plus a constant, plus every jump whose minute it has reached."""
        plus += sum(jump for at, jump in jumps if at <= time.low)
        ahead = [(at, jump) for at, jump in jumps if time.low < at <= time.high]
        if not ahead:
            return time.later(plus)
        edges, total = [time.low + plus], plus
        for at, jump in ahead:
            edges += [at - 1 + total, at + total + jump]
            total += jump
        found = self.time(min(edges), max(*edges, time.high + total))
        steps = sum(jump * self.reached(time, at) for at, jump in ahead)
        self.model.add(found.of == time.of + plus + steps)
        return found

    def by_pieces(self, time: Time, pieces: Sequence[ClockPiece]) -> Time:
        """The end, on a clock in pieces, of what starts at a time."""
        here = [x for x in pieces if x.first <= time.high and x.last >= time.low]
        if all(x.gap is not None for x in here):
            gaps = [x.gap or 0 for x in here]
            jumps = [(x.first, b - a) for x, a, b in zip(here[1:], gaps, gaps[1:], strict=False)]
            return self.stepped(time, gaps[0], jumps)
        ends = [(x.slope * t + x.shift) // SCALE for x in here for t in (x.first, x.last)]
        found = self.time(min(ends), max(ends))
        chosen = []
        for x in here:
            literal = self.literal()
            chosen.append(literal)
            inside = cp_model.Domain(x.first, x.last)
            self.model.add_linear_expression_in_domain(time.of, inside).only_enforce_if(literal)
            self._end_of_piece(literal, x, time, found)
        self.model.add_exactly_one(chosen)
        return found

    def _end_of_piece(self, literal: Literal, piece: ClockPiece, time: Time, end: Time) -> None:
        if piece.gap is not None:
            self.model.add(end.of == time.of + piece.gap).only_enforce_if(literal)
            return
        line = piece.slope * time.of + piece.shift
        self.model.add(SCALE * end.of <= line).only_enforce_if(literal)
        self.model.add(SCALE * end.of + SCALE - 1 >= line).only_enforce_if(literal)

    def latest(self, times: Iterable[Time]) -> Time:
        """The latest of these times."""
        every = list(times)
        low = max(time.low for time in every)
        ahead = [time for time in every if time.high > low or time.low == low]
        if len(ahead) == 1:
            return ahead[0]
        found = self.time(low, max(time.high for time in ahead))
        self.model.add_max_equality(found.of, [time.of for time in ahead])
        return found

    def within(self, time: Time, ranges: Sequence[Sequence[int]], unless: Literal = None) -> None:
        """Keep a time within closed ranges. unless: not if this literal holds."""
        if not ranges:
            self.model.add_bool_or([] if unless is None else [unless])
            return
        domain = cp_model.Domain.from_intervals([list(x) for x in ranges])
        held = self.model.add_linear_expression_in_domain(time.of, domain)
        if unless is not None:
            held.only_enforce_if(~unless)

"""Profiles: the use of a resource over time, as values that are never changed in place.

Placing a task makes new profiles and leaves the old ones valid, so a search can return to any point of an order by
keeping the list of profiles from there.

A unary profile (capacity 1, dust, still air) is a flat ascending list `[from, to, from, to, ...]` of taken spans:
bisection gives a position whose parity tells whether a minute is taken. A level profile (larger capacity) is a pair
of lists: the minutes at which the level changes, and the level from each on.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right

Unary = list[int]
Levels = tuple[list[int], list[int]]

NO_UNARY: Unary = []
NO_LEVELS: Levels = ([], [])


def taken(profile: Unary, start: int, end: int, need: int = 0) -> int | None:
    """None if all of [start, end) is free; else the next minute that is free for at least `need` minutes."""
    i = bisect_right(profile, start)
    if not i & 1:
        if i == len(profile) or profile[i] >= end:
            return None
        i += 1
    last = len(profile) - 1
    while i < last and profile[i + 1] - profile[i] < need:
        i += 2
    return profile[i]


def take_capacity(profile: Unary, start: int, end: int) -> Unary:
    """The profile with [start, end) taken too."""
    low = bisect_left(profile, start)
    high = bisect_right(profile, end)
    new = profile[:low]
    if not low & 1:
        new.append(start)
    if not high & 1:
        new.append(end)
    new += profile[high:]
    return new


def above(profile: Levels, start: int, end: int, room: int) -> int | None:
    """The minute at which the level is back at `room` after it first exceeds it in [start, end), or None."""
    times, levels = profile
    i = bisect_right(times, start) - 1
    if i < 0:
        i = 0
    n = len(times)
    while i < n and times[i] < end:
        if levels[i] > room:
            i += 1
            while levels[i] > room:
                i += 1
            return times[i]
        i += 1
    return None


def raise_level(profile: Levels, start: int, end: int, amount: int) -> Levels:
    """The profile with the level higher by `amount` in [start, end)."""
    times, levels = profile[0].copy(), profile[1].copy()
    i = bisect_left(times, start)
    if i == len(times) or times[i] != start:
        times.insert(i, start)
        levels.insert(i, levels[i - 1] if i else 0)
    j = bisect_left(times, end, i)
    if j == len(times) or times[j] != end:
        times.insert(j, end)
        levels.insert(j, levels[j - 1])
    for k in range(i, j):
        levels[k] += amount
    return times, levels

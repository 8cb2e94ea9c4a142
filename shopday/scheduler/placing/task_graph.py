"""The graph of the tasks: which come after which, in what order they can be placed, and which must be placed as one."""

from __future__ import annotations

from collections.abc import Sequence

from shopday.scheduler.placing.prepared_task import PreparedTask

WindowLink = tuple[int, int, int, int]
"""A hard window with one moment: (task that must keep it, moment it counts from, offset, within)."""


class TaskGraph:
    """Links between tasks by their lags and windows.

    successors: by task, those that wait for it.
    rank:       by task; each comes after everything its lags name.
    units:      strongly connected components over lags forward and hard windows backward, by rank; `unit_of` of each
                task.
    needs:      by task, the tasks to be placed before it: those of lags, and of windows if that makes no circle.
    followers:  by task, what must start soon after it.
    watchers:   by task that is placed after them, the hard windows that count from it.
    """

    def __init__(self, prepared: Sequence[PreparedTask]) -> None:
        self.prepared = prepared
        self.successors = self._successors()
        self.rank = self._ranks()
        self.units, self.unit_of = self._units()
        self.needs = self._needs()
        self.watchers = self._watchers()
        self.followers = self._followers()

    def _successors(self) -> tuple[tuple[int, ...], ...]:
        after: list[list[int]] = [[] for _ in self.prepared]
        for i, prepared in enumerate(self.prepared):
            for j in {j for j, _, _ in prepared.lags}:
                after[j].append(i)
        return tuple(tuple(x) for x in after)

    def _hard_refs(self, i: int) -> list[int]:
        """Tasks that may have to move later so that this one keeps its window."""
        prepared = self.prepared[i]
        if prepared.task.at is not None or prepared.task.fixed is not None:
            return []
        if prepared.task.starts_immediately:
            return [j for j, _, _ in prepared.lags]
        return [] if prepared.soft else [j for refs, _ in prepared.windows for j, _, _ in refs]

    def _units(self) -> tuple[tuple[tuple[int, ...], ...], tuple[int, ...]]:
        """Strongly connected components over lags forward and hard windows backward."""
        out: list[list[int]] = [list(x) for x in self.successors]
        for i in range(len(self.prepared)):
            for j in self._hard_refs(i):
                if self.prepared[j].task.fixed is None:
                    out[i].append(j)
                    out[j].append(i)
        groups = components(out)
        unit_of = [0] * len(self.prepared)
        rank = self.rank
        units: list[tuple[int, ...]] = []
        for group in sorted((sorted(g, key=rank.__getitem__) for g in groups), key=lambda g: rank[g[0]]):
            for i in group:
                unit_of[i] = len(units)
            units.append(tuple(group))
        return tuple(units), tuple(unit_of)

    def _ranks(self) -> list[int]:
        """A rank for each task, after everything its lags name."""
        n = len(self.prepared)
        rank, seen = [0] * n, [0] * n
        count = 0
        for root in range(n):
            stack = [(root, iter(self._lagged(root)))] if not seen[root] else []
            if stack:
                seen[root] = 1
            while stack:
                i, rest = stack[-1]
                for j in rest:
                    if not seen[j]:
                        seen[j] = 1
                        stack.append((j, iter(self._lagged(j))))
                        break
                else:
                    rank[i] = count
                    count += 1
                    stack.pop()
        return rank

    def _lagged(self, i: int) -> list[int]:
        return [j for j, _, _ in self.prepared[i].lags]

    def _before(self, i: int) -> list[int]:
        prepared = self.prepared[i]
        return [j for j, _, _ in prepared.lags] + [j for refs, _ in prepared.windows for j, _, _ in refs]

    def _needs(self) -> tuple[tuple[int, ...], ...]:
        """By task, the tasks to be placed before it: those of lags, and of windows if that makes no circle."""
        rank = self.rank
        return tuple(
            tuple(dict.fromkeys(j for j in self._before(i) if rank[j] < rank[i]))
            for i in range(len(self.prepared))
        )

    def _followers(self) -> dict[int, list[WindowLink]]:
        """By task, what must start soon after it: (task, moment, offset, within) of hard windows with one moment."""
        out: dict[int, list[WindowLink]] = {}
        for i, prepared in enumerate(self.prepared):
            if not prepared.soft and prepared.staff and prepared.task.at is None and not prepared.task.going:
                for refs, within in prepared.windows:
                    if len(refs) == 1 and self.rank[refs[0][0]] < self.rank[i]:
                        j, m, offset = refs[0]
                        out.setdefault(j, []).append((i, m, offset, within))
        return out

    def _watchers(self) -> dict[int, list[WindowLink]]:
        """By task, the hard windows with one moment that count from it: (task, moment, offset, within)."""
        out: dict[int, list[WindowLink]] = {}
        for i, prepared in enumerate(self.prepared):
            if not prepared.soft and prepared.task.fixed is None and prepared.task.at is None:
                for refs, within in prepared.windows:
                    if len(refs) == 1 and self.rank[refs[0][0]] > self.rank[i]:
                        j, m, offset = refs[0]
                        out.setdefault(j, []).append((i, m, offset, within))
        return out


def components(out: list[list[int]]) -> list[list[int]]:
    """Strongly connected components of a graph (Tarjan 1972), without recursion."""
    n = len(out)
    index, low, on = [-1] * n, [0] * n, [False] * n
    path: list[int] = []
    groups: list[list[int]] = []
    count = 0
    for root in range(n):
        if index[root] >= 0:
            continue
        work = [(root, 0)]
        while work:
            v, k = work.pop()
            if index[v] < 0:
                index[v] = low[v] = count
                count += 1
                path.append(v)
                on[v] = True
            for k in range(k, len(out[v])):  # noqa: B020 - goes on where it left off
                w = out[v][k]
                if index[w] < 0:
                    work += [(v, k), (w, 0)]
                    break
                if on[w]:
                    low[v] = min(low[v], low[w])
            else:
                if low[v] == index[v]:
                    group = []
                    while True:
                        w = path.pop()
                        on[w] = False
                        group.append(w)
                        if w == v:
                            break
                    groups.append(group)
    return groups

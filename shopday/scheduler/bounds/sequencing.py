"""The least cost of taking jobs one after another: over all orders, or over all assignments of places."""

from __future__ import annotations

from collections.abc import Callable, Sequence

HUGE = 1 << 200
"""More than any cost."""


def least_over_orders(count: int, cost: Callable[[int, int], int]) -> int:
    """The least total over all orders of `count` jobs (Held and Karp 1962).

    cost(job, done): the cost of a job as the last of a set of jobs; the set is a bit mask.
    """
    best = [0]
    for done in range(1, 1 << count):
        jobs = [job for job in range(count) if done >> job & 1]
        best.append(min(best[done ^ 1 << job] + cost(job, done) for job in jobs))
    return best[-1]


def least_assignment(costs: Sequence[Sequence[int]]) -> int:
    """The least total of assigning each row of a square table a column of its own.

    The Hungarian method (Kuhn 1955, Munkres 1957) by shortest augmenting paths (Jonker and Volgenant 1987): no cell
    costs less than the prices of its row and column together. Column `n` stands for none.
    """
    n = len(costs)
    row_price, column_price = [0] * n, [0] * (n + 1)
    row_of = [-1] * (n + 1)
    for row in range(n):
        row_of[n], column = row, n
        slack, came_from = [HUGE] * n, [n] * n
        reached: list[int] = []
        rest = list(range(n))
        while row_of[column] >= 0:
            reached.append(column)
            at = row_of[column]
            for j in rest:
                over = costs[at][j] - row_price[at] - column_price[j]
                if over < slack[j]:
                    slack[j], came_from[j] = over, column
            column = min(rest, key=slack.__getitem__)
            step = slack[column]
            for j in reached:
                row_price[row_of[j]] += step
                column_price[j] -= step
            for j in rest:
                slack[j] -= step
            rest.remove(column)
        while column != n:
            row_of[column] = row_of[came_from[column]]
            column = came_from[column]
    return sum(row_price) + sum(column_price[:n])

"""Arithmetic expressions in recipes: "45m + 12m * boards", "2 if weight > 23 else 1". Parsed, never executed as
code.

Durations are minutes ("2h 30m" is 150). Names are the recipe's parameters and values, or one of a few functions.
Everything is bounded: no loops, no powers, no attributes, no unknown names.
"""

from __future__ import annotations

import ast
import math
import operator
import re
from collections.abc import Callable, Mapping
from typing import Any

from shopday.shop.faults import suggest
from shopday.text.wrong_input import WrongInput, wrong_and_right

Value = float | str
Function = Callable[..., Value]

LONGEST = 400
"""The most characters of an expression; no maker reads a longer one."""
MOST_NODES = 120
LARGEST = 1e9

_PIECE = r"\d+(?:\.\d+)?\s*[mhd](?![\w.])"
_DURATION = re.compile(rf"(?<![\w.]){_PIECE}(?:\s+{_PIECE})*")
_MINUTES = {"m": 1, "h": 60, "d": 1440}

_BINARY: dict[type, Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.FloorDiv: operator.floordiv,
}
_COMPARE: dict[type, Callable[[Any, Any], bool]] = {
    ast.Eq: operator.eq,
    ast.NotEq: operator.ne,
    ast.Lt: operator.lt,
    ast.LtE: operator.le,
    ast.Gt: operator.gt,
    ast.GtE: operator.ge,
}
_PLAIN: dict[str, Function] = {"ceil": math.ceil, "floor": math.floor, "round": round, "min": min, "max": max}


class SumError(WrongInput):
    """An expression that cannot be evaluated; the message says why."""


def work_out(text: str, names: Mapping[str, Value], functions: Mapping[str, Function]) -> Value:
    """The value of an expression. Raises SumError."""
    tree = _tree(text)
    try:
        value: Value = _Reader(names, {**_PLAIN, **functions}).read(tree)
    except (ArithmeticError, TypeError, ValueError, LookupError) as error:
        if isinstance(error, SumError):
            raise
        wrong, right = wrong_and_right(error)
        raise SumError(f"`{text}` cannot be worked out: {wrong}", right) from None
    return value


def as_number(text: Any, names: Mapping[str, Value], functions: Mapping[str, Function]) -> float:
    """The value of an expression that must be a number; numbers are returned unchanged."""
    value = work_out(text, names, functions) if isinstance(text, str) else text
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise SumError(f"`{text}` is not a number", "write one, or a sum such as `45m + 12m * boards`")
    return float(_bounded(value))


def _tree(text: str) -> ast.expr:
    if len(text) > LONGEST:
        raise SumError(f"a sum has more than {LONGEST} characters", "make `values` of its pieces")
    plain = _DURATION.sub(lambda match: str(_minutes(match[0])), text.strip())
    try:
        tree = ast.parse(plain, mode="eval")
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        raise SumError(f"`{text}` is not a sum", "write one such as `45m + 12m * boards`") from None
    if sum(1 for _ in ast.walk(tree)) > MOST_NODES:
        raise SumError(f"`{text}` is too long a sum", "make `values` of its pieces")
    return tree.body


def _minutes(duration: str) -> float:
    pieces = re.findall(r"([\d.]+)\s*([mhd])", duration)
    return sum(float(amount) * _MINUTES[unit] for amount, unit in pieces)


def _bounded(value: Any) -> Any:
    if isinstance(value, (int, float)) and not (math.isfinite(value) and abs(value) <= LARGEST):
        raise SumError("a sum grew beyond all measure", "look at its factors")
    return value


class _Reader:
    def __init__(self, names: Mapping[str, Value], functions: Mapping[str, Function]) -> None:
        self.names, self.functions = names, functions

    def read(self, node: ast.expr) -> Any:
        reader = getattr(self, f"_{type(node).__name__.lower()}", None)
        if reader is None:
            raise SumError("only + - * / //, comparisons, `if`, names and a few functions may stand in a sum")
        return _bounded(reader(node))

    def _constant(self, node: ast.Constant) -> Value:
        if isinstance(node.value, (int, float, str)) and not isinstance(node.value, bool):
            return node.value
        raise SumError(f"{node.value!r} cannot stand in a sum")

    def _name(self, node: ast.Name) -> Value:
        if node.id not in self.names:
            known = suggest(node.id, self.names, "name one that stands above")
            raise SumError(f"no parameter or value `{node.id}`", f"{known}")
        return self.names[node.id]

    def _binop(self, node: ast.BinOp) -> float:
        act = _BINARY.get(type(node.op))
        if act is None:
            raise SumError("only + - * / // may stand in a sum")
        return act(self._plain(node.left), self._plain(node.right))

    def _unaryop(self, node: ast.UnaryOp) -> float | bool:
        if isinstance(node.op, ast.Not):
            return not self.read(node.operand)
        value = self._plain(node.operand)
        return -value if isinstance(node.op, ast.USub) else value

    def _boolop(self, node: ast.BoolOp) -> bool:
        values = (bool(self.read(value)) for value in node.values)
        return all(values) if isinstance(node.op, ast.And) else any(values)

    def _compare(self, node: ast.Compare) -> bool:
        if len(node.ops) != 1 or type(node.ops[0]) not in _COMPARE:
            raise SumError("compare two things, with < <= > >= == !=")
        return _COMPARE[type(node.ops[0])](self.read(node.left), self.read(node.comparators[0]))

    def _ifexp(self, node: ast.IfExp) -> Value:
        value: Value = self.read(node.body if self.read(node.test) else node.orelse)
        return value

    def _call(self, node: ast.Call) -> Value:
        name = node.func.id if isinstance(node.func, ast.Name) else ""
        if name not in self.functions or node.keywords:
            raise SumError(f"no function `{name}`", f"there is {', '.join(sorted(self.functions))}")
        return self.functions[name](*map(self.read, node.args))

    def _plain(self, node: ast.expr) -> float:
        value = self.read(node)
        if not isinstance(value, (int, float)):
            raise SumError(f"`{value}` is not a number")
        return value

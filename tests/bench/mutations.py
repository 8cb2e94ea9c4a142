"""Numbers of the book and of the formulas, changed one at a time: which changes do the tests of the trade not notice?

    python tests/bench/mutations.py [SHARE] [SEED] [--only TEXT] [--no-records]

SHARE (0 to 1, default 1) of all numbers is tried, drawn with SEED. Each is made half as large again (0 becomes 1) in a copy of
the tree, and the tests that concern its file are run on it, in a child of this process, which has loaded what they need: first
those that are the likeliest to notice, then the rest.
Prints every survivor, and last how many there were of each kind. --only: numbers of files whose path has this in it.
--no-records: without the tests that only hold figures as they were recorded, to see what is held to something else.
"""

from __future__ import annotations

import argparse
import importlib
import os
import re
import shutil
import signal
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest

ROOT = Path(__file__).resolve().parents[2]
BOOK, MATERIALS = Path("shopday/shop/book"), Path("shopday/shop/materials")
NUMBER = re.compile(r"(?<![\w.#-])\d+(?:\.\d+)?(?![\w.]*[-:]\d)")
TEXTS = re.compile(
    r'(?:#[^\n]*|\bcautions\s*=\s*\[.*?\]|\b(?:says|name|help|why|unit|sources?)\s*=\s*(?:"(?:[^"\\]|\\.)*"|\{[^}]*\})|""".*?"""|"(?:published|common practice|from memory)(?:[^"\\]|\\.)*")',
    re.DOTALL,
)
"""Comments and prose: no figure that anything is worked out from."""
RECIPE_TESTS = (
    "test_numbers_of_recipes",
    "test_numbers_of_steps",
    "test_sittings",
    "test_recipes",
    "test_right_waits",
)
TESTS = {
    "materials.toml": ("test_figures", "test_book", "test_right_waits", "test_mixing", "test_recipes"),
    "species.toml": ("test_figures", "test_trade", "test_recipes"),
    "formulas.py": (
        "test_trade",
        "test_recipes",
        "test_right_waits",
        "test_cautions",
        "test_published",
        "test_numbers_of_steps",
    ),
    "mixing.py": ("test_mixing", "test_recipes"),
    "ratios.py": ("test_mixing",),
    "gates.py": ("test_gates",),
    "shop_temperature.py": ("test_temperature",),
}
"""Modules of tests/trade, the likeliest to notice first."""
FORMULAS = (
    MATERIALS / "formulas.py",
    MATERIALS / "mixing.py",
    Path("shopday/shop/ratios.py"),
    Path("shopday/shop/recipes/gates.py"),
    Path("shopday/planning/encoding/shop_temperature.py"),
)
RECORDS = "not those_recorded"
"""Leaves out the tests that hold figures as they stand."""
PRELOADED = ("hypothesis", "shopday.planning.open_shop", "shopday.app.forms.new_job_form")
LONGEST = 600
"""Seconds after which a change counts as noticed: something went on for ever."""

Mutant = tuple[Path, int, int, str]
"""A file of the copy, where its number begins and ends, and what takes its place."""


def mutants(folder: Path, only: str) -> Iterator[Mutant]:
    recipes = (path.relative_to(folder) for path in sorted((folder / BOOK / "recipes").glob("*.toml")))
    for file in (BOOK / "materials.toml", BOOK / "species.toml", *recipes, *FORMULAS):
        if only not in str(file):
            continue
        text = (folder / file).read_text("utf-8")
        prose = [match.span() for match in TEXTS.finditer(text)]
        for match in NUMBER.finditer(text):
            if not any(start <= match.start() < end for start, end in prose):
                yield file, *match.span(), _other(match[0])


def _other(number: str) -> str:
    value = float(number)
    changed = value * 1.5 if value else 1
    return f"{changed:g}" if "." in number else str(max(int(value) + 1, int(changed)))


def kind(file: Path) -> str:
    return (
        "recipes"
        if file.parent.name == "recipes" and file.suffix == ".toml"
        else "formulas"
        if file.suffix == ".py"
        else "book"
    )


def stages(file: Path, records: bool) -> tuple[list[str], ...]:
    """What pytest is told for a file, the likeliest to notice first."""
    first, *rest = RECIPE_TESTS if kind(file) == "recipes" else TESTS[file.name]
    every = [[_module(first)], [_module(name) for name in rest]]
    if kind(file) == "recipes" and records:
        every.insert(0, [f"{_module('test_three_sets')}::test_its_values_are_those_recorded[{file.stem}]"])
    chosen = [] if records else ["-k", RECORDS]
    return tuple(
        ["-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", *chosen, *one] for one in every if one
    )


def _module(name: str) -> str:
    return f"tests/trade/{name}.py"


def survives(folder: Path, mutant: Mutant, records: bool) -> bool:
    """Whether all tests pass in the copy of the tree with this one number changed."""
    file, start, end, new = mutant
    whole = (folder / file).read_text("utf-8")
    (folder / file).write_text(whole[:start] + new + whole[end:], "utf-8")
    passed = all(_passes(file, stage) for stage in stages(file, records))
    (folder / file).write_text(whole, "utf-8")
    return passed


def _passes(file: Path, stage: list[str]) -> bool:
    child = os.fork()
    if child == 0:
        _test(file, stage)
    _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status) == 0


def _test(file: Path, stage: list[str]) -> None:
    """Never returns: the child ends with the status of its tests."""
    signal.alarm(LONGEST)
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    os.dup2(1, 2)
    if file.suffix == ".py":
        for name in [name for name in sys.modules if name.startswith("shopday")]:
            del sys.modules[name]
    os._exit(int(pytest.main(stage)))


def main(share: float, seed: int, only: str, records: bool) -> None:
    tried, lived = Counter[str](), Counter[str]()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "tree"
        shutil.copytree(
            ROOT, folder, ignore=shutil.ignore_patterns(".git", ".venv", "__pycache__", ".*_cache")
        )
        os.chdir(folder)
        sys.path[:0] = [str(folder), str(folder / "tests")]
        for name in PRELOADED:
            importlib.import_module(name)
        every = list(mutants(folder, only))
        # A compiled file would outlive its change.
        sys.dont_write_bytecode = any(file.suffix == ".py" for file, *_ in every)
        for mutant in Random(seed).sample(every, round(share * len(every))):
            file, start, end, new = mutant
            tried[kind(file)] += 1
            if survives(folder, mutant, records):
                lived[kind(file)] += 1
                text = (folder / file).read_text("utf-8")
                line = text.count("\n", 0, start) + 1
                print(f"survived: {file}:{line}: {text[start:end]} -> {new}", flush=True)
    for name in tried:
        print(f"{name}: {lived[name]} of {tried[name]} survived, {100 * lived[name] / tried[name]:.1f} %")


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("share", type=float, nargs="?", default=1.0)
    parser.add_argument("seed", type=int, nargs="?", default=0)
    parser.add_argument("--only", default="")
    parser.add_argument("--no-records", action="store_true")
    given = parser.parse_args()
    main(given.share, given.seed, given.only, not given.no_records)

"""Numbers of the book and of the formulas, changed one at a time: which changes do the tests of the trade not notice?

    python tests/bench/mutations.py [SHARE] [SEED]

SHARE (0 to 1, default 1) of all numbers is tried, drawn with SEED. Each is made half as large again (0 becomes 1) in a copy of
the tree, and the tests that concern its file are run on it. Prints every survivor, and last how many there were.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parents[2]
BOOK, MATERIALS = Path("shopday/shop/book"), Path("shopday/shop/materials")
NUMBER = re.compile(r"(?<![\w.#-])\d+(?:\.\d+)?(?![\w.]*[-:]\d)")
TEXTS = re.compile(
    r'(?:#[^\n]*|\b(?:says|name|help|why|unit|sources?)\s*=\s*(?:"[^"]*"|\{[^}]*\})|""".*?"""|"(?:published|common practice|from memory)[^"]*")',
    re.DOTALL,
)
"""Comments and prose: no figure that anything is worked out from."""
TESTS = {
    "materials.toml": [
        "tests/trade/test_figures.py",
        "tests/trade/test_book.py",
        "tests/trade/test_right_waits.py",
    ],
    "species.toml": ["tests/trade/test_figures.py"],
    "formulas.py": [
        "tests/trade/test_trade.py",
        "tests/trade/test_recipes.py",
        "tests/planning/test_measured.py",
    ],
    "mixing.py": ["tests/trade/test_mixing.py"],
}


def tests_of(file: Path) -> list[str]:
    if file.parent.name == "recipes":
        return [
            f"tests/trade/test_three_sets.py::test_its_values_are_those_recorded[{file.stem}]",
            "tests/trade/test_recipes.py",
        ]
    return TESTS[file.name]


def mutants() -> Iterator[tuple[Path, int, int, str]]:
    """File, where its number begins and ends, and what takes its place."""
    recipes = sorted((ROOT / BOOK / "recipes").glob("*.toml"))
    for file in [
        ROOT / BOOK / "materials.toml",
        ROOT / BOOK / "species.toml",
        *recipes,
        *(ROOT / MATERIALS / n for n in ("formulas.py", "mixing.py")),
    ]:
        text = file.read_text("utf-8")
        prose = [match.span() for match in TEXTS.finditer(text)]
        for match in NUMBER.finditer(text):
            if not any(start <= match.start() < end for start, end in prose):
                yield file.relative_to(ROOT), *match.span(), _other(match[0])


def _other(number: str) -> str:
    value = float(number)
    changed = value * 1.5 if value else 1
    return f"{changed:g}" if "." in number else str(max(int(value) + 1, int(changed)))


def survives(folder: Path, mutant: tuple[Path, int, int, str]) -> bool:
    file, start, end, new = mutant
    whole = (ROOT / file).read_text("utf-8")
    (folder / file).write_text(whole[:start] + new + whole[end:], "utf-8")
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *tests_of(file)]
    status = subprocess.run(command, cwd=folder, capture_output=True, timeout=600, check=False).returncode
    (folder / file).write_text(whole, "utf-8")
    return status == 0


def main(share: float, seed: int) -> None:
    every = list(mutants())
    chosen = Random(seed).sample(every, round(share * len(every)))
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "tree"
        shutil.copytree(
            ROOT, folder, ignore=shutil.ignore_patterns(".git", ".venv", "__pycache__", ".*_cache")
        )
        lived = 0
        for number, mutant in enumerate(chosen, 1):
            if survives(folder, mutant):
                lived += 1
                file, start, end, new = mutant
                text = (ROOT / file).read_text("utf-8")
                line = text.count("\n", 0, start) + 1
                print(f"survived: {file}:{line}: {text[start:end]} -> {new}", flush=True)
            if number % 20 == 0:
                print(f"{number} of {len(chosen)}: {lived} survived", flush=True)
    print(f"{lived} of {len(chosen)} survived: {100 * lived / max(1, len(chosen)):.1f} %")


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 1.0, int(sys.argv[2]) if len(sys.argv) > 2 else 0)

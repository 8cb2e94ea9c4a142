"""What is installed is what stands in the repository."""

import re
import tomllib
from importlib import metadata, resources
from itertools import chain
from pathlib import Path

ROOT = Path(__file__).parents[1]


def test_every_package_is_installed() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    named = set(project["tool"]["setuptools"]["packages"])
    found = {".".join(p.parent.relative_to(ROOT).parts) for p in ROOT.glob("shopday/**/__init__.py")}
    assert named == found | {"shopday.demo_jobs"}


def test_the_top_level_is_as_agreed() -> None:
    plain = {p.name for p in ROOT.iterdir() if not p.name.startswith(".")}
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "shopday", "tests", "demo_jobs"}
    made = {"build", "dist", "shopday.egg-info"}
    assert plain - made == allowed


def test_the_licence_is_installed_with_the_package() -> None:
    assert metadata.metadata("shopday")["License-Expression"] == "MIT"
    text = resources.files("shopday").joinpath("LICENSE.txt").read_text("utf-8")
    assert text.startswith("MIT License")
    assert "the shopday authors" in text


def test_every_dependency_has_a_lower_and_an_upper_bound() -> None:
    """Time zone data alone is the better the newer it is."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    needed = [*project["dependencies"], *chain(*project["optional-dependencies"].values())]
    unbound = [line for line in needed if not re.match(r"[\w-]+>=[\d.]+,<[\d.]+$", line)]
    assert [line.partition(">=")[0] for line in unbound] == ["tzdata"]

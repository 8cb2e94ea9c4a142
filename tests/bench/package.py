"""What is packaged, and whether it works: a source package with every file of the repository, a wheel made from it, and
that wheel installed and used on each Python that is here.

    python tests/bench/package.py
"""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import tempfile
import zipfile
from pathlib import Path
from shutil import which

ROOT = Path(__file__).parents[2]
PYTHONS = ("3.11", "3.12", "3.13", "3.14")
PYENV = Path.home() / ".pyenv" / "versions"
USED = """
import shopday
assert shopday.Workshop and shopday.__file__.startswith(__import__("sys").prefix), shopday.__file__
"""


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        room = Path(name)
        tree = room / "tree"
        tree.mkdir()
        files = run("git", "-C", ROOT, "ls-files").splitlines()
        for file in files:
            (tree / file).parent.mkdir(parents=True, exist_ok=True)
            (tree / file).write_bytes((ROOT / file).read_bytes())
        source = source_package(room, tree, files)
        made = wheel(room, source, files)
        for version in PYTHONS:
            try_on(room, made, version)


def source_package(room: Path, tree: Path, files: list[str]) -> Path:
    """Unpacked."""
    python = environment(room / "builder", sys.executable)
    run(python, "-m", "pip", "install", "-q", "setuptools>=77")
    build = (
        "import sys; sys.path.insert(0, '.ci'); import build_backend; build_backend.build_sdist(sys.argv[1])"
    )
    run(python, "-c", build, room / "dist", cwd=tree)
    (packed,) = (room / "dist").glob("*.tar.gz")
    with tarfile.open(packed) as archive:
        archive.extractall(room / "source", filter="data")
    (found,) = (room / "source").iterdir()
    lacking = [file for file in files if not (found / file).exists()]
    print(f"{packed.name}: {len(files)} files of the repository, {len(lacking)} lacking {lacking[:5]}")
    return found


def wheel(room: Path, source: Path, files: list[str]) -> Path:
    """Made from the unpacked source package."""
    run(
        room / "builder" / "bin" / "python",
        "-m",
        "pip",
        "wheel",
        "-q",
        "--no-deps",
        "-w",
        room / "wheels",
        source,
    )
    (made,) = (room / "wheels").glob("*.whl")
    with zipfile.ZipFile(made) as archive:
        inside = set(archive.namelist())
    wanted = [file for file in files if file.startswith("shopday/")]
    wanted += [f"shopday/{file}" for file in files if file.startswith("demo_jobs/")]
    lacking = [file for file in wanted if file not in inside]
    print(f"{made.name}: {len(wanted)} files of the package, {len(lacking)} lacking {lacking[:5]}")
    return made


def try_on(room: Path, made: Path, version: str) -> None:
    candidates = [*sorted(PYENV.glob(f"{version}.*/bin/python")), which(f"python{version}")]
    for found in filter(None, candidates):
        if subprocess.run([found, "-c", ""], capture_output=True, check=False).returncode == 0:
            break
    else:
        print(f"{version}: not here")
        return
    python = environment(room / version, found)
    run(python, "-m", "pip", "install", "-q", made)
    run(python, "-W", "error", "-c", USED, cwd=room)
    command = python.parent / "shopday"
    told = run(command, "demo", room / f"demo-{version}", "--now", "2026-12-02T10:05", cwd=room)
    assert "Cut the joints" in told, told
    run(
        command,
        "finish",
        "pear-lectern/stand/joints",
        "--shop",
        room / f"demo-{version}",
        "--now",
        "2026-12-02T11:00",
    )
    print(f"{version}: {run(command, '--version').strip()} is installed, shows the demo and logs")


def environment(folder: Path, python: str | Path) -> Path:
    run(python, "-m", "venv", folder)
    return folder / "bin" / "python"


def run(*call: object, cwd: Path | None = None) -> str:
    """What it printed; stops with its faults where it fails."""
    env = {key: value for key, value in os.environ.items() if key not in ("PYTHONPATH", "SHOPDAY_SHOP")}
    done = subprocess.run(list(map(str, call)), cwd=cwd, env=env, capture_output=True, text=True, check=False)
    if done.returncode:
        sys.exit(f"{' '.join(map(str, call))}\n{done.stdout}{done.stderr}")
    return done.stdout


if __name__ == "__main__":
    main()

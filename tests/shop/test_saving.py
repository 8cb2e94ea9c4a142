"""A file is the old one or the new one, never half, and never over somebody else's change."""

from __future__ import annotations

import errno
import os
import random
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from shop_texts import STOOL, lay

from shopday.shop.editing import file_edits
from shopday.shop.faults import ShopdayError
from shopday.shop.loading.folder_reader import read_folder


@pytest.fixture
def stool(tmp_path: Path) -> Path:
    return lay(tmp_path, {"jobs/stool.toml": STOOL}) / "jobs" / "stool.toml"


def leftovers(path: Path) -> list[str]:
    return [file.name for file in path.parent.iterdir() if file != path]


def change_while(path: Path, act: Callable[[], object]) -> None:
    """A change during which something else happens to the file."""
    with file_edits.edit(path) as draft:
        draft.put((), "weight", 3)
        act()


def test_a_change_made_meanwhile_is_not_overwritten(stool: Path) -> None:
    with pytest.raises(ShopdayError, match=r"stool\.toml was changed by somebody else meanwhile"):
        change_while(stool, lambda: stool.write_text(STOOL + "# by hand\n"))
    assert stool.read_text() == STOOL + "# by hand\n"
    assert leftovers(stool) == []


def test_a_change_made_since_the_person_looked_is_not_overwritten(stool: Path) -> None:
    seen = stool.read_bytes()
    stool.write_text(STOOL + "# by hand\n")
    with pytest.raises(ShopdayError, match="changed by somebody else"):
        file_edits.set_job_fields(stool, {"weight": 3}, seen)
    file_edits.set_job_fields(stool, {"weight": 3}, stool.read_bytes())
    assert "# by hand" in stool.read_text()


def test_a_deleted_file_is_not_created_again(stool: Path) -> None:
    with pytest.raises(ShopdayError, match="is gone"):
        change_while(stool, stool.unlink)
    assert not stool.exists()


def test_an_error_within_the_edit_writes_nothing(stool: Path) -> None:
    with pytest.raises(ZeroDivisionError), file_edits.edit(stool) as draft:
        draft.put((), "weight", 1 // 0)
    assert stool.read_text() == STOOL


@pytest.mark.parametrize("call", ["fsync", "replace", "fchmod"])
def test_a_full_disk_leaves_the_old_file(stool: Path, call: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, call, full)
    with pytest.raises(
        ShopdayError, match=r"could not be written \(no space left on device\); nothing was changed"
    ):
        file_edits.set_job_fields(stool, {"weight": 3})
    assert stool.read_text() == STOOL
    assert leftovers(stool) == []


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_read_only_folder_is_reported(stool: Path) -> None:
    stool.parent.chmod(0o500)
    try:
        with pytest.raises(ShopdayError, match="permission denied"):
            file_edits.set_job_fields(stool, {"weight": 3})
    finally:
        stool.parent.chmod(0o700)
    assert stool.read_text() == STOOL


def test_content_and_name_reach_the_disk_before_the_call_returns(
    stool: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[str] = []
    sync, replace = os.fsync, os.replace

    def noted_sync(handle: int) -> None:
        done.append("sync")
        sync(handle)

    def noted_replace(old: str, new: Path) -> None:
        done.append("replace")
        replace(old, new)

    monkeypatch.setattr(os, "fsync", noted_sync)
    monkeypatch.setattr(os, "replace", noted_replace)
    file_edits.set_job_fields(stool, {"weight": 3})
    assert done == ["sync", "replace", "sync"]


def test_a_last_moment_change_by_an_editor_is_kept_in_a_second_file(
    stool: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Into the file itself, as many editors do, when it was looked at already and is just being replaced."""
    replace, moved = os.replace, list[Path]()

    def late(old: str, new: Path) -> None:
        if not moved:
            stool.write_text(STOOL + "# theirs\n")
        moved.append(new)
        replace(old, new)

    monkeypatch.setattr(os, "replace", late)
    with pytest.raises(ShopdayError, match="kept in stool"):
        file_edits.set_job_fields(stool, {"weight": 3})
    assert "weight = 3" in stool.read_text()
    assert stool.with_name("stool.toml.theirs").read_text() == STOOL + "# theirs\n"
    assert leftovers(stool) == ["stool.toml.theirs"]
    assert list(read_folder(stool.parent.parent).jobs) == ["stool"]


def test_a_link_within_the_folder_stays_a_link(stool: Path) -> None:
    link = stool.with_name("other.toml")
    link.symlink_to("stool.toml")
    file_edits.set_job_fields(link, {"weight": 3})
    assert link.is_symlink()
    assert "weight = 3" in stool.read_text()


def test_no_change_of_many_concurrent_writers_is_lost(stool: Path) -> None:
    """Each adds a step of its own and tries again when told that the file was changed."""

    refusals: list[str] = []

    def add(name: str) -> None:
        while True:
            try:
                return file_edits.set_step_fields(stool, None, "deliver", {name: True})
            except ShopdayError as error:
                refusals.append(str(error))

    writers = [
        threading.Thread(target=add, args=(name,)) for name in ("still_air", "dusty", "noisy", "one_sitting")
    ]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    step = read_folder(stool.parent.parent).jobs["stool"].steps[1]
    assert all("changed by somebody else" in refusal for refusal in refusals)
    assert (step.still_air, step.dusty, step.noisy, step.one_sitting) == (True, True, True, True)


WRITER = """\
import sys
from pathlib import Path
from shopday.shop.writing import set_job_fields
path = Path(sys.argv[1])
print("ready", flush=True)
for number in range(1_000_000):
    set_job_fields(path, {"title": "x" * (number % 5000 + 1)})
"""


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(int(os.environ.get("SHOPDAY_KILLS", "4"))))
def test_a_writer_killed_at_any_moment_leaves_a_whole_file(seed: int, stool: Path) -> None:
    process = subprocess.Popen([sys.executable, "-c", WRITER, str(stool)], stdout=subprocess.PIPE)
    assert process.stdout is not None
    process.stdout.readline()
    try:
        process.wait(random.Random(seed).uniform(0.01, 0.15))
    except subprocess.TimeoutExpired:
        process.kill()
    process.wait()
    process.stdout.close()
    file_edits.set_job_fields(stool, {"weight": 2})
    assert leftovers(stool) == []
    job = read_folder(stool.parent.parent).jobs["stool"]
    assert job.title == "Stool" or set(job.title) == {"x"}
    assert len(job.steps) == 2

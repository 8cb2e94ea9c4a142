"""What a folder means once it is read."""

from __future__ import annotations

from pathlib import Path

import pytest
from shop_texts import SHOP, STOOL, faults, lay, marked, read

from shopday.shop.faults import ShopFaults
from shopday.shop.loading.folder_reader import Reader, read_folder, read_job


def test_a_shop_is_read_whole(tmp_path: Path) -> None:
    folder = read(
        tmp_path, {"jobs/stool.toml": STOOL, "jobs/a.toml": 'status = "quote"\n', "jobs/notes.txt": "x"}
    )
    assert list(folder.jobs) == ["a", "stool"]
    assert folder.shop.hours["monday"] == ((480, 720), (765, 1020))
    assert folder.shop.people[1].role == "helper"
    glue = folder.jobs["stool"].parts[0].steps[1]
    assert (glue.hands_on, glue.gear, glue.label) == (30, {"long-clamps": 2}, "Glue")
    assert glue.waits is not None
    assert [(w.name, w.takes, w.keeps) for w in glue.waits] == [("in clamps", 240, "all"), ("rests", 480, ())]


def test_a_shop_without_people_has_one_maker(tmp_path: Path) -> None:
    folder = read(tmp_path, {"shop.toml": 'name = "x"\ntimezone = "UTC"\n'})
    assert [(p.id, p.role, p.hours) for p in folder.shop.people] == [("maker", "maker", None)]
    assert folder.jobs == {}


def test_short_forms_are_read(tmp_path: Path) -> None:
    shop = SHOP.replace('["09:00-13:00"]', '"09:00-13:00"')
    job = STOOL.replace('id = "sand"', 'id = "sand"\n  after = "mill"')
    folder = read(tmp_path, {"shop.toml": shop, "jobs/stool.toml": job})
    after = folder.jobs["stool"].parts[0].steps[2].after
    assert folder.shop.hours["saturday"] == ((540, 780),)
    assert after is not None
    assert [a.step for a in after] == ["mill"]


def test_windows_line_endings_and_byte_order_marks_are_read(tmp_path: Path) -> None:
    folder = read(tmp_path, {"jobs/stool.toml": b"\xef\xbb\xbf" + STOOL.replace("\n", "\r\n").encode()})
    assert len(folder.jobs["stool"].parts) == 2


def test_a_live_job_without_steps_is_a_fault(tmp_path: Path) -> None:
    part = '[[parts]]\nid = "top"\n'
    for text in ("", 'title = "Desk"\n', part):
        (fault,) = faults(tmp_path, {"jobs/a.toml": text})
        assert str(fault) == (
            'jobs/a.toml:1: it holds no step; add [[steps]], or set its status to "shelved"'
        )
    for status in ("quote", "shelved", "cancelled", "delivered"):
        assert read(tmp_path, {"jobs/a.toml": f'status = "{status}"\n{part}'}).jobs["a"].steps == ()


def test_a_promise_in_the_past_is_legal(tmp_path: Path) -> None:
    assert (
        read(tmp_path, {"jobs/a.toml": "promise = 2020-01-01\n" + STOOL.partition("\n")[2]}).jobs["a"].promise
        is not None
    )


def test_names_keep_their_characters(tmp_path: Path) -> None:
    folder = read(tmp_path, {"jobs/a.toml": 'title = "a\\u001b[31m [/b]"\nstatus = "shelved"\n'})
    assert folder.jobs["a"].title == "a\x1b[31m [/b]"


def test_a_step_may_wait_for_a_quote(tmp_path: Path) -> None:
    one = '[[steps]]\nid = "x"\nhands_on = "1h"\nafter = ["two/x"]\n'
    two = 'status = "quote"\n[[steps]]\nid = "x"\nhands_on = "1h"\n'
    assert set(read(tmp_path, {"jobs/one.toml": one, "jobs/two.toml": two}).jobs) == {"one", "two"}


@pytest.mark.parametrize(
    "text", ['[yellow-pva]\nopen_time = "8m"\n', '[[materials]]\nid = "yellow-pva"\nopen_time = "8m"\n']
)
def test_own_materials_change_only_what_they_write(text: str, tmp_path: Path) -> None:
    plain = read(tmp_path, {}).materials["yellow-pva"]
    own = read(tmp_path, {"materials.toml": text}).materials["yellow-pva"]
    assert own.open_time == 8
    assert own.waits == plain.waits
    assert own.lowest == plain.lowest


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("[pva]\nopen_time = 8  <--\n", "`open_time`: 8 is not a duration"),
        ('[pva]\nopen = "8m"  <--\n', "a material has no field `open`"),
        ('[pva]\nlike = "yelow-pva"  <--\n', "no material"),
        ("pva = 3  <--\n", "`pva` is no material"),
        ('["My glue"]  <--\nopen_time = "8m"\n', '"My glue" is no id'),
        ('[[materials]]  <--\nopen_time = "8m"\n', "a material needs `id`"),
        ('[[materials]]\nid = "x"\n[[materials]]\nid = "x"  <--\n', "`x` is there twice"),
        (
            '[pva]\nwaits = [{ name = "a", takes = "1h" },\n  { name = "a", takes = "1h" }]  <--\n',
            "two waits are called `a`",
        ),
        ('[pva]\nwaits = [\n  { name = "a", takes = 1 },  <--\n]\n', "`takes`: 1 is not a duration"),
        ("[pva]\ndoubles_per = 0.0  <--\n", "`doubles_per`: 0.0 is out of range"),
    ],
)
def test_faults_of_materials_are_reported(text: str, wrong: str, tmp_path: Path) -> None:
    materials, line = marked(text)
    (fault,) = faults(tmp_path, {"materials.toml": materials})
    assert (fault.file, fault.line) == ("materials.toml", line)
    assert wrong in fault.wrong
    assert fault.right


def test_a_folder_without_a_shop_is_refused(tmp_path: Path) -> None:
    for folder, wrong in ((tmp_path, "no shop.toml here"), (tmp_path / "x", "there is no such folder")):
        with pytest.raises(ShopFaults, match="shopday demo") as caught:
            read_folder(folder)
        (fault,) = caught.value.faults
        assert (fault.file, fault.wrong) == (str(folder), wrong)


class TestJobBesideTheShop:
    def test_a_jobs_id_is_its_file_name(self, tmp_path: Path) -> None:
        folder = read(lay(tmp_path / "shop", {}), {})
        for name, job_id in (
            ("desk.toml", "desk"),
            ("My Desk (2).toml", "my-desk-2"),
            ("木.toml", "job"),
            ("Müller bench.toml", "muller-bench"),
        ):
            (tmp_path / name).write_text(STOOL)
            assert read_job(tmp_path / name, folder)[0] == job_id

    def test_a_new_jobs_id_is_free(self, tmp_path: Path) -> None:
        folder = read(tmp_path / "shop", {"jobs/stool.toml": STOOL, "jobs/stool-2.toml": STOOL})
        (tmp_path / "stool.toml").write_text(STOOL)
        assert read_job(tmp_path / "stool.toml", folder)[0] == "stool-3"

    def test_a_job_of_the_shop_keeps_its_id(self, tmp_path: Path) -> None:
        folder = read(tmp_path, {"jobs/stool.toml": STOOL})
        assert read_job(tmp_path / "jobs" / "stool.toml", folder)[0] == "stool"

    def test_the_faults_of_a_job_outside_are_reported_with_their_lines(self, tmp_path: Path) -> None:
        folder = read(tmp_path / "shop", {"jobs/stool.toml": STOOL})
        text, line = marked(
            '[[steps]]\nid = "x"\nhands_on = "1h"\nstations = ["bensh"]  <--\nafter = ["stool/deliver"]\n'
        )
        (tmp_path / "new.toml").write_text(text)
        with pytest.raises(ShopFaults) as caught:
            read_job(tmp_path / "new.toml", folder)
        (fault,) = caught.value.faults
        assert (fault.file, fault.line) == (str(tmp_path / "new.toml"), line)

    def test_a_missing_job_file_is_reported(self, tmp_path: Path) -> None:
        with pytest.raises(ShopFaults, match="there is no such file"):
            read_job(tmp_path / "gone.toml", read(tmp_path, {}))


class TestFaultyJobs:
    RACK = '[[steps]]\nid = "make"\nhands_on = "1h"\nstations = ["bench"]\nafter = ["stool/deliver"]\n'

    def test_a_faulty_job_is_left_out_and_all_its_faults_are_known(self, tmp_path: Path) -> None:
        folder = read(tmp_path, {"jobs/stool.toml": STOOL, "jobs/a.toml": "weight = 0\nstatus = 1\n"})
        assert list(folder.jobs) == ["stool"]
        assert [(f.file, f.line) for f in folder.left_out["a"]] == [("jobs/a.toml", 1), ("jobs/a.toml", 2)]

    def test_a_file_whose_name_is_no_id_is_left_out_by_its_name(self, tmp_path: Path) -> None:
        folder = read(tmp_path, {"jobs/stool.toml": STOOL, "jobs/My Desk.toml": STOOL})
        assert list(folder.jobs) == ["stool"]
        assert list(folder.left_out) == ["My Desk"]

    def test_faults_of_the_shop_stop_everything(self, tmp_path: Path) -> None:
        for file in ("shop.toml", "materials.toml"):
            lay(tmp_path / file, {"jobs/stool.toml": STOOL, file: "x = 1\n"})
            with pytest.raises(ShopFaults, match=file):
                read_folder(tmp_path / file)

    def test_a_faulty_job_stays_as_it_was_last_read(self, tmp_path: Path) -> None:
        reader = Reader(lay(tmp_path, {"jobs/rack.toml": self.RACK, "jobs/stool.toml": STOOL}))
        good = reader.read()
        for _ in range(2):
            lay(tmp_path, {"jobs/rack.toml": "["})
            found = reader.read()
            assert (found.jobs, list(found.faulty), found.left_out) == (good.jobs, ["rack"], {})
        lay(tmp_path, {"jobs/rack.toml": self.RACK.replace("1h", "2h")})
        assert reader.read().jobs["rack"].steps[0].hands_on == 120
        assert reader.read().faulty == {}

    def test_a_faulty_job_that_no_longer_fits_is_left_out(self, tmp_path: Path) -> None:
        """The bench it stands at is called otherwise, and no other job asks for it."""
        stool = STOOL.replace('stations = ["bench"]', "")
        reader = Reader(lay(tmp_path, {"jobs/rack.toml": self.RACK, "jobs/stool.toml": stool}))
        reader.read()
        lay(tmp_path, {"shop.toml": SHOP.replace('"bench"', '"table"'), "jobs/rack.toml": "["})
        found = reader.read()
        assert list(found.jobs) == ["stool"]
        assert "not TOML" in found.left_out["rack"][0].wrong

    def test_steps_wait_for_a_faulty_job_as_it_was(self, tmp_path: Path) -> None:
        reader = Reader(lay(tmp_path, {"jobs/rack.toml": self.RACK, "jobs/stool.toml": STOOL}))
        reader.read()
        lay(tmp_path, {"jobs/stool.toml": STOOL.replace('"deliver"', '"Bring it"')})
        found = reader.read()
        assert (list(found.jobs), list(found.faulty)) == (["rack", "stool"], ["stool"])
        assert found.jobs["stool"].steps[-1].id == "deliver"

    def test_with_too_much_work_the_largest_jobs_are_left_out(self, tmp_path: Path) -> None:
        """12,000, 13,000 and 1 passes, and 20,000 can be planned: without the largest, 12,001."""
        step = '[[steps]]\nid = "s{}"\nhands_on = "1h"\npasses = 100\n'
        texts = {f"jobs/{id}.toml": "".join(map(step.format, range(n))) for id, n in (("a", 120), ("b", 130))}
        one = '[[steps]]\nid = "s"\nhands_on = "1h"\n'
        folder = read(tmp_path, {**texts, "jobs/c.toml": one})
        assert (list(folder.jobs), list(folder.left_out)) == (["a", "c"], ["b"])

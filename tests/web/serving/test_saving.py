"""Saving on the page keeps to the rules of the command line: what was issued is not replaced unasked."""

from pathlib import Path

import pytest

from flangelayout.cli import run
from web.served import client, query


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


@pytest.mark.slow
def test_a_changed_job_under_the_same_number_and_revision_is_refused_until_it_has_another(tmp_path: Path) -> None:
    with client(tmp_path) as asking:
        assert "Saved H-114-A.toml" in asking.post("/save", query().encode()).text
        issued = contents(tmp_path)
        again = asking.post("/save", query().encode()).text
        changed = asking.post("/save", query(plate__bore="100").encode()).text
        assert contents(tmp_path) == issued
        revised = asking.post("/save", query(plate__bore="100", job__revision="B").encode()).text
        (tmp_path / "ring.toml").write_text('[job]\nnumber = "H-114"\nrevision = "C"\n', encoding="utf-8")
        beside = asking.post("/save", query(job__revision="C").encode()).text
    assert "Saved H-114-A.toml" in again
    assert "H-114 rev A is in this folder already" in changed
    assert "another revision or another number in the title block" in changed
    assert "--force" not in changed
    assert "ring.toml holds the same number and revision" in beside
    assert str(tmp_path) not in changed
    assert "Saved H-114-B.toml" in revised
    assert "the same number" not in again + revised
    assert {name: content for name, content in contents(tmp_path).items() if name in issued} == issued


@pytest.mark.slow
def test_what_the_command_line_drew_is_not_replaced(tmp_path: Path) -> None:
    jobs = tmp_path / "jobs"
    with client(jobs) as asking:
        theirs = asking.get(f"/job.toml?{query(plate__bore='150')}").text
        (tmp_path / "theirs.toml").write_text(theirs, encoding="utf-8")
        assert run(["draw", str(tmp_path / "theirs.toml"), "--into", str(jobs)]) == 0
        before = contents(jobs)
        assert "H-114-A_sheet.pdf" in before
        refused = asking.post("/save", query().encode()).text
    assert "H-114 rev A is in this folder already" in refused
    assert contents(jobs) == before


@pytest.mark.slow
def test_what_the_page_saved_is_not_replaced_by_the_command_line(tmp_path: Path) -> None:
    jobs = tmp_path / "jobs"
    with client(jobs) as asking:
        asking.post("/save", query().encode())
        other = asking.get(f"/job.toml?{query(plate__bore='150')}").text
    (tmp_path / "other.toml").write_text(other, encoding="utf-8")
    saved = contents(jobs)
    assert run(["draw", str(tmp_path / "other.toml"), "--into", str(jobs)]) != 0
    assert contents(jobs) == saved
    assert run(["draw", str(jobs / "H-114-A.toml")]) == 0
    assert contents(jobs) == saved


@pytest.mark.slow
def test_two_jobs_without_a_number_do_not_take_each_others_place(tmp_path: Path) -> None:
    with client(tmp_path) as asking:
        asking.post("/save", query(job__number="").encode())
        refused = asking.post("/save", query(job__number="", plate__bore="100").encode()).text
    assert "in this folder already" in refused

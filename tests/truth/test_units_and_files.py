"""A job means the same on every PC, and a number that was issued is not overwritten with another part."""

import subprocess
import sys
from pathlib import Path

import pytest

from truth.outside import command, draw, job_file, says

PLATE = (
    "[plate]\noutside_diameter = 285\nbore = 170\nthickness = 10\n"
    "[[bolt_circle]]\ndiameter = 240\nhole_count = 8\nhole_diameter = 22\n"
)


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The shop file of this user, empty."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    folder = tmp_path / "config" / "flangelayout"
    folder.mkdir(parents=True)
    return folder / "shop.toml"


def test_a_job_without_units_is_the_same_part_whatever_the_shop_file_says(shop: Path, tmp_path: Path) -> None:
    shop.write_text('units = "in"\n', encoding="utf-8")
    (tmp_path / "a").mkdir()
    ran = draw(tmp_path / "a", f'[job]\nnumber = "MB-240"\n{PLATE}', "--only", "cut")
    if ran.code == 2:
        assert "units" in ran.err
        assert not ran.files
    else:
        assert {name for name in ran.files if "cut_in" in name} == set()
        assert max(radius for _, _, radius in ran.circles("CUT_OUTLINE")) == pytest.approx(142.5)


def test_the_shop_file_is_read_in_its_own_unit(shop: Path, tmp_path: Path) -> None:
    # A kerf of 0.06 in is 1.524 mm: a hole of 22 is cut on a circle of 22 - 1.524.
    shop.write_text('units = "in"\n[cut]\nkerf = 0.06\n', encoding="utf-8")
    (tmp_path / "a").mkdir()
    ran = draw(tmp_path / "a", f'units = "mm"\n[job]\nnumber = "MB-240"\n{PLATE}', "--only", "cut")
    assert ran.code == 0, ran.err
    radii = {round(radius, 3) for _, _, radius in ran.circles("CUT_HOLES")}
    assert radii == {round((22 - 1.524) / 2, 3)}
    outer = max(radius for _, _, radius in ran.circles("CUT_OUTLINE"))
    assert outer == pytest.approx((285 + 1.524) / 2, abs=1e-3)


def test_the_limits_of_the_shop_file_are_in_its_own_unit(shop: Path, tmp_path: Path) -> None:
    # 22.5 mm are left to the edge of 285 less 240: less than 1 in, more than 1 mm.
    shop.write_text('units = "in"\n[checks]\nedge = 1\n', encoding="utf-8")
    (tmp_path / "a").mkdir()
    path = job_file(tmp_path / "a", f'units = "mm"\n[job]\nnumber = "MB-240"\n{PLATE}')
    ran = command(tmp_path / "a", "check", path)
    assert ran.code == 1, ran.out
    assert says(ran.out, "25.4")


def test_a_number_that_another_job_file_was_drawn_under_is_not_overwritten(tmp_path: Path) -> None:
    head = 'units = "mm"\n[job]\nnumber = "A-001"\nrevision = "A"\n'
    one, other = (job_file(tmp_path, head + PLATE.replace("240", d), f"n{d}.toml") for d in ("240", "230"))
    first = command(tmp_path, "draw", one, "--only", "cut")
    assert first.code == 0
    second = command(tmp_path, "draw", other, "--only", "cut")
    assert second.code != 0
    assert second.files == first.files
    assert "A-001" in second.err
    assert "--force" in second.err
    assert command(tmp_path, "draw", other, "--only", "cut", "--force").code == 0


def test_an_issued_revision_is_not_changed_in_silence(tmp_path: Path) -> None:
    head = 'units = "mm"\n[job]\nnumber = "A-002"\nrevision = "A"\n'
    path = job_file(tmp_path, head + PLATE)
    first = command(tmp_path, "draw", path, "--only", "cut")
    path.write_text(head + PLATE.replace("240", "230"), encoding="utf-8")
    second = command(tmp_path, "draw", path, "--only", "cut")
    assert second.code != 0
    assert second.files == first.files
    assert "revision" in second.err.lower()
    path.write_text(head.replace('revision = "A"', 'revision = "B"') + PLATE.replace("240", "230"), encoding="utf-8")
    assert command(tmp_path, "draw", path, "--only", "cut").code == 0


def test_new_takes_the_number_from_the_files_name(tmp_path: Path) -> None:
    drawn = []
    for name in ("n1", "n2"):
        assert command(tmp_path, "new", "adapter", tmp_path / f"{name}.toml").code == 0
        ran = command(tmp_path, "draw", tmp_path / f"{name}.toml", "--only", "cut")
        assert ran.code == 0, ran.err
        drawn.append(ran.files)
    assert len(drawn[1]) == 2 * len(drawn[0])  # the second has not replaced the first


def drawn_together(paths: list[Path]) -> list[int]:
    """Exit codes of a draw of each, all running at once."""
    command_line = [sys.executable, "-m", "flangelayout", "draw", "--only", "cut"]
    running = [subprocess.Popen([*command_line, str(path)], stdout=subprocess.DEVNULL) for path in paths]
    return [each.wait(timeout=120) for each in running]


@pytest.mark.slow
def test_draws_into_one_folder_at_the_same_time_disown_nothing(tmp_path: Path) -> None:
    paths = [job_file(tmp_path, f'units = "mm"\n[job]\nnumber = "P{n}"\n{PLATE}', f"p{n}.toml") for n in range(4)]
    for _ in range(5):
        for file in tmp_path.glob("*_cut_*"):
            file.unlink()
        assert drawn_together(paths) == [0] * 4
        again = [command(tmp_path, "draw", path, "--only", "cut") for path in paths]
        assert [ran.code for ran in again] == [0] * 4, [ran.err for ran in again]

"""The shop file: what it fills, what a job overrides, and what goes into the digest."""

from pathlib import Path
from typing import Any

import pytest

from flangelayout.cli import run
from flangelayout.drawing.convention import Convention
from flangelayout.errors import InputError
from flangelayout.job import job_from_data, load_job
from flangelayout.job.shop import NO_SHOP, Shop, load_shop, shop_folder, shop_from_text
from jobs import job_data, toml_text

SHOP: dict[str, Any] = {
    "units": "in",
    "job": {"owner": "Marrow Beck Hatchery"},
    "sheet": {"paper": "Letter", "convention": "ASME", "dual_units": True},
    "template": {"paper": "Letter"},
}


def test_the_shop_fills_what_a_job_leaves_out() -> None:
    job = job_from_data(job_data(plate={"outside_diameter": 12, "bore": 6}, bolt_circle=[]), shop=Shop(SHOP))
    assert job.info.owner == "Marrow Beck Hatchery"
    assert (job.sheet.paper, job.sheet.convention, job.sheet.dual_units) == ("Letter", Convention.ASME, True)
    assert job.template.paper == "Letter"
    assert job.flange.box().width == pytest.approx(304.8)


def test_a_job_overrides_the_shop_key_by_key() -> None:
    data = job_data(units="mm", sheet={"paper": "A3"})
    data["job"]["owner"] = "Somebody else"
    job = job_from_data(data, shop=Shop(SHOP))
    assert job.info.owner == "Somebody else"
    assert (job.sheet.paper, job.sheet.convention) == ("A3", Convention.ASME)
    assert job.flange.box().width == pytest.approx(285)


def test_the_digest_names_what_is_made_not_how_its_sheet_looks() -> None:
    data = job_data()
    plain = job_from_data(data).digest
    looks: dict[str, Any] = {key: value for key, value in SHOP.items() if key != "units"}
    assert job_from_data(data, shop=Shop(looks)).digest == plain
    assert job_from_data(data, shop=Shop({"units": "mm"})).digest == plain


def test_the_shops_units_count_as_if_the_job_had_written_them() -> None:
    small = job_data(plate={"outside_diameter": 12}, bolt_circle=[])
    filled = job_from_data(small, shop=Shop({"units": "in"}))
    written = job_from_data({**small, "units": "in"})
    assert filled.digest == written.digest != job_from_data(small).digest
    assert filled.flange == written.flange


def test_cut_keys_of_the_shop_are_part_of_the_digest() -> None:
    shop = Shop({"cut": {"layers": {"holes": "DRILL"}}})
    assert job_from_data(job_data(), shop=shop).digest != job_from_data(job_data()).digest


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('unit = "mm"', "line 1: unit: unknown key; did you mean units?"),
        ('[sheet]\nconvention = "DIN"', 'line 2: sheet.convention: "DIN" is not possible; use "ISO" or "ASME"'),
        ("[sheet]\npaper = 4", "line 2: sheet.paper: 4 is not possible"),
        ("[plate]\nbore = 3", "line 1: plate: unknown key"),
        ("[job", "is not valid TOML"),
    ],
)
def test_a_wrong_shop_file_says_where(text: str, told: str) -> None:
    with pytest.raises(InputError) as wrong:
        shop_from_text(text, "shop.toml")
    assert any(told in line for line in wrong.value.lines())


def test_without_a_file_there_is_no_shop(tmp_path: Path) -> None:
    assert load_shop(tmp_path) == NO_SHOP


def test_a_folder_of_borders_beside_the_shop_file_is_found(tmp_path: Path) -> None:
    (tmp_path / "sheets").mkdir()
    (tmp_path / "shop.toml").write_text('[job]\nowner = "Marrow Beck Hatchery"\n')
    shop = load_shop(tmp_path)
    assert shop.borders == tmp_path / "sheets"
    assert shop.keys == {"job": {"owner": "Marrow Beck Hatchery"}}


def test_draw_takes_the_users_shop_file_and_the_library_does_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    folder = shop_folder()
    folder.mkdir(parents=True)
    (folder / "shop.toml").write_text('[sheet]\nborder = "nowhere"\n')
    job_file = tmp_path / "job.toml"
    job_file.write_text(toml_text(job_data()))
    assert run(["draw", str(job_file), "--into", str(tmp_path / "out"), "--only", "sheet"]) == 2
    assert 'there is no border "nowhere"' in capsys.readouterr().err
    assert load_job(job_file).sheet.border.name == "iso"

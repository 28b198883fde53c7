"""The shop file: what it fills, what a job overrides, and what goes into the digest."""

from itertools import product
from pathlib import Path

import platformdirs
import pytest

from flangelayout.cli import run
from flangelayout.drawing.convention import Convention
from flangelayout.errors import InputError
from flangelayout.files.settings import settings_folder
from flangelayout.job import Job
from flangelayout.job.load import job_from_data, load_job
from flangelayout.job.shop import NO_SHOP, load_shop, shop_from_text
from flangelayout.units import Unit
from jobs import job_data, toml_text
from rows import every_row

LOOKS = """
[job]
owner = "Marrow Beck Hatchery"
[sheet]
paper = "Letter"
convention = "ASME"
dual_units = true
[template]
paper = "Letter"
"""
INCH_SHOP = shop_from_text('units = "in"' + LOOKS)


def test_the_shop_fills_what_a_job_leaves_out() -> None:
    job = job_from_data(job_data(), shop=INCH_SHOP)
    assert job.info.owner == "Marrow Beck Hatchery"
    assert (job.sheet.paper, job.sheet.convention, job.sheet.dual_units) == ("Letter", Convention.ASME, True)
    assert job.template.paper == "Letter"


def test_a_job_overrides_the_shop_key_by_key() -> None:
    data = job_data(units="mm", sheet={"paper": "A3"})
    data["job"]["owner"] = "Somebody else"
    job = job_from_data(data, shop=INCH_SHOP)
    assert job.info.owner == "Somebody else"
    assert (job.sheet.paper, job.sheet.convention) == ("A3", Convention.ASME)


def test_a_job_means_the_same_in_every_shop() -> None:
    """A job file that names no units is in mm, also where the shop works in inches."""
    alone, in_shop = job_from_data(job_data()), job_from_data(job_data(), shop=INCH_SHOP)
    assert alone.flange == in_shop.flange
    assert (in_shop.unit, in_shop.cut.unit, in_shop.machine.drilling.unit) == (Unit.MM,) * 3
    assert alone.digest == in_shop.digest
    assert in_shop.flange.box().width == pytest.approx(285)


SIZES = """
[cut]
kerf = {kerf}
lead_in = {lead}
[template]
overlap = {overlap}
[machine]
safe_height = {height}
[checks]
ligament = {ligament}
"""
IN_INCHES = SIZES.format(kerf=0.06, lead=0.25, overlap=0.75, height=2, ligament=0.5)
IN_MM = SIZES.format(kerf=1.524, lead=6.35, overlap=19.05, height=50.8, ligament=12.7)  # the same times 25.4


def sizes(job: Job) -> tuple[float, ...]:
    assert job.limits.ligament
    options = job.cut.options
    return (options.kerf, options.lead_in, job.template.overlap, job.machine.drilling.safe_height,
            job.limits.ligament.value)  # fmt: skip


@every_row(("unit", "shop"), product(["mm", "in"], ['units = "in"\n' + IN_INCHES, 'units = "mm"\n' + IN_MM, IN_MM]))
def test_the_shops_lengths_are_in_the_shops_unit_whatever_the_jobs_is(shop: str, unit: str) -> None:
    plate = {"outside_diameter": "285 mm", "bore": "170 mm", "thickness": "22 mm"}
    circle = {"diameter": "240 mm", "hole_count": 8, "hole_diameter": "22 mm"}
    data = job_data(units=unit, plate=plate, bolt_circle=[circle])
    job = job_from_data(data, shop=shop_from_text(shop))
    assert sizes(job) == pytest.approx((1.524, 6.35, 19.05, 50.8, 12.7))
    assert job.unit.value == unit


def test_a_jobs_own_length_beside_the_shops_is_in_the_jobs_unit() -> None:
    data = job_data(units="mm", cut={"kerf": 2})
    job = job_from_data(data, shop=shop_from_text('units = "in"\n' + IN_INCHES))
    assert (job.cut.options.kerf, job.cut.options.lead_in) == pytest.approx((2, 6.35))


def test_the_digest_names_what_is_made_not_how_its_sheet_looks() -> None:
    plain = job_from_data(job_data()).digest
    assert job_from_data(job_data(), shop=shop_from_text(LOOKS)).digest == plain
    assert job_from_data(job_data(), shop=shop_from_text('units = "mm"')).digest == plain
    assert job_from_data(job_data(), shop=shop_from_text('units = "in"')).digest == plain


def test_what_the_shop_adds_to_the_cut_is_part_of_the_digest() -> None:
    shop = shop_from_text('[cut]\n[cut.layers]\nholes = "DRILL"')
    plain = job_from_data(job_data()).digest
    assert job_from_data(job_data(), shop=shop).digest != plain
    own = job_data(cut={"layers": {"holes": "MINE"}})
    assert job_from_data(own, shop=shop).digest == job_from_data(own).digest
    inches, mm = shop_from_text('units = "in"\n[cut]\nkerf = 0.06'), shop_from_text("[cut]\nkerf = 1.524")
    assert job_from_data(job_data(), shop=inches).digest == job_from_data(job_data(), shop=mm).digest != plain


@every_row(
    ("text", "told"),
    [
        ('unit = "mm"', "line 1: unit: unknown key; did you mean units?"),
        ('[sheet]\nconvention = "DIN"', 'line 2: sheet.convention: "DIN" is not possible; use "ISO" or "ASME"'),
        ("[sheet]\npaper = 4", "line 2: sheet.paper: 4 is not possible"),
        ("[plate]\nbore = 3", "line 1: plate: unknown key"),
        ("[job", "line 1: [job cannot be read; write [job]"),
    ],
)
def test_a_wrong_shop_file_says_where(text: str, told: str) -> None:
    with pytest.raises(InputError) as wrong:
        shop_from_text(text, "shop.toml")
    assert any(told in line for line in wrong.value.lines())


def test_without_a_file_there_is_no_shop(tmp_path: Path) -> None:
    found = load_shop(tmp_path)
    assert (found.written, found.borders, found.patterns) == (NO_SHOP.written, None, ())


def test_a_folder_of_borders_beside_the_shop_file_is_found(tmp_path: Path) -> None:
    (tmp_path / "sheets").mkdir()
    (tmp_path / "shop.toml").write_text('[job]\nowner = "Marrow Beck Hatchery"\n')
    shop = load_shop(tmp_path)
    assert shop.borders == tmp_path / "sheets"
    assert shop.written.job.owner == "Marrow Beck Hatchery"


def test_draw_takes_the_users_shop_file_and_the_library_does_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    folder = settings_folder()
    folder.mkdir(parents=True)
    (folder / "shop.toml").write_text('[sheet]\nborder = "nowhere"\n')
    job_file = tmp_path / "job.toml"
    job_file.write_text(toml_text(job_data()))
    assert run(["draw", str(job_file), "--into", str(tmp_path / "out"), "--only", "sheet"]) == 2
    assert 'there is no border "nowhere"' in capsys.readouterr().err
    assert load_job(job_file).sheet.border.name == "iso"


def test_the_settings_folder_is_the_one_that_the_library_of_places_names(monkeypatch: pytest.MonkeyPatch) -> None:
    for place in ("/tmp/somewhere", "", "  ", None):
        if place is None:
            monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
        else:
            monkeypatch.setenv("XDG_CONFIG_HOME", place)
        assert settings_folder() == platformdirs.user_config_path("flangelayout", appauthor=False)

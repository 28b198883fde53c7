"""Sheet borders as files: the ones that come along, copies of a shop, and broken ones."""

from pathlib import Path

import pytest

from flangelayout.drawing.border import Shows
from flangelayout.drawing.papers import PAPER_NAMES, paper
from flangelayout.errors import InputError
from flangelayout.files.templates import templates_folder
from flangelayout.job.borders import BorderPlaces, border_from_text, border_names, load_border
from flangelayout.job.load import load_job
from jobs import make_job
from rows import every_row

ISO = (templates_folder() / "sheets" / "iso.toml").read_text()


@every_row("name", border_names())
def test_every_border_that_comes_along_fills_its_block_and_fits_every_paper(name: str) -> None:
    border = load_border(name)
    area = sum(cell.room.width * cell.room.height for cell in border.cells)
    assert area == pytest.approx(border.width * border.height)
    for page in PAPER_NAMES:
        for landscape in (False, True):
            frame = border.frame(paper(page, landscape))
            assert frame.width >= border.width


def test_the_iso_border_has_the_margins_of_iso_5457_and_the_mandatory_fields_of_iso_7200() -> None:
    # ISO 5457:1999, 3.2: 20 mm for filing, 10 mm elsewhere. ISO 7200:2004, tables 1 to 3: title block 180 mm wide;
    # mandatory: legal owner, identification number, date of issue, sheet number, title, approval person, creator,
    # document type. From memory but for the field list.
    border = load_border("iso")
    frame = border.frame(paper("A4"))
    assert (frame.left, frame.bottom, 210 - frame.right, 297 - frame.top) == (20, 10, 10, 10)
    assert border.width == 180
    mandatory = {
        *(Shows.OWNER, Shows.NUMBER, Shows.DATE, Shows.SHEET, Shows.TITLE),
        *(Shows.APPROVED_BY, Shows.DRAWN_BY, Shows.DOCUMENT_TYPE),
    }
    assert mandatory <= {cell.shows for cell in border.cells}


def test_the_asme_border_shows_the_fields_of_asme_y14_1() -> None:
    # ASME Y14.1: company, title, size, drawing number, revision, scale, sheet. From memory.
    shown = {cell.shows for cell in load_border("asme").cells}
    assert {Shows.OWNER, Shows.TITLE, Shows.PAPER, Shows.NUMBER, Shows.REVISION, Shows.SCALE, Shows.SHEET} <= shown


@every_row(
    ("old", "new", "told"),
    [
        (
            "width = 76 }",
            "width = 66 }",
            "line 39: title_block.row[1]: its cells take 170.00 mm of the block's 180.00",
        ),
        ('show = "title"', 'show = "titel"', '"titel" is not possible'),
        ("pitch = 50", "pich = 50", "unknown key; did you mean pitch?"),
        ("left = 20", "left = 60", "does not fit the frame of A4"),
        ("left = 20", 'left = "20 parsecs"', "parsecs"),
        ("left = 20", "left = -4", "frame.left: -4 is not greater than 0"),
        ("rows = 4", "rows = 7", "runs 1 row below the last one"),
        ("strip = 5", "strip = 15", "a strip of 15.0 mm is wider than the margin of 10.0 mm"),
        ("[title_block]", "[title_blok]", "line 35: title_blok: unknown key; did you mean title_block?"),
        ("[frame]", "[frame", "cannot be read; write [frame]"),
        ("[title_block]", "[logo]\nstrokes = [[[0, 0], [5, 5]]]\n[title_block]", 'write show = "logo" in one'),
        ("units = ", "unites = ", "unknown key; did you mean units?"),
    ],
)
def test_a_broken_border_says_what_is_wrong_and_where(old: str, new: str, told: str) -> None:
    with pytest.raises(InputError) as wrong:
        border_from_text(ISO.replace(old, new, 1), "ours", "ours.toml")
    assert any(told in line for line in wrong.value.lines())
    assert all(line.startswith("ours.toml: ") for line in wrong.value.lines())


def test_a_logo_beyond_its_cell_is_refused() -> None:
    text = (templates_folder() / "sheets" / "with-logo.toml").read_text()
    with pytest.raises(InputError, match="beyond its cell"):
        border_from_text(text.replace("[24, 22]", "[44, 22]"), "ours")


def test_a_shop_copies_a_border_and_uses_it_by_path(tmp_path: Path) -> None:
    (tmp_path / "ours.toml").write_text(ISO.replace("LEGAL OWNER", "WORKSHOP"))
    job_file = tmp_path / "job.toml"
    job_file.write_text('[plate]\noutside_diameter = 100\n[sheet]\nborder = "ours.toml"\n')
    captions = {cell.caption for cell in load_job(job_file).sheet.border.cells}
    assert "WORKSHOP" in captions
    assert "LEGAL OWNER" not in captions


def test_a_shop_has_borders_of_its_own_by_name(tmp_path: Path) -> None:
    (tmp_path / "iso.toml").write_text(ISO.replace("LEGAL OWNER", "WORKSHOP"))
    border = load_border("iso", BorderPlaces(shop=tmp_path))
    assert any(cell.caption == "WORKSHOP" for cell in border.cells)


@every_row(
    ("written", "told"),
    [
        ("isso", 'there is no border "isso"; use asme, iso, with-logo, or the path of a file'),
        ("../secret.toml", "only a job in a file can use"),
        ("/etc/passwd", "only a job in a file can use"),
    ],
)
def test_a_border_that_is_not_there_is_told_at_its_key(written: str, told: str) -> None:
    with pytest.raises(InputError) as wrong:
        make_job(sheet={"border": written})
    assert wrong.value.problems[0].where == "sheet.border"
    assert told in wrong.value.problems[0].text


def test_a_job_file_is_told_of_a_path_that_is_no_border(tmp_path: Path) -> None:
    job_file = tmp_path / "job.toml"
    job_file.write_text('[plate]\noutside_diameter = 100\n[sheet]\nborder = "gone.toml"\n')
    with pytest.raises(InputError, match=r"line 4: sheet\.border.*gone\.toml.*cannot be read"):
        load_job(job_file)
    job_file.write_text('[plate]\noutside_diameter = 100\n[sheet]\nborder = "picture.png"\n')
    with pytest.raises(InputError, match=r"its name must end in \.toml"):
        load_job(job_file)
    (tmp_path / "broken.toml").write_text(ISO.replace("pitch = 50", "pich = 50"))
    job_file.write_text('[plate]\noutside_diameter = 100\n[sheet]\nborder = "broken.toml"\n')
    with pytest.raises(InputError, match=r"broken\.toml: line 21: paper\.A4\.zones\.pich: unknown key"):
        load_job(job_file)

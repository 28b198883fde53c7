"""Lists as people write them: headings, units, titles, separators, decimal commas, code pages."""

from pathlib import Path

import pytest

from batch_lists import write_workbook
from flangelayout.batch.headings import read_heading
from flangelayout.batch.meant import ListReading
from flangelayout.batch.sources import job_sources, load_source
from flangelayout.errors import InputError
from flangelayout.files.starters import starter_list
from flangelayout.flange import BoltCircle
from flangelayout.job import Job
from flangelayout.units import Unit
from rows import every_row


def jobs_of(path: Path, unit: Unit | None = None) -> list[Job]:
    return [load_source(source) for source in job_sources([str(path)], ListReading(unit))]


def written(path: Path, text: str, encoding: str = "utf-8") -> Path:
    path.write_bytes(text.encode(encoding))
    return path


def told(path: Path, unit: Unit | None = None) -> list[str]:
    lines: list[str] = []
    for source in job_sources([str(path)], ListReading(unit)):
        try:
            load_source(source)
        except InputError as wrong:
            lines += wrong.lines()
    return lines


SIZES = (285.0, 170.0, 22.0, 240.0, 8, 22.0)


def sizes(job: Job) -> tuple[float | None, ...]:
    (circle,) = job.flange.bolt_circles
    assert isinstance(circle, BoltCircle)
    return (job.flange.round_diameter, job.flange.bore, job.flange.thickness, circle.diameter, circle.hole_count,
            circle.hole_diameter)  # fmt: skip


@every_row(
    ("heading", "key"),
    [
        ("OD", "plate.outside_diameter"),
        ("O.D.", "plate.outside_diameter"),
        ("Outside dia", "plate.outside_diameter"),
        ("plate.outside_diameter", "plate.outside_diameter"),
        ("Outside diameter", "plate.outside_diameter"),
        ("ID", "plate.bore"),
        ("Bore", "plate.bore"),
        ("Thk", "plate.thickness"),
        ("thickness", "plate.thickness"),
        ("PCD", "bolt_circle.0.diameter"),
        ("P.C.D.", "bolt_circle.0.diameter"),
        ("BCD", "bolt_circle.0.diameter"),
        ("Bolt circle", "bolt_circle.0.diameter"),
        ("bolt_circle.diameter", "bolt_circle.0.diameter"),
        ("bolt_circle[2].diameter", "bolt_circle.1.diameter"),
        ("Holes", "bolt_circle.0.hole_count"),
        ("No. of holes", "bolt_circle.0.hole_count"),
        ("Hole dia", "bolt_circle.0.hole_diameter"),
        ("Hole ø", "bolt_circle.0.hole_diameter"),
        ("OD ø", "plate.outside_diameter"),
        ("bolt", "bolt_circle.0.bolt"),
        ("Qty", "job.quantity"),
        ("No.", "job.number"),
        ("Mark", "job.number"),
        ("Rev", "job.revision"),
        ("Description", "job.title"),
        ("Material", "plate.material"),
        ("units", "units"),
        ("cut.process", "cut.process"),
    ],
)
def test_a_heading_names_the_key_that_the_trade_means(heading: str, key: str) -> None:
    found = read_heading(heading)
    assert found
    assert [".".join(map(str, path)) for path in found.paths] == [key]
    assert found.unit is None


@every_row("sign", ["OD (mm)", "OD [mm]", "OD mm", "od_mm", "O.D., mm", "Outside dia (in mm)", "OD (MM)"])
def test_a_heading_may_say_its_unit(sign: str) -> None:
    found = read_heading(sign)
    assert found
    assert (found.paths, found.unit) == ((("plate", "outside_diameter"),), Unit.MM)
    other = read_heading(sign.replace("(in mm)", "(mm)").replace("mm", "inch").replace("MM", "in"))
    assert other
    assert other.unit is Unit.IN


@every_row(
    "heading",
    [
        *("diameter", "Paid by", "bolts", "Qty (mm)", "bolt_circle[0].diameter"),
        *("plate", "OD (ft)", "", " ", "plate.", "mm", "(mm)"),
    ],
)
def test_what_a_heading_leaves_open_is_not_guessed(heading: str) -> None:
    assert read_heading(heading) is None


HEAD = "No.,OD (mm),ID (mm),Thk (mm),PCD (mm),Holes,Hole dia (mm)"


def test_a_cut_list_with_the_words_of_the_trade(tmp_path: Path) -> None:
    (job,) = jobs_of(written(tmp_path / "a.csv", f"{HEAD}\nA1,285,170,22,240,8,22\n"))
    assert sizes(job) == SIZES
    assert (job.info.number, job.unit) == ("A1", Unit.MM)


def test_titles_above_the_headings_and_blank_rows_are_passed_over(tmp_path: Path) -> None:
    title = "Marrow Beck Hatchery,,,,,,\nCut list 12,,,,,date,2026-11-25\n\n"
    path = written(tmp_path / "a.csv", f"{title}{HEAD}\nA1,285,170,22,240,8,22\n")
    (source,) = job_sources([str(path)])
    assert source.label.endswith("row 5")
    assert sizes(load_source(source)) == SIZES


@every_row("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_a_list_may_be_saved_as_any_spreadsheet_does(encoding: str, tmp_path: Path) -> None:
    path = written(tmp_path / "a.csv", f"{HEAD},title\nA1,285,170,22,240,8,22,Größe ⌀ ½\n".replace("⌀", "Ø"), encoding)
    (job,) = jobs_of(path)
    assert job.info.title == "Größe Ø ½"


@pytest.mark.parametrize(
    "cells", ["285,0;170,00;22;240,0;8;22,0", "285;170;22,0;240;8;22", "0.285,0;170;22;240;8;22,0"]
)
def test_a_semicolon_list_has_decimal_commas(cells: str, tmp_path: Path) -> None:
    head = HEAD.replace(",", ";")
    (job,) = jobs_of(
        written(tmp_path / "a.csv", f"Title, of, many, commas, indeed, and, more, yet\n{head}\nA1;{cells}\n")
    )
    assert sizes(job) == SIZES


def test_thousands_are_read_in_a_list_with_decimal_commas_and_what_is_open_is_asked(tmp_path: Path) -> None:
    head = HEAD.replace(",", ";")
    large = written(tmp_path / "a.csv", f"{head}\nA1;1.285,5;170;22;1.240,0;8;22,5\n")
    (job,) = jobs_of(large)
    assert sizes(job) == (1285.5, 170, 22, 1240, 8, 22.5)
    (line,) = told(written(tmp_path / "b.csv", f"{head}\nA1;1.285;170;22;240,5;8;22\n"))
    assert line.endswith(
        'b.csv row 2: OD (mm): "1.285" can mean 1285 or 1,285 in a list with decimal commas; write one of them'
    )


def test_a_comma_that_can_be_a_decimal_only_is_read_in_any_list(tmp_path: Path) -> None:
    (job,) = jobs_of(written(tmp_path / "a.csv", f'{HEAD}\nA1,"285,0",170,22,240,8,"22,0"\n'))
    assert sizes(job) == SIZES


BARE = HEAD.replace(" (mm)", "")


@every_row(
    ("head", "row", "unit", "size", "drawn_in"),
    [
        (f"units,{BARE}", "in,A1,11.5,6,1,9.5,8,0.875", None, 292.1, Unit.IN),
        (f"units,{BARE}", "mm,A1,285,170,22,240,8,22", Unit.IN, 285, Unit.MM),
        (BARE, "A1,11.5,6,1,9.5,8,0.875", Unit.IN, 292.1, Unit.IN),
        (BARE, "A1,285 mm,170 mm,22 mm,240 mm,8,22 mm", Unit.IN, 285, Unit.IN),
        (f"Unit,{HEAD}", "inches,A1,285,170,22,240,8,22", None, 285, Unit.IN),
        (HEAD.replace("mm", "in"), "A1,11 1/2,6,1,9.5,8,7/8", None, 292.1, Unit.IN),
        (HEAD.replace("mm", "in"), "A1,285 mm,6,1,9.5,8,7/8", None, 285, Unit.IN),
    ],
)
def test_the_unit_is_that_of_the_cell_the_heading_the_row_or_the_call(
    head: str, row: str, unit: Unit | None, size: float, drawn_in: Unit, tmp_path: Path
) -> None:
    (job,) = jobs_of(written(tmp_path / "a.csv", f"{head}\n{row}\n"), unit)
    assert job.flange.round_diameter == pytest.approx(size)
    assert job.unit is drawn_in


def test_a_list_that_says_no_unit_says_what_to_write_once(tmp_path: Path) -> None:
    path = written(tmp_path / "a.csv", f"{BARE}\n" + "A1,285,170,22,240,8,22\nA2,285,170,22,240,8,22\n")
    assert told(path) == [
        f'{path}: units: are said nowhere; add a column "units" that holds mm or in, write the unit into the headings, '
        'as in "OD (mm)", or use --units'
    ]
    mixed = written(tmp_path / "b.csv", f"{HEAD.replace('(mm)', '(in)', 1)}\nA1,11.5,170,22,240,8,22\n")
    assert "units: differ between the headings" in told(mixed)[0]
    empty = written(tmp_path / "c.csv", f"units,{BARE}\nmm,A1,285,170,22,240,8,22\n,A2,285,170,22,240,8,22\n")
    (line,) = told(empty)
    assert line.endswith('c.csv row 3: units: are empty in this row, and "OD" has none of its own; write mm or in')


def test_the_shops_unit_has_no_say_in_a_list(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    (tmp_path / "flangelayout").mkdir()
    (tmp_path / "flangelayout" / "shop.toml").write_text('units = "in"\n')
    assert "are said nowhere" in told(written(tmp_path / "a.csv", f"{BARE}\nA1,11,6,1,9.5,8,1\n"))[0]


def test_a_column_that_is_not_for_this_program_is_told_and_can_be_marked(tmp_path: Path) -> None:
    path = written(tmp_path / "a.csv", f"{HEAD},Paid by,plate.boer\nA1,285,170,22,240,8,22,soon,170\n")
    assert told(path) == [
        f"{path}: Paid by: unknown column; write # before the heading of one that is not for this program",
        f"{path}: plate.boer: unknown column; did you mean bore? "
        "write # before the heading of one that is not for this program",
    ]
    marked = written(tmp_path / "b.csv", f"{HEAD},# Paid by\nA1,285,170,22,240,8,22,soon\n")
    assert sizes(jobs_of(marked)[0]) == SIZES


def test_holes_written_as_a_call_out_are_parted_by_whoever_knows_what_is_meant(tmp_path: Path) -> None:
    head, thread = "Mark;OD (mm);PCD (mm);Thk (mm);Holes;Hole dia\n", 'bolt, or under thread with "tapped" under kind'
    held = ("8,0;22", "8x22;", "8 x M16;", "8;M16")
    rows = "".join(f"A-{index};285,5;240;20;{holes}\n" for index, holes in enumerate(held))
    assert [line.partition("row ")[2] for line in told(written(tmp_path / "l.csv", head + rows), Unit.MM)] == [
        '3: Holes: "8x22" is no number of holes; write 8 here and 22 under hole diameter',
        f'4: Holes: "8 x M16" is no number of holes; write 8 here and M16 under {thread}',
        f'5: Hole dia: "M16" is no size of a hole; write M16 under {thread}',
    ]


def test_a_row_that_is_no_flange_and_headings_of_another_language_are_told_as_that(tmp_path: Path) -> None:
    (total,) = told(written(tmp_path / "l.csv", "Mark,Title,Qty,OD,PCD\n,Total,7,,\n"), Unit.MM)
    assert total.endswith("holds neither a flange nor sizes of one; fill them in, or begin a row that is no flange, as "
                          "a total, with #")  # fmt: skip
    lines = told(written(tmp_path / "g.csv", "Flanschliste\n\nBohrung,Lochkreis\n170,240\n"), Unit.MM)
    assert [line.split(": ")[1] for line in lines] == ["Bohrung", "Lochkreis"]


def test_two_words_for_one_key_are_told(tmp_path: Path) -> None:
    path = written(tmp_path / "a.csv", f"{HEAD},BCD (mm)\nA1,285,170,22,240,8,22,241\n")
    assert told(path) == [f'{path}: BCD (mm): is the same key as "PCD (mm)"; leave one of them out']


def test_a_workbook_may_have_a_title_and_words_of_the_trade(tmp_path: Path) -> None:
    rows: list[list[object]] = [[*HEAD.split(",")], ["A1", 285, 170.0, 22, 240, 8, 22.0]]
    (job,) = jobs_of(write_workbook(tmp_path / "a.xlsx", rows, ["Cut list 12", None, "week 48"]))
    assert sizes(job) == SIZES


def test_a_list_of_an_office_is_read_as_it_is_saved(tmp_path: Path) -> None:
    """Title rows, semicolons, decimal commas, the diameter sign and Windows letters, as a spreadsheet leaves them."""
    text = (
        "Flanschliste Woche 12;;;;;;;\r\nMarrow Beck Hatchery, Zulauf Süd;;;;;;;\r\n\r\n"
        "Pos;Qty;OD (mm);ID (mm);PCD (mm);No. of holes;Hole Ø (mm);Thk (mm)\r\n"
        "A-1;2;285,5;170;240;8;22;20\r\nA-2;1;340,25;221;295;8;22;22,5\r\n"
    )
    (path := tmp_path / "woche.csv").write_bytes(text.encode("cp1252"))
    jobs = [load_source(source) for source in job_sources([str(path)])]
    assert [(job.info.number, job.info.quantity) for job in jobs] == [("A-1", 2), ("A-2", 1)]
    assert [job.flange.round_diameter for job in jobs] == [285.5, 340.25]
    assert [job.flange.thickness for job in jobs] == [20.0, 22.5]
    circles = [job.flange.bolt_circles[0] for job in jobs]
    assert [(each.diameter, each.hole_count, each.hole_diameter) for each in circles] == [(240, 8, 22), (295, 8, 22)]


def test_the_starter_list_is_drawn_as_it_is(tmp_path: Path) -> None:
    (path := tmp_path / "list.csv").write_bytes(starter_list())
    jobs = [load_source(source) for source in job_sources([str(path)])]
    assert [job.info.number for job in jobs] == ["MB-201", "MB-202", "MB-203"]
    # EN 1092-1 PN16: DN100 is 8 x 18 on 180, DN150 8 x 22 on 240 (two sources agree).
    circles = [job.flange.bolt_circles[0] for job in jobs]
    assert [(each.diameter, each.hole_diameter) for each in circles] == [(240, 22), (180, 18), (240, 22)]
    assert [job.flange.is_blind for job in jobs] == [False, False, True]

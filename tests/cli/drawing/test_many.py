"""``flangelayout draw`` with many jobs: what is said, what is bound, how it ends."""

import csv
import json
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pdfplumber
import pypdf
import pytest
from pdfminer.pdftypes import resolve1

from batch_lists import row, write_list
from flangelayout.cli import run
from jobs import job_data, toml_text
from readers import pdf_pages

Said = tuple[int, str, str]
Call = Callable[..., Said]


@pytest.fixture
def call(capsys: pytest.CaptureFixture[str]) -> Call:
    """Run a command in this process: exit code, standard output, standard error."""

    def called(*arguments: object) -> Said:
        code = run([str(argument) for argument in arguments])
        out, err = capsys.readouterr()
        return code, out, err

    return called


def week(tmp_path: Path, count: int = 4) -> Path:
    return write_list(tmp_path / "week.csv", [row(index) for index in range(count)])


def job_file(folder: Path, number: str) -> Path:
    path = folder / f"{number}.toml"
    path.write_text(toml_text(job_data(job={"number": number})), encoding="utf-8")
    return path


def test_a_list_is_told_one_line_a_job(call: Call, tmp_path: Path) -> None:
    path, out = week(tmp_path), tmp_path / "out"
    code, said, errors = call("draw", path, "--into", out, "--only", "holes", "--cores", 1)
    assert (code, errors) == (0, "")
    lines = said.splitlines()
    assert len(lines) == 5
    assert lines[0].startswith("MB-000 rev A · ")
    assert lines[0].endswith("· Ring 0: wrote 1 of 1 files")
    assert lines[-1] == "4 jobs: 4 made, 0 unchanged"
    code, said, _ = call("draw", path, "--into", out, "--only", "holes", "--cores", 1)
    assert said.splitlines()[-1] == "4 jobs: 0 made, 4 unchanged"


def test_what_the_plate_must_be_asked_is_said_of_one_job_of_many(call: Call, tmp_path: Path) -> None:
    """EN 1092-1 DN 200: 8 holes on 295 for PN 10, 12 for PN 16; PN 16 DN 150 has 8 as PN 10 has."""
    path = tmp_path / "list.csv"
    path.write_text("number,flange,bore (mm)\nP-1,EN 1092-1 PN10 DN200,219\nP-2,EN 1092-1 PN16 DN150,168\n", "utf-8")
    said = call("draw", path, "--only", "holes", "--cores", 1)[1].splitlines()
    assert ["count the holes" in line for line in said] == [False, True, False, False]


@pytest.mark.slow
@pytest.mark.usefixtures("few_tries")
def test_one_call_reads_a_table_of_two_standards_and_nests_what_it_draws(call: Call, tmp_path: Path) -> None:
    """Table D, 4 in: AS 2129:2000 has 178 and 18 mm, BS 10:1962 has 7 and 11/16 in. No nest lacks a job."""
    path, asked = tmp_path / "list.csv", ("--only", "holes", "--cores", 1, "--plate", "1000x500", "--into", tmp_path)
    rows = "P-1,Table D DN100,115,20\nP-2,DN50 PN16,61.5,20\nP-3,Table D 4 in,115,20\n"
    path.write_text("number,flange,bore (mm),thickness (mm)\n" + rows, "utf-8")
    code, _, told = call("draw", path, *asked)
    assert (code, told.count("which standard is meant")) == (2, 1)
    assert told.count("write the one you mean") == 2
    assert '--standard "AS 2129" or --standard "BS 10"\n' in told
    assert "not nested while 2 jobs" in told
    assert not list(tmp_path.glob("list_nest*"))
    for name, place in (("AS 2129", 89.0), ("BS 10", 88.9)):
        code, said, told = call("draw", path, *asked, "--standard", name, "--force")
        assert (code, told) == (0, "")
        assert "3 parts on 1 plate" in said
        assert (tmp_path / "list_nest_mm.dxf").is_file()
        for number in ("P-1", "P-3"):
            holes = (tmp_path / f"{number}-A_holes_mm.csv").read_text(encoding="utf-8-sig").splitlines()
            assert float(next(csv.DictReader(holes))["x_center_mm"]) == pytest.approx(-place * 0.5**0.5, abs=1e-4)
    assert "begins no designation" in call("draw", path, *asked, "--standard", "AS 2130")[2]
    for command in ("bill", "quote", "traveller", "nest"):
        more = ("--plate", "1000x500") if command == "nest" else ()
        assert call(command, path, *more)[2].splitlines()[2].endswith('--standard "AS 2129" or --standard "BS 10"')
        assert call(command, path, *more, "--standard", "BS 10", "--force")[0] == 0


def test_a_list_that_cannot_be_read_is_no_job_that_failed(call: Call, tmp_path: Path) -> None:
    sound, odd = write_list(tmp_path / "week.csv", [row(0)]), tmp_path / "odd.csv"
    odd.write_text("number,flavor\nMB-1,mint\n")
    for names, summary in (
        ((odd,), "0 jobs: 0 made, 0 unchanged; of 1 named no job could be read"),
        ((sound, odd), "1 job: 1 made, 0 unchanged; of 1 named no job could be read"),
    ):
        code, said, told = call("draw", *names, "--only", "holes", "--force")
        assert (code, said.splitlines()[-1]) == (2, summary)
        assert "flavor: unknown column" in told


def test_failures_stand_at_the_end_with_their_rows_and_the_rest_is_written(call: Call, tmp_path: Path) -> None:
    path = write_list(tmp_path / "week.csv", [row(0), row(1, bore=900), row(2), row(3, hole_count="many")])
    code, said, errors = call("draw", path, tmp_path / "nothing.toml", "--only", "holes", "--cores", 1)
    assert code == 2
    assert said.splitlines()[-1] == "5 jobs: 2 made, 0 unchanged, 3 failed"
    told = errors.splitlines()
    assert told[0].startswith(f"flangelayout: {path} row 3: plate.bore: a bore of 900 mm")
    assert any(line.startswith(f"flangelayout: {path} row 5: bolt_circle.hole_count: ") for line in told)
    assert "nothing.toml" in told[-1]
    assert sorted(each.name for each in tmp_path.glob("*.csv")) == [
        "MB-000-A_holes_mm.csv",
        "MB-002-A_holes_mm.csv",
        "week.csv",
    ]


def test_json_of_many_jobs_is_one_document_with_the_failures_in_their_places(call: Call, tmp_path: Path) -> None:
    path = write_list(tmp_path / "week.csv", [row(0), row(1, bore=900)])
    code, said, _ = call("draw", path, "--only", "holes", "--json", "--cores", 1)
    good, bad = json.loads(said)
    assert code == 2
    assert good["job"]["number"] == "MB-000"
    assert [file["name"] for file in good["files"]] == ["MB-000-A_holes_mm.csv"]
    assert bad["source"] == f"{path} row 3"
    assert "plate.bore" in bad["problems"][0]
    again = json.loads(call("draw", path, "--only", "holes", "--json", "--cores", 1)[1])
    assert again[0] == good


def test_one_job_says_what_it_always_said(call: Call, tmp_path: Path) -> None:
    path = job_file(tmp_path, "H-1")
    code, said, errors = call("draw", path, "--only", "holes", "--into", tmp_path)
    assert (code, errors) == (0, "")
    head, file, _estimate = said.splitlines()
    assert head.startswith("H-1 rev A · ")
    assert file == f"  wrote     {tmp_path / 'H-1-A_holes_mm.csv'}"
    document = json.loads(call("draw", path, path, "--only", "holes", "--into", tmp_path, "--json")[1])
    assert list(document) == ["job", "said", "files", "findings", "estimate"]


def test_files_named_one_by_one_are_listed_in_full(call: Call, tmp_path: Path) -> None:
    first, second = job_file(tmp_path, "H-1"), job_file(tmp_path, "H-2")
    code, said, _ = call("draw", first, second, "--only", "holes", "--cores", 1)
    assert code == 0
    assert f"  wrote     {tmp_path / 'H-2-A_holes_mm.csv'}" in said


def test_jobs_with_the_same_files_are_refused_together(call: Call, tmp_path: Path) -> None:
    folder = tmp_path / "more"
    folder.mkdir()
    first, second = job_file(tmp_path, "H-1"), job_file(folder, "H-1")
    code, said, errors = call("draw", first, second, "--into", tmp_path / "out", "--only", "holes")
    assert (code, said) == (2, "2 jobs: 0 made, 0 unchanged, 2 failed\n")
    assert f"{second}: makes the same files as {first}, H-1-A_...;" in errors
    assert not (tmp_path / "out").exists()


@pytest.mark.slow
def test_sheets_cut_list_and_bill_are_bound(call: Call, tmp_path: Path) -> None:
    path, out = week(tmp_path, 2), tmp_path / "out"
    asked = ("draw", path, "--into", out, "--only", "sheet,cut", "--bind", "week 12", "--cores", 1)
    code, said, errors = call(*asked)
    assert (code, errors) == (0, "")
    assert f"  wrote     {out / 'week-12_sheets.pdf'}" in said
    data = (out / "week-12_sheets.pdf").read_bytes()
    assert data.startswith(b"%PDF-1.6")
    texts = pdf_pages(data)
    bound = pypdf.PdfReader(BytesIO(data))
    titles = [each.title for each in bound.outline if not isinstance(each, list)]
    pages = [bound.get_destination_page_number(each) for each in bound.outline if not isinstance(each, list)]
    assert titles == [f"MB-{index:03} rev A Ring {index}" for index in range(2)]
    assert all(f"MB-{index:03}" in texts[page or 0] for index, page in enumerate(pages))
    with pdfplumber.open(BytesIO(data)) as document:
        assert resolve1(document.doc.catalog["ViewerPreferences"])["PrintScaling"].name == "None"
    assert "wrote" not in call(*asked)[1]
    (out / "week-12_sheets.pdf").unlink()
    assert f"  wrote     {out / 'week-12_sheets.pdf'}" in call(*asked)[1]
    assert (out / "week-12_sheets.pdf").read_bytes() == data


def test_the_cut_list_and_the_bill_add_up(call: Call, tmp_path: Path) -> None:
    rows = [row(0, quantity=3), row(1, quantity=2, outside_diameter=260, bore=120, diameter=220)]
    path, out = write_list(tmp_path / "week.csv", rows), tmp_path / "out"
    code, said, _ = call("draw", path, "--into", out, "--only", "sheet,cut", "--bind", "w", "--cores", 1)
    assert (code, "  note: MB-000, MB-001: Bolts are not in the bill: no bolt is named for them." in said) == (0, True)
    names, *cuts = (out / "w_cut-list.csv").read_text(encoding="utf-8-sig").splitlines()
    first = dict(zip(names.split(","), cuts[0].split(","), strict=True))
    assert (first["number"], first["quantity"], first["pierces"]) == ("MB-000", "3", "10")
    # Circumferences: pi x (260 + 120 + 8 x 18) = 1646.19 mm.
    assert float(first["cut_length_mm"]) == pytest.approx(1646.19, abs=0.01)
    assert first["cut_file"] == "MB-000-A_cut_mm.dxf"
    assert len(cuts) == 3
    total = dict(zip(names.split(","), cuts[-1].split(","), strict=True))
    assert (total["number"], total["quantity"], total["holes"], total["pierces"]) == ("TOTAL", "5", "40", "50")
    assert float(total["cut_length_mm"]) == pytest.approx(5 * 1646.19, abs=0.05)
    _, *bill = (out / "w_bill-of-material.csv").read_text(encoding="utf-8-sig").splitlines()
    note = ',,NOTE: Bolts are not in the bill: no bolt is named for them,,,,"MB-000, MB-001"'
    assert bill == ['1,5,plate,⌀260 × 16,,mm,"MB-000, MB-001"', note]


def test_masses_of_a_cut_list_are_in_the_unit_of_its_jobs(call: Call, tmp_path: Path) -> None:
    """A plate of 10 in by 1 in without holes but one of 1 in: pi/4 (100 - 1) in3 of steel, 0.2836 lb/in3: 22.05 lb.

    The hole is reamed after the table, so it is left to machine.
    """
    job = {"number": "MB-9", "quantity": 2}
    plate = {"outside_diameter": 10, "thickness": 1, "material": "carbon steel"}
    hole = {"kind": "dowel", "fit": "H7", "diameter": 1, "x": 3, "y": 0}
    file, out = tmp_path / "inch.toml", tmp_path / "out"
    file.write_text(toml_text({"units": "in", "job": job, "plate": plate, "hole": [hole]}))
    assert call("draw", file, "--into", out, "--only", "sheet,cut", "--bind", "w", "--cores", 1)[0] == 0
    with (out / "w_cut-list.csv").open(encoding="utf-8-sig", newline="") as lines:
        names, only, total = csv.reader(lines)
    row = dict(zip(names, only, strict=True))
    assert float(row["part_lb"]) == pytest.approx(22.05, rel=2e-3)
    assert float(row["total_lb"]) == pytest.approx(44.10, rel=2e-3)
    assert dict(zip(names, total, strict=True))["total_lb"] == row["total_lb"]
    drilled, reamed = row["to_machine"].split("; ")
    assert (drilled, reamed[:15]) == ("Drill 1X ⌀1 less the reaming allowance", "Ream 1X ⌀1 H7 (")


def test_binding_without_sheets_is_refused_after_the_files_are_written(call: Call, tmp_path: Path) -> None:
    code, said, errors = call("draw", week(tmp_path, 2), "--only", "holes", "--bind", "w", "--cores", 1)
    assert code == 2
    assert "2 jobs: 2 made" in said
    assert "--bind: there is no sheet to bind" in errors


def test_no_bar_is_drawn_where_nobody_looks(call: Call, tmp_path: Path) -> None:
    assert call("draw", week(tmp_path, 3), "--only", "holes", "--cores", 1)[2] == ""


def test_what_is_not_as_its_standard_is_said_of_one_job_of_many_and_in_json(call: Call, tmp_path: Path) -> None:
    """EN 1092-1 PN16 DN150 is 8 x 22 on 240 mm; the second job writes 245."""
    listing = tmp_path / "two.csv"
    listing.write_text(
        "number,units,outside_diameter,bore,bolt_circle.standard,bolt_circle.diameter\n"
        "A-1,mm,285,170,DN150 PN16,\nA-2,mm,285,170,DN150 PN16,245\n",
        encoding="utf-8",
    )
    asked = ("draw", listing, "--only", "holes", "--into", tmp_path, "--cores", 1)
    said = call(*asked)[1]
    (line,) = (line for line in said.splitlines() if "NOT AS" in line)
    assert "EN 1092-1 PN16 DN150" in line
    assert said.splitlines()[said.splitlines().index(line) - 1].startswith("A-2 ")
    first, second = json.loads(call(*asked, "--json")[1])
    assert not any("NOT AS" in each for each in first["said"])
    assert [each for each in second["said"] if "NOT AS" in each] == [line.strip()]


def test_a_bound_packet_says_on_its_first_page_what_is_missing(call: Call, tmp_path: Path) -> None:
    path = write_list(tmp_path / "week.csv", [row(0), row(1, outside_diameter=100), row(2)])
    code, said, _ = call("draw", path, "--into", tmp_path, "--only", "sheet", "--bind", "w", "--cores", 1)
    assert code == 2
    assert "w: 1 job missing, named on its first page" in said
    first, second, *_ = pdf_pages((tmp_path / "w_sheets.pdf").read_bytes())
    assert "THIS PACKET IS NOT COMPLETE" in first
    assert "week.csv row 3" in first
    assert "NOT COMPLETE" not in second
    for file, said_there in (
        ("cut-list", "NOT COMPLETE, without week.csv row 3"),
        ("bill-of-material", "week.csv row 3"),
    ):
        assert said_there in (tmp_path / f"w_{file}.csv").read_text(encoding="utf-8-sig").splitlines()[-1]
    write_list(path, [row(0), row(2)])
    assert call("draw", path, "--into", tmp_path, "--only", "sheet", "--bind", "w", "--cores", 1)[0] == 0
    assert "NOT COMPLETE" not in pdf_pages((tmp_path / "w_sheets.pdf").read_bytes())[0]


@pytest.mark.slow
def test_files_are_parted_by_their_use_when_asked(call: Call, tmp_path: Path) -> None:
    path = write_list(tmp_path / "week.csv", [row(0), row(1)])
    asked = ("draw", path, "--into", tmp_path, "--only", "cut,template,holes,sheet", "--folders", "--bind", "w")
    assert call(*asked, "--cores", 1)[0] == 0
    made = {file.parent.name for file in tmp_path.rglob("MB-*-A_*.*")}
    assert made == {"cut", "print", "sheets"}
    assert (tmp_path / "cut" / "MB-000-A_cut_mm.dxf").is_file()
    assert (tmp_path / "print" / "MB-001-A_template_A4.pdf").is_file()
    assert (tmp_path / "sheets" / "MB-001-A_holes_mm.csv").is_file()
    assert "cut/MB-000-A_cut_mm.dxf" in (tmp_path / "w_cut-list.csv").read_text(encoding="utf-8-sig")
    _, said, _ = call(*asked, "--cores", 1)
    assert "2 unchanged" in said
    assert "older" not in said
    flat = asked[: asked.index("--folders")]
    assert "older" in call(*flat, "--cores", 1)[1]
    (told,) = [line for line in call(*asked, "--cores", 1)[1].splitlines() if "older" in line]
    count = len(list(tmp_path.glob("MB-*-A_*.*")))
    assert told.startswith(f"{count} older files of the same jobs lie elsewhere in {tmp_path}, MB-000-A_cut_mm.dxf")
    job = job_file(tmp_path, "H-1")
    assert call("draw", job, "--into", tmp_path, "--only", "cut", "--folders")[0] == 0
    assert (tmp_path / "cut" / "H-1-A_cut_mm.svg").is_file()

"""What a part takes and costs, reckoned again by hand from its own figures."""

import csv
import io
import json
import math
import re
from pathlib import Path

import pdfplumber
import pytest

from flangelayout.cli import run
from flangelayout.errors import InputError
from flangelayout.flange.turning import PlateFace
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from flangelayout.job.shop import shop_from_text
from flangelayout.packet.shopwork import quote_packet, quoted_job, traveller_packet
from flangelayout.shopwork.operations import (
    Cutting,
    HoleWork,
    Once,
    ShopStep,
    TurningWork,
    WorkPlace,
    count_of,
    operations,
    place_of,
    step_of,
)
from flangelayout.shopwork.quote import Quote
from flangelayout.shopwork.rates import RateKey, Rates
from flangelayout.units import Unit
from flangelayout.views.reports.office.quote import quote_rows, total_row, whole
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.shopwork import operation_words, rate_name
from jobs import job_data, toml_text
from readers import pdf_pages_text

RATES = """\
[shop.rates]
money = "EUR"
stated = "2026-09-01"
plate_per_kg = 1.4
cutting_speed = 350
pierce = 30
scribing_speed = 1000
set_up = 25
drill = 2
tap = 1.5
turn = 15
deburr = 8
mark = 2
inspect = 10
table_hour = 60
machine_hour = 48
lathe_hour = 45
bench_hour = 38
"""


def adapter(quantity: int = 3) -> Job:
    """Pipe side 8 x 22 on 295, cut 3 mm small to be drilled; pump side 8 x M16, 16 deep; a recess of 130."""
    return job_from_data(
        {
            "job": {"number": "MB-130", "quantity": quantity},
            "plate": {
                "outside_diameter": 350,
                "bore": 100,
                "thickness": 25,
                "material": "carbon steel plate",
            },
            "bolt_circle": [
                {"diameter": 295, "hole_count": 8, "hole_diameter": 22, "cut": "undersize for drilling"},
                {"diameter": 180, "hole_count": 8, "kind": "tapped", "thread": "M16", "depth": 16},
            ],
            "turned": [{"kind": "recess", "diameter": 130, "depth": 5}],
        }
    )


def quoted(text: str = RATES, quantity: int | None = None) -> Quote:
    return quoted_job(adapter(), shop_from_text(text).rates, quantity).quote


def test_the_operations_follow_from_what_the_cut_file_leaves_to_be_done() -> None:
    made = operations(adapter().flange, adapter().cut.options)
    assert [step_of(each) for each in made] == [
        *(
            ShopStep.CUT,
            ShopStep.TURN,
            ShopStep.SET_UP,
            ShopStep.DRILL,
            ShopStep.DRILL,
            ShopStep.TAP,
            ShopStep.DEBURR,
            ShopStep.MARK,
            ShopStep.INSPECT,
        ),
    ]
    assert made[0] == Cutting(edges=1, openings=1, holes=0, undersize=8, marked=8)
    drilled = [each for each in made if isinstance(each, HoleWork)]
    assert [(each.step, each.count, each.hole.diameter) for each in drilled] == [
        *((ShopStep.DRILL, 8, 22.0), (ShopStep.DRILL, 8, 14.0), (ShopStep.TAP, 8, 14.0)),
    ]


def from_the_back() -> Job:
    """Of an adapter the pump side is tapped blind from the back; 40 mm of it are plasma cut with holes of 22."""
    circles: list[dict[str, object]] = [
        {"diameter": 180, "hole_count": 8, "kind": "tapped", "thread": "M16", "depth": 16, "worked_from": "back"},
        {"diameter": 295, "hole_count": 8, "kind": "counterbored", "hole_diameter": 22, "worked_from": "back"},
        {"diameter": 240, "hole_count": 4, "kind": "tapped", "thread": "M12", "depth": 16},
    ]
    circles[1] |= {"seat_diameter": 40, "seat_depth": 8}
    plate = {"outside_diameter": 350, "bore": 100, "thickness": 40, "material": "carbon steel plate"}
    turned = [{"kind": "recess", "diameter": 130, "depth": 3, "face": face} for face in ("back", "face")]
    data = {"job": {"number": "MB-131"}, "plate": plate, "bolt_circle": circles, "cut": {"process": "plasma"}}
    return job_from_data(data | {"turned": turned})


def test_what_is_made_from_the_back_comes_last_and_says_so() -> None:
    job = from_the_back()
    turned = [each for each in operations(job.flange, job.cut.options) if isinstance(each, TurningWork)]
    assert [each.turned.face for each in turned] == [PlateFace.FACE, PlateFace.BACK]
    made = [each for each in operations(job.flange, job.cut.options) if isinstance(each, HoleWork)]
    assert [operation_words(each, job.flange, Lengths(Unit.MM)) for each in made] == [
        "Drill 4 × ⌀10.2 × 21.25 DEEP, THREAD 16 DEEP, bolt circle C",
        "Tap 4 × M12 × 16 DEEP, bolt circle C",
        "Drill 8 × ⌀14 × 22 DEEP, THREAD 16 DEEP, bolt circle A FROM THE BACK, plate turned over",
        "Tap 8 × M16 × 16 DEEP, bolt circle A FROM THE BACK, plate turned over",
        "Seat 8 × ⌀22, CBORE ⌀40 × 8 DEEP, bolt circle B FROM THE BACK, plate turned over",
    ]
    page = pdf_pages_text(traveller_packet(job, Rates())["MB-131-A_traveller.pdf"])
    assert page.count("plate turned over") == 3
    assert page.count("machine page of the back") == 1


THICK = {"outside_diameter": 285, "bore": 170, "thickness": 25.4}


def test_what_the_check_failed_stands_on_console_traveller_and_quote(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    path = tmp_path / "small.toml"
    path.write_text(toml_text(job_data(job={"number": "S-1"}, plate=THICK, cut={"process": "plasma"})))
    for command in ("quote", "traveller"):
        assert run([command, str(path)]) == 1
        page = pdf_pages_text((tmp_path / f"S-1-A_{command}.pdf").read_bytes())
        for told in (page, capsys.readouterr().out):
            assert "CHECK FAILED: " in told
            assert "smaller than plasma cuts well" in told


def test_a_blank_in_pounds_stands_in_the_kilograms_it_is_paid_by() -> None:
    # 12 x 12 x 1 in of 7850 kg/m3: 144 in3 x 16.387064 cm3 = 2359.7 cm3, 18.52 kg, / 0.45359237 = 40.8 lb.
    plate = {"outside_diameter": 12, "thickness": 1, "material": "carbon steel plate"}
    job = quoted_job(job_from_data(job_data(units="in", plate=plate, bolt_circle=[])), shop_from_text(RATES).rates)
    (blank, *_) = quote_rows(job, shop_from_text(RATES).rates)
    assert blank[1] == "blank 40.8 lb, 18.52 kg"


def test_a_hole_to_be_reamed_is_not_drilled_to_its_full_size() -> None:
    dowel = {"name": "dowel", "kind": "dowel", "diameter": 10, "fit": "H7", "radius": 120, "angle": 0}
    plate = {"outside_diameter": 285, "bore": 170, "thickness": 22}
    job = job_from_data({"plate": plate, "hole": [dowel]})
    made = operations(job.flange, job.cut.options)
    told = [operation_words(each, job.flange, Lengths(Unit.MM)) for each in made]
    assert "Drill 1 × ⌀10 less the reaming allowance" in told
    # ISO 286-2: 10 H7 is 0 to +0.015 mm.
    assert "Ream 1 × ⌀10 H7 (+0.015/0.000)" in told


def test_what_is_only_turned_is_set_up_on_the_lathe_and_paid_by_its_hour() -> None:
    plate = {"outside_diameter": 285, "bore": 170, "thickness": 22, "material": "carbon steel plate"}
    turned = [{"kind": "recess", "diameter": 200, "depth": 3, "face": "face"}]
    job = quoted_job(job_from_data(job_data(plate=plate, turned=turned)), shop_from_text(RATES).rates)
    (line,) = (each for each in job.quote.lines if each.operation and step_of(each.operation) is ShopStep.SET_UP)
    assert line.operation
    assert place_of(line.operation) is WorkPlace.LATHE
    assert RateKey.LATHE_HOUR in (*line.rates, *line.missing)


def test_chords_are_read_where_there_are_two_holes() -> None:
    plate = {"outside_diameter": 218, "bore": 168.3, "thickness": 30, "material": "carbon steel plate"}
    holes = [{"diameter": 10, "x": 0, "y": y} for y in (95, -95)]
    for count in range(3):
        job = job_from_data({"job": {"number": "T-1"}, "plate": plate, "hole": holes[:count]})
        page = pdf_pages_text(traveller_packet(job, Rates())["T-1-A_traveller.pdf"])
        assert ("read the chords" in page) is (count == 2)
        assert "STOP: nothing leaves" in page


def test_the_notes_of_the_job_and_the_times_of_one_part_go_along_with_the_steel() -> None:
    notes = ["Bore and both faces machined after drilling.", "Deburr the pump side."]
    for count, planned in ((1, "planned for the part"), (4, "planned for all 4 parts: ")):
        job = job_from_data(job_data(job={"number": "T-1", "notes": notes, "quantity": count}))
        page = pdf_pages_text(traveller_packet(job, shop_from_text(RATES).rates)["T-1-A_traveller.pdf"])
        assert all(note in page for note in notes)
        assert planned in page


def test_a_gasket_is_neither_deburred_nor_stamped_and_has_a_batch_number() -> None:
    plate = {"outside_diameter": 285, "bore": 169, "thickness": 3, "material": "rubber sheet"}
    page = pdf_pages_text(traveller_packet(job_from_data(job_data(plate=plate)), Rates())["T-1-A_traveller.pdf"])
    for text in ("STEEL", "heat number", "plate tag", "Deburr", "Stamp"):
        assert text not in page
    for text in ("THE SHEET", "Copy the batch number", "sheet tag", "Write the number and TOP on it"):
        assert text in page


def test_a_part_of_a_ring_which_has_no_top_of_its_own_is_stamped_with_its_number_alone() -> None:
    ring = {"outside_diameter": 900, "inside_diameter": 600, "part_count": 4, "thickness": 20}
    circle = [{"diameter": 750, "hole_count": 16, "hole_diameter": 22}]
    said = {}
    for outline in ("segment", "split"):
        flange = job_from_data({"plate": ring | {"outline": outline}, "bolt_circle": circle}).flange
        said[outline] = operation_words(Once(ShopStep.MARK), flange, Lengths(Unit.MM))
    assert said == {"segment": "Stamp the number", "split": "Stamp the number and TOP"}


def test_loose_parts_of_a_ring_are_deburred_and_stamped_each() -> None:
    ring = {"outside_diameter": 900, "inside_diameter": 600, "part_count": 4, "thickness": 20, "outline": "split"}
    circle = [{"diameter": 750, "hole_count": 16, "hole_diameter": 22}]
    job = job_from_data({"plate": ring, "bolt_circle": circle})
    steps = {step_of(each): each for each in operations(job.flange, job.cut.options)}
    assert [count_of(steps[step]) for step in (ShopStep.DEBURR, ShopStep.MARK, ShopStep.INSPECT)] == [4, 4, 1]
    said = operation_words(steps[ShopStep.MARK], job.flange, Lengths(Unit.MM))
    assert said == "Stamp the number on each of 4 parts, TOP on the one it is on"


def test_a_traveller_says_how_parts_of_a_ring_are_joined() -> None:
    ring = {"outside_diameter": 900, "inside_diameter": 600, "part_count": 4, "thickness": 20, "outline": "segment"}
    plate = {**ring, "gap": 3, "joint": "double V 60 degrees, root gap 3"}
    circle = [{"diameter": 750, "hole_count": 16, "hole_diameter": 22}]
    job = job_from_data(job_data(plate=plate, bolt_circle=circle))
    page = pdf_pages_text(traveller_packet(job, Rates())["T-1-A_traveller.pdf"])
    assert "Joint: double V 60 degrees, root gap 3" in page


def test_a_plain_ring_is_cut_in_one_go() -> None:
    plain = job_from_data(
        {
            "plate": {"outside_diameter": 285, "bore": 170},
            "bolt_circle": [{"diameter": 240, "hole_count": 8, "hole_diameter": 22}],
            "cut": {"marks": ["part number"]},
        }
    )
    steps = [step_of(each) for each in operations(plain.flange, plain.cut.options)]
    assert steps == [ShopStep.CUT, ShopStep.DEBURR, ShopStep.INSPECT]


def test_every_time_and_cost_is_the_shops_rate_times_the_parts_own_figure() -> None:
    found = quoted()
    lines = {step_of(line.operation): line for line in found.lines if line.operation}
    # Edges of 350 and 100 and eight holes cut at 19: pi x (350 + 100 + 8 x 19) = 1891.2 mm, ten pierces.
    assert found.work.cut_length == round(math.pi * (350 + 100 + 8 * 19))
    assert found.work.pierces == 10
    cut = round(1891 / 350 + found.work.mark_length / 1000 + 10 * 0.5, 2)
    assert lines[ShopStep.CUT].minutes == pytest.approx(cut)
    assert lines[ShopStep.CUT].cost == pytest.approx(cut * 60 / 60)
    # Taps: 8 x 1.5 min at 48 an hour; the recess 15 min at 45; the blank 350 x 350 x 25 mm of 7850 kg/m3 at 1.40.
    assert lines[ShopStep.TAP].minutes == pytest.approx(12.0)
    assert lines[ShopStep.TAP].cost == pytest.approx(9.6)
    assert lines[ShopStep.TURN].cost == pytest.approx(15 / 60 * 45)
    assert found.lines[0].cost == pytest.approx(round(round(0.35 * 0.35 * 0.025 * 7850, 2) * 1.4, 2))
    each = cut + 2 * 16 + 12 + 15 + 8 + 2 + 10
    assert found.minutes == pytest.approx(25 + 3 * each)
    assert found.one_off == pytest.approx(sum(line.cost or 0 for line in found.lines))
    assert found.cost == pytest.approx(20 + 3 * (found.one_off - 20))
    assert found.each == pytest.approx(found.cost / 3, abs=0.005)
    assert (found.without_time, found.without_cost) == (0, 0)


def test_more_parts_share_what_is_done_once() -> None:
    assert quoted(quantity=100).each == pytest.approx(quoted().one_off - 20 + 20 / 100)


def test_what_has_no_rate_has_no_figure_and_is_counted() -> None:
    found = quoted(RATES.replace("lathe_hour = 45\n", "").replace("tap = 1.5\n", ""))
    lines = {step_of(line.operation): line for line in found.lines if line.operation}
    assert (lines[ShopStep.TURN].minutes, lines[ShopStep.TURN].cost) == (15, None)
    assert (lines[ShopStep.TAP].minutes, lines[ShopStep.TAP].cost) == (None, None)
    assert lines[ShopStep.TAP].missing == (RateKey.TAP,)
    assert (found.without_time, found.without_cost) == (1, 2)
    assert whole(found, Rates()).endswith("without the time of 1 line, without the cost of 2 lines")
    bare = quoted_job(adapter(), Rates())
    assert [row[2] for row in quote_rows(bare, Rates())][:2] == [
        "not stated: price of plate",
        "not stated: cutting speed, piercing, scribing speed, hour of the cutting table",
    ]
    none = bare.quote
    assert (none.minutes, none.cost) == (0.0, 0.0)
    assert not none.has_time
    assert not none.has_cost
    assert none.without_cost == len(none.lines)
    assert none.work.used_share == pytest.approx(none.work.mass / none.work.blank_mass)  # type: ignore[operator]


def test_rates_are_read_in_the_units_of_the_shop_file_and_nonsense_is_refused() -> None:
    inch = shop_from_text('units = "in"\n[shop.rates]\ncutting_speed = 14\n').rates
    assert inch.value(RateKey.CUTTING_SPEED) == pytest.approx(14 * 25.4)
    for wrong in ("cutting_speed = 0", "table_hour = -1", "drilling = 3"):
        with pytest.raises(InputError, match="rates"):
            shop_from_text(f"[shop.rates]\n{wrong}\n")


def test_the_page_and_the_list_hold_every_figure_and_name_every_rate() -> None:
    rates = shop_from_text(RATES).rates
    job = quoted_job(adapter(), rates)
    packet = quote_packet("MB-130-A", [job], rates, "A4")
    page = pdf_pages_text(packet["MB-130-A_quote.pdf"])
    for key, _ in rates.values:
        assert f"{rate_name(key)}: " in page
    assert not [key.value for key in RateKey if "_" in key.value and key.value in page]
    assert page.count("as the shop file says") == 1
    assert "Every rate is as the shop file says, stated 2026-09-01:" in page
    assert "one off, EUR" in page
    assert f"{job.quote.one_off:.2f} {job.quote.each:.2f}" in page
    # Setting up takes 25 min at 48 an hour, 20.00, of which each of three parts bears a third.
    (set_up,) = (row for row in quote_rows(job, rates) if row[0] == "Set up")
    assert set_up[3:] == ("25.00", "20.00", "6.67")
    rows = list(csv.DictReader(io.StringIO(packet["MB-130-A_quote.csv"].decode("utf-8-sig"))))
    assert len(rows) == len(job.quote.lines) + 1
    assert rows[-1]["what"] == "TOTAL"
    costs = [float(row["one_off"]) for row in rows]
    assert sum(costs[:-1]) == pytest.approx(costs[-1], abs=1e-6)
    assert packet == quote_packet("MB-130-A", [job], rates, "A4")


def test_the_traveller_has_every_step_a_box_for_each_and_the_digest_of_what_is_cut() -> None:
    job = adapter()
    page = pdf_pages_text(traveller_packet(job, shop_from_text(RATES).rates)["MB-130-A_traveller.pdf"])
    for text in ("heat number", "remnant tag", "digest read on the cut file", "by, date", "STOP: read the chords"):
        assert text in page
    assert page.count(job.digest[:10]) == 2
    assert page.count("JOB TRAVELLER") == 1, "what goes with the steel is one page"
    assert (
        page.index("DO NOT CUT: THE CHECK FAILED") < page.index("cut all the same because") < page.index("Cut 1 edge")
    )
    assert page.index("Cut 1 edge") < page.index("Drill 8 × ⌀22") < page.index("Tap 8 × M16 × 16 DEEP")
    steps = ("Turn RECESS", "Tap 8", "STOP: read the chords", "Inspect ", "STOP: nothing leaves", "released")
    assert [page.index(step) for step in steps] == sorted(page.index(step) for step in steps)
    assert "Set up on the lathe by the holes that the table has cut or marked" in page
    # 8 x 2 min of drilling and 8 x 1.5 min of tapping the same holes are one step.
    assert re.search(r"Tap 8 × M16 × 16 DEEP, bolt circle B .*? drilling machine 28\.00 ", page)
    bare = pdf_pages_text(traveller_packet(job, Rates())["MB-130-A_traveller.pdf"])
    assert "No times: the shop file states no rates." in bare


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_quote_adds_up_by_the_figures_that_stand_on_it(units: str) -> None:
    """Every cost reckoned again from what is read in its row, as whoever pays does."""
    size = 25.4 if units == "in" else 1.0
    plate = {"outside_diameter": 285 / size, "bore": 170 / size, "thickness": 27.6 / size}
    circle = {"diameter": 240 / size, "hole_count": 7, "hole_diameter": 18 / size, "cut": "undersize for drilling"}
    tapped = {"diameter": 200 / size, "hole_count": 5, "kind": "tapped", "thread": "M12", "depth": 16 / size}
    data: dict[str, object] = {
        "units": units,
        "plate": plate | {"material": "carbon steel plate"},
        "bolt_circle": [circle, tapped],
    }
    rates = shop_from_text(
        RATES.replace("plate_per_kg = 1.4", "plate_per_kg = 1.905").replace("hour = 38", "hour = 37")
    )
    rows = list(quote_rows(job := quoted_job(job_from_data(data), rates.rates, 3), rates.rates))
    for what, much, by, minutes, one_off, each in rows:
        figures, rated = ([float(text) for text in re.findall(r"\d+(?:\.\d+)?", words)] for words in (much, by))
        if what.startswith("Plate"):
            assert rated == [1.905]
            taken = figures[-1] * rated[0]
        else:
            taken = float(minutes) / 60 * rated[-1]
        assert float(one_off) == pytest.approx(taken, abs=0.0051), what
        assert float(each) == pytest.approx(float(one_off) / (3 if what == "Set up" else 1), abs=0.0051)
        if what.startswith("Cut"):
            (length, pierces, scribed), (speed, pierce, scribing, _) = figures, rated
            told = length / speed + scribed / scribing + pierces * pierce / 60
            assert float(minutes) == pytest.approx(told, abs=0.0051)
    total = total_row(job.quote)
    for column in (4, 5):
        assert sum(float(row[column]) for row in rows) == pytest.approx(float(total[column]), abs=1e-6)
    assert sum(float(row[3] or 0) for row in rows) == pytest.approx(float(total[3]), abs=1e-6)


def test_figures_of_a_quote_end_at_the_right_of_their_columns() -> None:
    rates = shop_from_text(RATES).rates
    page = quote_packet("MB-130-A", [quoted_job(adapter(), rates)], rates, "A4")["MB-130-A_quote.pdf"]
    with pdfplumber.open(io.BytesIO(page)) as found:
        words = found.pages[0].extract_words()
    head = next(word["bottom"] for word in words if word["text"] == "reckoned")
    figures = [word for word in words if re.fullmatch(r"\d+\.\d\d", word["text"]) and word["top"] > head]
    ends = [word["x1"] for word in figures if word["x0"] > 350]
    assert len(ends) > 25
    assert len({round(end) for end in ends}) <= 6, "three columns, each within a point"


def test_the_minutes_of_a_traveller_add_up_to_its_total() -> None:
    # 25 min of setting up are once for three parts.
    page = pdf_pages_text(traveller_packet(adapter(), shop_from_text(RATES).rates)["MB-130-A_traveller.pdf"])
    found = re.search(r"([\d.]+) min planned for all 3 parts: set-up 25.00 min once, ([\d.]+) min each of 3\.", page)
    assert found
    whole_job, each = map(float, found.groups())
    assert whole_job == pytest.approx(25 + 3 * each, abs=1e-6)
    rows = "".join(page.split("good by, date")[1:])
    steps = [float(text) for text in re.findall(r" (\d+\.\d\d)(?= |\n|$)", rows)]
    assert sum(steps) == pytest.approx(25 + each, abs=1e-6)
    assert "once" in rows
    lacking = shop_from_text(RATES.replace("tap = 1.5\n", "")).rates
    assert "16.00 and ?" in pdf_pages_text(traveller_packet(adapter(), lacking)["MB-130-A_traveller.pdf"])


def test_a_list_is_quoted_with_totals_and_the_faulty_row_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    (tmp_path / "config" / "flangelayout").mkdir(parents=True)
    (tmp_path / "config" / "flangelayout" / "shop.toml").write_text(RATES)
    listing = tmp_path / "week.csv"
    head = "number,qty,OD (mm),ID (mm),thk (mm),material,PCD (mm),holes,hole (mm)\n"
    good = "".join(f"A-{n},{n},285,170,20,carbon steel plate,240,8,22\n" for n in (1, 2))
    listing.write_text(head + good + "A-3,1,285,170,20,carbon steel plate,300,8,22\n")
    assert run(["quote", str(listing), "--json"]) == 2
    told = capsys.readouterr()
    data = json.loads(told.out)
    assert [job["quantity"] for job in data["jobs"]] == [1, 2]
    assert data["minutes"] == pytest.approx(3 * data["jobs"][0]["minutes"], abs=1e-3)
    assert data["cost"] == pytest.approx(3 * data["jobs"][0]["cost"], abs=1e-3)
    assert data["rates"]["source"] == "as the shop file says, stated 2026-09-01"
    assert "row 4" in told.err
    assert run(["quote", str(listing)]) == 2
    assert capsys.readouterr().out.count("2 jobs, 3 parts: ") == 1
    page = pdf_pages_text((tmp_path / "week_quote.pdf").read_bytes())
    assert page.count("2 jobs, 3 parts: ") == 1
    assert "Could not be read and is not in it: week.csv row 4." in page
    assert {path.name for path in tmp_path.glob("week_quote*")} == {"week_quote.pdf", "week_quote.csv"}
    assert run(["traveller", str(listing)]) == 2
    assert len(list(tmp_path.glob("*_traveller.pdf"))) == 2


def test_nested_parts_pay_for_their_share_of_the_plate(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two blinds of 400 on a plate of 1000 x 420 x 10: 820 mm of it are used and 10 kept free at the edge."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    listing = tmp_path / "week.csv"
    head = "number,qty,OD (mm),thk (mm),material\n"
    listing.write_text(f"{head}A-1,2,400,10,carbon steel plate\n")
    assert run(["quote", str(listing), "--plate", "1000x420", "--json"]) == 0
    (job,) = json.loads(capsys.readouterr().out)["jobs"]
    metal = 2 * math.pi / 4 * 400**2
    assert job["work"]["is_nested"] is True
    assert job["work"]["used_share"] == pytest.approx(metal / (830 * 420), rel=0.01)
    assert job["work"]["blank_mass"] == pytest.approx(job["work"]["mass"] / job["work"]["used_share"])
    assert (job["cost"], job["minutes"]) == (None, None)  # this shop has stated no rates
    assert run(["quote", str(listing), "--plate", "300x300", "--json"]) == 2
    assert "does not fit on the plate" in capsys.readouterr().err

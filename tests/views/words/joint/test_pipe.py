"""The pipe on the sheet: which, how it fits, and the holes to level by."""

import pytest

from flangelayout.errors import InputError
from flangelayout.flange import Flange
from flangelayout.job.load import job_from_text
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.words.joint.pipe import pipe_notes
from flangelayout.views.words.lengths import Lengths
from jobs import make_job
from rows import every_row

CIRCLE = {"diameter": 240, "hole_count": 8, "hole_diameter": 22}


def plate(bore: object, **circle: object) -> Flange:
    tables = {"outside_diameter": 285, "bore": bore, "thickness": 22}
    return make_job(plate=tables, bolt_circle=[CIRCLE | circle]).flange


def test_the_sheet_names_pipe_fit_and_figures() -> None:
    flange = plate("pipe 6 in sch 40, slip-on")
    assert flange.bore == pytest.approx(170.688)
    first, level = pipe_notes(flange, Lengths(Unit.MM))
    assert first == (
        "Bore ⌀170.69: slip-on over pipe NPS 6 Sch 40, 168.28 × 7.11 mm (ASME B36.10M, two sources agree); "
        "as slip-on flanges of ASME B16.5, +0.76/-0 (two sources agree)."
    )
    assert level == "TWO-HOLED: HOLES 1 AND 8 LEVEL ACROSS THE TOP"


def test_a_wall_as_written_is_said() -> None:
    first, _ = pipe_notes(plate("DN150 6.3, weld neck"), Lengths(Unit.MM))
    assert first == (
        "Bore ⌀155.7: weld neck, as wide as pipe DN150, 168.3 × 6.3 as written mm "
        "(EN 10220 series 1, two sources agree) inside."
    )


@every_row(
    ("circle", "told"),
    [
        ({"placement": "on-centerline"}, ["ONE-HOLED: HOLES 1 AND 5 PLUMB"]),
        ({"start_angle": 5}, []),
        ({"hole_count": 5, "placement": "on-centerline"}, []),
        ({"hole_count": 5}, ["TWO-HOLED: HOLES 1 AND 5 LEVEL ACROSS THE TOP"]),
    ],
)
def test_holes_to_level_by_are_named_only_where_there_are_any(circle: dict[str, object], told: list[str]) -> None:
    _, *rest = pipe_notes(plate("NPS 6, slip-on", **circle), Lengths(Unit.MM))
    assert rest == told


def test_a_bore_that_is_no_longer_the_pipes_claims_no_pipe() -> None:
    flange = plate("NPS 6, slip-on")
    assert list(pipe_notes(replace(flange, bore=171.0), Lengths(Unit.MM))) == []
    assert list(pipe_notes(plate(170.5), Lengths(Unit.MM))) == []


def test_a_pipe_that_is_wrong_is_told_with_its_line() -> None:
    text = '[plate]\noutside_diameter = 285\nbore = "pipe 6 in sch 45, weld neck"\nthickness = 22\n'
    with pytest.raises(InputError) as refused:
        job_from_text(text, "T-1")
    (line,) = refused.value.lines()
    assert line.startswith("line 3: plate.bore: pipe NPS 6 has no Sch 45; there are ")

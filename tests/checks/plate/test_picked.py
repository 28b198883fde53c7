"""A row that was picked among several drillings that the readings fit is told as a pick, on sheet and page."""

import math

from flangelayout.checks.rule import Rule
from flangelayout.drawing.model import Label
from flangelayout.job.load import job_from_data
from flangelayout.packet.job import layout_pages
from flangelayout.views.words.findings import finding_text

CHORD = 91.7
"""One chord center to center, good to 0.5 mm: 240 mm (91.84 = 240 sin 22.5 deg) and 241.3 mm (92.34) both fit it."""


def data(standard: str, **readings: float) -> dict[str, object]:
    taken: list[dict[str, object]] = [{"kind": "centers", "value": CHORD}]
    taken += [{"kind": kind.replace("_", "-"), "value": value} for kind, value in readings.items()]
    return {
        "plate": {"outside_diameter": 285, "bore": 170, "thickness": 22},
        "bolt_circle": [{"standard": standard}],
        "survey": {"hole_count": 8, "reading": taken},
    }


def test_a_pick_is_noted_with_what_the_readings_fit_as_well() -> None:
    assert math.isclose(240 * math.sin(math.pi / 8), 91.84, abs_tol=0.005)
    job = job_from_data(data("EN 1092-1 PN16 DN150", hole_diameter=22.1))
    (note,) = (finding for finding in job.findings if finding.rule is Rule.PICKED_AMONG)
    said = finding_text(job.flange, note, job.unit)
    assert said.startswith("bolt circle: EN 1092-1 PN16 DN150 is a pick, the readings fit ")
    assert "NPS 6" in said
    items = [item.what for sheet in layout_pages(job).sheets for item in sheet.furniture]
    labels = [what.text for what in items if isinstance(what, Label)]
    assert "PN16 DN150 is a pick" in " ".join(labels)


def test_no_pick_where_the_readings_leave_one_drilling_or_the_row_is_none_of_theirs() -> None:
    for job in (
        job_from_data(data("EN 1092-1 PN16 DN150", hole_diameter=22.1, outside_diameter=285)),
        job_from_data(data("EN 1092-1 PN6 DN150", hole_diameter=22.1)),
    ):
        assert Rule.PICKED_AMONG not in {finding.rule for finding in job.findings}

"""The section as it is cut: where metal is, and where the bore and the holes of each circle leave none."""

import math
from typing import Any

import pytest

from flangelayout.drawing.layers import Layer
from flangelayout.geometry.shapes import Contour
from flangelayout.packet.job import layout_pages
from jobs import make_job

PLATE = {"outside_diameter": 285, "bore": 100, "thickness": 22}
OUTER = {"diameter": 240, "hole_count": 8, "hole_diameter": 22}
INNER = {"diameter": 160, "hole_count": 4, "hole_diameter": 14}


def metal(**tables: Any) -> list[tuple[float, float]]:  # noqa: ANN401 - tables of any kind
    """From where to where up the plate the section shows cut metal: its contours, right of the face view."""
    job = make_job(**tables)
    edge = job.flange.box().right
    contours = [
        item.what
        for item in layout_pages(job).sheets[0].views[0].drawing.items
        if item.layer is Layer.OUTLINE and isinstance(item.what, Contour)
    ]
    heights = [[part.start.y for part in each.parts] for each in contours if each.parts[0].start.x > edge]
    return sorted((min(each), max(each)) for each in heights)


def test_one_circle_shows_its_hole_above_and_below() -> None:
    assert metal(plate=PLATE, bolt_circle=[OUTER]) == [
        pytest.approx(each) for each in [(-142.5, -131), (-109, -50), (50, 109), (131, 142.5)]
    ]


def test_of_two_circles_the_first_is_cut_above_and_the_second_below() -> None:
    assert metal(plate=PLATE, bolt_circle=[OUTER, INNER]) == [
        pytest.approx(each) for each in [(-142.5, -87), (-73, -50), (50, 109), (131, 142.5)]
    ]


def test_a_square_plate_is_cut_where_it_is_along_its_centerline() -> None:
    plate = {"outline": "square", "width": 300, "bore": 100, "thickness": 22}
    on_line = OUTER | {"placement": "on-centerline"}
    assert metal(plate=plate, bolt_circle=[on_line]) == [
        pytest.approx(each) for each in [(-150, -131), (-109, -50), (50, 109), (131, 150)]
    ]
    # Straddling, the centerline meets no hole: half a pitch is 22.5 degrees, 45.9 mm aside.
    assert 120 * math.sin(math.radians(22.5)) > 11
    assert metal(plate=plate, bolt_circle=[OUTER]) == [pytest.approx(each) for each in [(-150, -50), (50, 150)]]

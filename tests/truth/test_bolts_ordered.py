"""The bill orders what goes together: no bolt that its hole does not take, two nuts and two washers for a stud."""

from pathlib import Path

import pytest

from truth.outside import draw

JOB = """units = "mm"
[job]
number = "MB-221"
[plate]
outside_diameter = 285
thickness = 20
[[bolt_circle]]
diameter = 240
hole_count = 8
"""
BILL = '[sheet]\nparts = ["bill"]\n'


@pytest.mark.parametrize(("hole", "bolt"), [(18, "M20"), (14, "M20"), (22, "M24")])
def test_a_bolt_that_does_not_go_through_is_not_ordered(hole: int, bolt: str, tmp_path: Path) -> None:
    ran = draw(tmp_path, f'{JOB}hole_diameter = {hole}\nbolt = "{bolt}"\n{BILL}')
    assert f"hexagon bolt {bolt}" not in ran.sheet
    assert f"{bolt} X" not in ran.sheet


def test_a_bolt_that_goes_through_is_ordered(tmp_path: Path) -> None:
    ran = draw(tmp_path, f'{JOB}hole_diameter = 22\nbolt = "M20"\nmate_thickness = 20\n{BILL}')
    # 20 + 20 + two washers of 3, a nut of 18 and two threads of 2.5: 69 mm; the next length of ISO 888 is 70.
    # Bolts of ISO 4014 begin at M20 X 80 (from memory); shorter ones are threaded to the head, screws of ISO 4017.
    assert "8 8 hexagon screw M20 × 70 ISO 4017" in ran.sheet

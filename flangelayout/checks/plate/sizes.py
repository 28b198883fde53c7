"""Sizes so far from what is made that they are likely numbers in the wrong unit."""

from collections.abc import Iterator

from flangelayout.checks.facts import Sized, UsualSize
from flangelayout.checks.finding import Bound, Finding, Place, Remedy, circle_place, judged
from flangelayout.checks.limits import Ground, Limit
from flangelayout.checks.rule import Rule
from flangelayout.flange import Flange

_PLATE = Limit(20.0, Ground.PLATE_STOCK), Limit(6000.0, Ground.PLATE_STOCK)
"""Width of a plate in mm: published flanges reach 4.3 m (AWWA C207, 144 in), and rolled plate hardly
5 m of width; nothing bolted is smaller than a coin (common practice, no source)."""
_THICKNESS = Limit(0.2, Ground.PLATE_STOCK), Limit(500.0, Ground.PLATE_STOCK)
"""Thickness in mm, from gasket sheet to forged covers (common practice, no source)."""
_HOLE = Limit(2.0, Ground.BOLT_RANGE), Limit(165.0, Ground.BOLT_RANGE)
"""Hole of a bolt circle in mm: M1.6 and smaller screws hold no flange; ISO 273 ends with 165 for M150."""


def check_sizes(flange: Flange) -> Iterator[Finding]:
    """Width and thickness of the plate and the holes of its circles, against what is made."""
    box = flange.box()
    yield _usual(Place("units"), Sized.PLATE, max(box.width, box.height), _PLATE)
    if flange.thickness is not None:
        yield _usual(Place("plate.thickness"), Sized.THICKNESS, flange.thickness, _THICKNESS)
    for group, circle in enumerate(flange.bolt_circles):
        yield _usual(circle_place(flange, group, "hole_diameter"), Sized.HOLE, circle.hole_diameter, _HOLE)


def _usual(place: Place, what: Sized, value: float, limits: tuple[Limit, Limit]) -> Finding:
    """A size against the least and the greatest; the one it is nearer to is told."""
    least, greatest = limits
    small = value * value < least.value * greatest.value
    limit, bound = (least, Bound.AT_LEAST) if small else (greatest, Bound.AT_MOST)
    return judged(Rule.USUAL_SIZE, place, UsualSize(what), value, limit, Remedy.RIGHT_UNIT, bound)

"""The holes of a derived part: those of its parent that go through both, as they stand seen from the part's face."""

from flangelayout.flange import BoltCircle, Dowel, Drilled, Drilling, Flange, Jack, Slot, Tapped
from flangelayout.flange.claims import met_rows
from flangelayout.flange.joints.derived import DerivedPart
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import ORIGIN, Point
from flangelayout.standards.bolts import known_bolt
from flangelayout.standards.joints.seals import joint_face
from flangelayout.units import Unit, from_mm

Tables = dict[str, object]
MOST_HOLES = 200
"""More holes than that beside bolt circles are no bolts."""
_ROUND_A_PIN = 1.0
"""How much wider in mm a gasket is punched for a dowel pin (common practice, no source)."""
_SAME = 0.005


def carried_circles(flange: Flange, wanted: BoltCircle | None) -> tuple[BoltCircle, ...]:
    """The circles that a part which lies on the parent shares with it.

    Args:
        flange: The parent.
        wanted: The one asked for; ``None`` for all whose mates lie on the same face as the first one's. Jack screws
            push against what lies there, and lifting holes lift: neither goes through it.
    """
    if wanted is not None:
        return (wanted,)
    kept = [each for each in flange.bolt_circles if not isinstance(each.kind, Jack) and not each.drilling.is_lifting]
    return tuple(each for each in kept if lies_behind(flange, each) == lies_behind(flange, kept[0]))


def lies_behind(flange: Flange, circle: BoltCircle) -> bool:
    """Whether what bolts to the circle lies on the back."""
    return joint_face(flange, flange.bolt_circles.index(circle)) is PlateFace.BACK


def circle_table(circle: BoltCircle, unit: Unit, part: DerivedPart, mirrored: bool) -> Tables:
    """A circle of the parent in the part: as its standard, where it is one whole, else by its sizes."""
    rows, gasket = met_rows(circle), part is DerivedPart.FULL_FACE_GASKET
    plain = not (circle.skipped or circle.angles or circle.pair_angle)
    if rows and plain and isinstance(circle.kind, Drilled) and not gasket:
        found: Tables = {"standard": rows[0].designation}
    else:
        sizes = {"diameter": length(circle.diameter, unit), "hole_count": len(circle.hole_numbers())}
        found = sizes | _made(circle.drilling, unit, gasket)
    return ({"name": circle.name} if circle.name else {}) | found | _placing(circle, mirrored)


def single_tables(flange: Flange, unit: Unit, part: DerivedPart, mirrored: bool) -> list[Tables]:
    """Bolts and pins that stand on no circle, each by x and y; tubes, vents, jacks and lifting holes stay behind."""
    sign, gasket = -1.0 if mirrored else 1.0, part is DerivedPart.FULL_FACE_GASKET
    groups = [(each.drilling, each.hole_centers()) for each in flange.patterns]
    groups += [(each.drilling, (each.center,)) for each in flange.single_holes]
    found: list[Tables] = []
    for drilling, centers in groups:
        name = drilling.kind.thread if isinstance(drilling.kind, Tapped) and len(centers) > 1 else drilling.bolt
        bolted = known_bolt(name) is not None or isinstance(drilling.kind, Dowel)
        if not bolted or isinstance(drilling.kind, Jack) or drilling.is_lifting or len(centers) > MOST_HOLES:
            continue
        made = _made(drilling, unit, gasket)
        made = {"diameter" if key == "hole_diameter" else key: value for key, value in made.items()}
        found += [made | {"x": length(sign * one.x, unit), "y": length(one.y, unit)} for one in centers]
    return found


def _made(drilling: Drilling, unit: Unit, gasket: bool) -> Tables:
    """As wide as on the parent; for a thread what its bolt goes through, for a slot what its bolt may stand in."""
    kind, wide = drilling.kind, length(drilling.diameter, unit)
    if isinstance(kind, Tapped):
        return {"bolt": kind.thread}
    if isinstance(kind, Dowel):
        pin: Tables = {"hole_diameter": length(drilling.diameter + _ROUND_A_PIN, unit)}
        return pin if gasket else {"kind": "dowel", "fit": kind.fit, "hole_diameter": wide}
    if isinstance(kind, Slot) and gasket:
        along = {"slot_length": length(kind.length, unit), "slot_along": kind.along.value}
        return {"kind": "slot", "hole_diameter": wide} | along
    return {"hole_diameter": wide}


def _placing(circle: BoltCircle, mirrored: bool) -> Tables:
    """Where the holes stand: as on the parent, or as in a mirror where the part is seen from behind."""
    plain = not (circle.skipped or circle.angles or circle.pair_angle)
    if plain and (not mirrored or is_own_mirror(circle.hole_centers())):
        found: Tables = {"placement": circle.placement.value, "centerline": circle.centerline.value}
        return found | ({"start_angle": circle.start_angle} if circle.start_angle else {})
    angles = [(180.0 - angle) % 360.0 if mirrored else angle for angle in circle.hole_angles()]
    return {"angles": [round(angle, 9) for angle in sorted(angles)]}


def is_own_mirror(places: tuple[Point, ...]) -> bool:
    """Whether places seen from behind, turned over about the vertical, are where they were."""
    return all(any(mirrored(one).distance_to(other) < _SAME for other in places) for one in places)


def mirrored(place: Point) -> Point:
    """A place, turned over about the vertical through the middle of the plate."""
    return Point(2 * ORIGIN.x - place.x, place.y)


def length(size: float, unit: Unit) -> float:
    """A length in mm as a job file has it."""
    return round(from_mm(size, unit), 6)

"""Parts derived from a flange: gasket, full-face gasket, blind, spacer ring, counter-flange, paddle blind.

Their tables name the flange they are derived from, with its digest, so that a change of it is noticed. Sizes are
worked out here; that a blind, a spacer or a paddle is thick enough is for a qualified person.
"""

import math
import string
from pathlib import Path

from msgspec import Struct

from flangelayout.errors import InputError
from flangelayout.flange import BoltCircle, Flange, SegmentOutline
from flangelayout.flange.claims import met_rows
from flangelayout.flange.groups import group_letter
from flangelayout.flange.joints import Mate, mates_by_group
from flangelayout.flange.joints.derived import GASKET_PARTS, DerivedPart
from flangelayout.flange.turning import PlateFace, Turned, TurnedKind
from flangelayout.geometry.measure import distance_to_edge, pieces
from flangelayout.geometry.pieces import point_at
from flangelayout.job.derived_holes import (
    Tables,
    carried_circles,
    circle_table,
    length,
    lies_behind,
    mirrored,
    single_tables,
)
from flangelayout.job.job import Job
from flangelayout.job.schema.plate import OUTLINE_KEYS
from flangelayout.job.toml_slips import toml_tables
from flangelayout.problems.job import JobProblem
from flangelayout.standards import find
from flangelayout.standards.bolts import known_bolt
from flangelayout.standards.joints.gaskets import GasketTolerance, gasket_tolerances
from flangelayout.standards.joints.row_mates import mate_of_row
from flangelayout.standards.joints.seals import disc_width, gasket_inside, gasket_ring, gasket_thickness
from flangelayout.standards.practice import USUAL_GASKET_INCH, USUAL_GASKET_MM
from flangelayout.units import Unit

_SHEET = "fiber gasket sheet"
_ROOM = 2.0
"""How much narrower in mm than the room inside the bolts a ring or a disc in it is (common practice, no source)."""
_LOOSE = 0.5
"""How much wider and deeper in mm a register is than the spigot in it, where no fit is stated (no source)."""
_HANDLE_BEYOND = 80.0
_WIDEST_HANDLE, _NARROWEST_HANDLE = 60.0, 15.0
_SAME = 0.005
_LETTERS = {
    DerivedPart.GASKET: "G",
    DerivedPart.FULL_FACE_GASKET: "FG",
    DerivedPart.BLIND: "B",
    DerivedPart.SPACER: "S",
    DerivedPart.MATE: "M",
    DerivedPart.PADDLE: "P",
}
_THICKNESS_ASKED = (DerivedPart.SPACER, DerivedPart.PADDLE)
SEEN_FROM_BEHIND = (DerivedPart.BLIND, DerivedPart.MATE)
_WHOLE = (*SEEN_FROM_BEHIND, DerivedPart.FULL_FACE_GASKET)
"""Parts as wide as the flange, with its holes; the others lie inside one circle of bolts."""
_OF_PAPER = {"template": ("paper", "printer"), "sheet": ("paper",)}
"""Keys of a job file that say what its pages are printed on."""


class AskedPart(Struct, frozen=True):
    """What a part is to be, lengths in mm; ``None`` and empty take what is usual."""

    part: DerivedPart
    circle: str = ""
    thickness: float | None = None
    bore: float | None = None
    material: str = ""
    number: str = ""


def derived_tables(job: Job, file: str, asked: AskedPart) -> Tables:
    """The tables of the job file of a derived part, in the unit of its parent, without title, notes and face.

    Args:
        job: The parent.
        file: Its job file, as seen from the folder of the new one.
        asked: What is derived.

    Raises:
        InputError: If the parent has not what the part needs: one piece, holes, a bore, a thickness; or if its edge is
            another one seen from behind.
    """
    flange, whole = job.flange, asked.part in _WHOLE
    if isinstance(flange.outline, SegmentOutline) or len(flange.pieces()) > 1:
        raise InputError.of(JobProblem.NOTHING_TO_DERIVE_FROM, "plate.outline", part=asked.part)
    wanted = _wanted(flange, asked)
    circles = carried_circles(flange, wanted) if flange.bolt_circles else ()
    over = _is_turned_over(flange, circles, asked.part)
    _check_edge(flange, asked.part, over)
    singles = single_tables(flange, job.unit, asked.part, over) if whole and wanted is None else []
    if not circles and not singles:
        raise InputError.of(JobProblem.NOTHING_TO_DERIVE_FROM, "bolt_circle", part=asked.part)
    plate = _plate(job, circles, asked)
    tables: Tables = {"units": job.unit.value, "job": _title(job, asked), "plate": plate}
    tables["derived"] = {
        "part": asked.part.value,
        "parent": job.info.number,
        "revision": job.info.revision,
        "file": file,
        "digest": job.digest,
    }
    if whole:
        tables |= _bolted(job, file, circles, asked.part, over)
        tables |= {"hole": singles} if singles else {}
    if stated := stated_tolerances(job, asked):
        tables["tolerances"] = _limits(stated[0], plate, asked.part, job.unit, has_circles=bool(circles))
    tables |= _papers(job)
    turned = _turned(flange, circles, asked.part, job.unit)
    return tables | ({"turned": turned} if turned else {})


def _limits(stated: GasketTolerance, plate: Tables, part: DerivedPart, unit: Unit, *, has_circles: bool) -> Tables:
    """The limits of a gasket's own sizes: what its drawing shows at each, and its check card asks for."""
    outside = {"outside_minus": stated.outside_minus} if "outside_diameter" in plate else {}
    inside = {"bore_plus": stated.inside, "bore_minus": stated.inside} if "bore" in plate else {}
    holes = {"chord": stated.chord} if part is DerivedPart.FULL_FACE_GASKET and has_circles else {}
    return {key: length(value, unit) for key, value in (outside | inside | holes).items()}


def stated_tolerances(job: Job, asked: AskedPart) -> tuple[GasketTolerance, ...]:
    """What a derived gasket may be off, by how far it is open; nothing is stated of another part."""
    if asked.part not in GASKET_PARTS:
        return ()
    circles = carried_circles(job.flange, _wanted(job.flange, asked)) if job.flange.bolt_circles else ()
    return gasket_tolerances(_bore(job.flange, circles, asked) or 0.0)


def _papers(job: Job) -> Tables:
    """What the parent's own file says of paper and printer: the part is printed there, too."""
    written, found = _written(job), dict[str, Tables]()
    for table, keys in _OF_PAPER.items():
        of_parent = written.get(table, {})
        found[table] = {key: of_parent[key] for key in keys if key in of_parent} if isinstance(of_parent, dict) else {}
    return {table: kept for table, kept in found.items() if kept}


def _wanted(flange: Flange, asked: AskedPart) -> BoltCircle | None:
    """The circle meant by its letter, its number or its name; ``None`` where nothing is said."""
    wanted = asked.circle.strip().casefold()
    if not wanted:
        return None
    for index, circle in enumerate(flange.bolt_circles):
        if wanted in (group_letter(index, 2).casefold(), str(index + 1), circle.name.casefold()):
            return circle
    choices = tuple(group_letter(index, 2) for index in range(len(flange.bolt_circles)))
    raise InputError.of(JobProblem.NO_CIRCLE_OF_MATE, "--circle", choices=choices)


def _is_turned_over(flange: Flange, circles: tuple[BoltCircle, ...], part: DerivedPart) -> bool:
    """Whether the part is drawn as in a mirror: seen from the side on which the parent is not."""
    behind = bool(circles) and lies_behind(flange, circles[0])
    return (part in SEEN_FROM_BEHIND) != behind


def _check_edge(flange: Flange, part: DerivedPart, over: bool) -> None:
    """Refuse a part whose edge or openings would be others in a mirror."""
    openings = () if part is DerivedPart.BLIND else flange.openings
    edges = [flange.outline.shape, *(each.shape for each in openings)]
    places = (point_at(piece, share) for edge in edges for piece in pieces(edge) for share in (0.0, 0.3, 0.6))
    off = (min(distance_to_edge(edge, mirrored(place)) for edge in edges) for place in places)
    if part in _WHOLE and over and max(off) > _SAME:
        raise InputError.of(JobProblem.NO_MIRROR_OF_EDGE, "plate.outline", part=part)


def _bolted(job: Job, file: str, circles: tuple[BoltCircle, ...], part: DerivedPart, over: bool) -> Tables:
    """The circles of a part that lies on its parent and, of one of metal, the parent as their mate."""
    rows, mates = list[Tables](), list[Tables]()
    for index, circle in enumerate(circles):
        row = circle_table(circle, job.unit, part, over)
        if part in SEEN_FROM_BEHIND:
            row |= {"bolt": circle.bolt} if circle.bolt else {}
            row |= {"mates_with": job.info.number, "bolts_with": job.info.number}
            mates.append({"circle": group_letter(index, 2), "job": file, "face": PlateFace.FACE.value})
        rows.append(row)
    seen = bool(circles) and not lies_behind(job.flange, circles[0])
    found: Tables = {"bolt_circle": rows} if rows else {}
    found |= {"mate": mates} if mates and seen else {}
    openings = _written(job).get("opening") if part is not DerivedPart.BLIND else None
    return found | ({"opening": openings} if openings else {})


def _title(job: Job, asked: AskedPart) -> Tables:
    info = job.info
    own = job.flange.bolt_circles.index(wanted) if (wanted := _wanted(job.flange, asked)) else 0
    letter = group_letter(own, len(job.flange.bolt_circles)) if asked.circle.strip() else ""
    found: Tables = {"number": asked.number or f"{info.number}-{_LETTERS[asked.part]}{letter}", "revision": "A"}
    found |= {key: value for key in ("owner", "customer") if (value := getattr(info, key))}
    return found | ({"quantity": info.quantity} if info.quantity != 1 else {})


def _plate(job: Job, circles: tuple[BoltCircle, ...], asked: AskedPart) -> Tables:
    """The plate of the part: its edge, its opening and its faces."""
    flange, unit, part = job.flange, job.unit, asked.part
    sizes: dict[str, float | None] = {}
    plate: Tables = {}
    if part in _WHOLE:
        plate |= _edge(job)
        behind = bool(circles) and lies_behind(flange, circles[0])
        raised = part in SEEN_FROM_BEHIND and not behind
        height = flange.raised_face_height or None
        sizes |= {"raised_face_diameter": flange.raised_face_diameter, "raised_face_height": height} if raised else {}
        told = _told_mate(flange, circles) if part is DerivedPart.MATE else None
        if told is not None and told.outside_diameter is not None:
            plate = {"outside_diameter": length(told.outside_diameter, unit)}
    else:
        if not circles:
            raise InputError.of(JobProblem.NOTHING_TO_DERIVE_FROM, "bolt_circle", part=part)
        sizes |= _inside(flange, circles[0], part)
    if part is DerivedPart.PADDLE:
        plate |= {"outline": "paddle", "handle_angle": _handle_angle(circles[0])}
    sizes |= {"bore": _bore(flange, circles, asked), "thickness": _thickness(job, circles, asked)}
    plate |= {key: length(size, unit) for key, size in sizes.items() if size is not None}
    material = asked.material or (_SHEET if part in GASKET_PARTS else flange.material)
    return plate | ({"material": material} if material else {})


def _edge(job: Job) -> Tables:
    """The outline of the parent, as it is written there."""
    if job.flange.round_diameter is not None:
        return {"outside_diameter": length(job.flange.round_diameter, job.unit)}
    written = _written(job)["plate"]
    plate = written if isinstance(written, dict) else {}
    needed, further = OUTLINE_KEYS[plate["outline"]]
    return {key: plate[key] for key in ("outline", *needed, *further) if key in plate}


def _written(job: Job) -> Tables:
    """The tables of the parent's own file."""
    return toml_tables(job.source.decode("utf-8-sig", "replace"))


def _inside(flange: Flange, circle: BoltCircle, part: DerivedPart) -> dict[str, float | None]:
    """Sizes of what lies inside the bolts of a circle."""
    named = known_bolt(circle.bolt)
    bolt = named.diameter if named else circle.drilling.diameter
    if part is DerivedPart.GASKET:
        ring = gasket_ring(flange, flange.bolt_circles.index(circle), bolt, named.unit if named else Unit.MM)
        if ring is None:
            raise InputError.of(JobProblem.NOTHING_TO_DERIVE_FROM, "plate.bore", part=part)
        return {"outside_diameter": ring.outside}
    disc = min(circle.diameter - bolt, disc_width(flange)) - _ROOM
    handle = _handle(flange, circle, disc) if part is DerivedPart.PADDLE else {}
    return {"outside_diameter": disc, **handle}


def _bore(flange: Flange, circles: tuple[BoltCircle, ...], asked: AskedPart) -> float | None:
    """How far the part is open: as asked, a gasket as the widest of what it lies between, others as the parent."""
    if asked.part in (DerivedPart.BLIND, DerivedPart.PADDLE):
        return None
    if asked.part not in GASKET_PARTS:
        return asked.bore or flange.bore
    own = gasket_inside(flange, flange.bolt_circles.index(circles[0])) if circles else flange.bore
    if asked.bore is None and own is None:
        raise InputError.of(JobProblem.OPENING_TO_BE_SAID, "--bore", part=asked.part)
    return asked.bore or own


def _turned(flange: Flange, circles: tuple[BoltCircle, ...], part: DerivedPart, unit: Unit) -> list[Tables]:
    """What the part has turned on its face to meet what its parent has on the face that it lies on."""
    if part not in SEEN_FROM_BEHIND:
        return []
    face = PlateFace.BACK if circles and lies_behind(flange, circles[0]) else PlateFace.FACE
    met = (_met(each, part, unit) for each in flange.turned if each.face is face)
    return [each for each in met if each]


def _met(theirs: Turned, part: DerivedPart, unit: Unit) -> Tables:
    """A register round a spigot, a spigot in a register, a raised face on a raised face; nothing for the rest.

    A fit is met by the basic one of the same grade, ISO 286 H for h and h for H; without a fit the spigot is loose.
    """
    grade = theirs.fit.name.lstrip(string.ascii_letters) if theirs.fit else ""
    loose = 0.0 if grade else _LOOSE
    match theirs.kind:
        case TurnedKind.SPIGOT:
            wide, deep = theirs.diameter + loose, theirs.size + _LOOSE
            kind = TurnedKind.REGISTER if grade else TurnedKind.RECESS
            found: Tables = {"kind": kind.value, "depth": length(deep, unit)}
            found |= {"fit": f"H{grade}"} if grade else {}
        case TurnedKind.REGISTER if part is DerivedPart.MATE and theirs.size > _LOOSE:
            wide, high = theirs.diameter - loose, theirs.size - _LOOSE
            found = {"kind": TurnedKind.SPIGOT.value, "height": length(high, unit)}
            found |= {"fit": f"h{grade}"} if grade else {}
        case TurnedKind.RAISED_FACE:
            wide, found = theirs.diameter, {"kind": theirs.kind.value, "height": length(theirs.size, unit)}
        case _:
            return {}
    return found | {"face": PlateFace.FACE.value, "diameter": length(wide, unit)}


def _thickness(job: Job, circles: tuple[BoltCircle, ...], asked: AskedPart) -> float | None:
    if asked.thickness is not None:
        return asked.thickness
    if asked.part in GASKET_PARTS:
        usual = USUAL_GASKET_MM if job.unit is Unit.MM else USUAL_GASKET_INCH
        group = job.flange.bolt_circles.index(circles[0]) if circles else -1
        return gasket_thickness(job.flange, group, job.unit)[0] or usual
    if asked.part in _THICKNESS_ASKED:
        raise InputError.of(JobProblem.THICKNESS_TO_BE_SAID, "--thickness", part=asked.part)
    told = _told_mate(job.flange, circles) if asked.part is DerivedPart.MATE else None
    if told is not None and told.thickness is not None:
        return told.thickness
    stated = circles[0].joint.mate_thickness if circles and asked.part is DerivedPart.MATE else None
    return stated or job.flange.thickness


def _told_mate(flange: Flange, circles: tuple[BoltCircle, ...]) -> Mate | None:
    """What the parent says of the part that bolts to the one circle that is carried; of an adapter's, else its row."""
    group = flange.bolt_circles.index(circles[0]) if len(circles) == 1 else -1
    told = mates_by_group(flange.mates).get(group)
    rows = met_rows(circles[0]) if group >= 0 and len(flange.bolt_circles) > 1 else ()
    return told or next((mate_of_row(find(row.designation), group, PlateFace.FACE, "", False) for row in rows), None)


def _handle(flange: Flange, circle: BoltCircle, disc: float) -> dict[str, float | None]:
    """A handle that stands out of the flange between two bolts."""
    angles = sorted(circle.hole_angles())
    gaps = [(b - a) % 360.0 or 360.0 for a, b in zip(angles, [*angles[1:], *angles[:1]], strict=True)]
    apart = circle.diameter * math.sin(math.radians(min(*gaps, 180.0) / 2))
    width = min(_WIDEST_HANDLE, math.floor(apart - circle.drilling.diameter - _ROOM), disc / 2)
    if width < _NARROWEST_HANDLE:
        raise InputError.of(JobProblem.NO_ROOM_FOR_HANDLE, "bolt_circle", part=DerivedPart.PADDLE)
    box = flange.box()
    reach = flange.round_diameter or math.hypot(box.width, box.height)
    long = math.ceil((reach / 2 + _HANDLE_BEYOND) / 5) * 5
    return {"handle_length": long, "handle_width": width, "end_radius": width / 2, "root_radius": width / 5}


def _handle_angle(circle: BoltCircle) -> float:
    """Between the two neighboring holes whose middle is nearest to straight up."""
    angles = sorted(circle.hole_angles())
    around = zip(angles, [*angles[1:], *angles[:1]], strict=True)
    middles = [(a + ((b - a) % 360.0 or 360.0) / 2) % 360.0 for a, b in around]
    nearest = sorted(middles, key=lambda angle: abs((angle + 90.0) % 360.0 - 180.0))[0]
    return round(nearest, 6)


def file_beside(parent: Path, part: DerivedPart) -> Path:
    """What the job file of a part is called where nobody says."""
    return parent.with_name(f"{parent.stem}-{part.value}.toml")

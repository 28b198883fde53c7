"""Parts derived from a flange: gasket, full-face gasket, blind, spacer ring, counter-flange, paddle blind.

Their tables name the flange they are derived from, with its digest, so that a change of it is noticed. Sizes are
worked out here; that a blind, a spacer or a paddle is thick enough is for a qualified person.
"""

import math
from dataclasses import dataclass
from pathlib import Path

from flangelayout.errors import InputError
from flangelayout.flange import BoltCircle, Drilled, Flange, Jack, Tapped
from flangelayout.flange.claims import met_rows
from flangelayout.flange.groups import group_letter
from flangelayout.flange.joints.derived import DerivedPart
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import Point
from flangelayout.job.job import Job
from flangelayout.problems.job import JobProblem
from flangelayout.standards.bolts import known_bolt
from flangelayout.standards.joints.gaskets import gasket_tolerance
from flangelayout.standards.joints.seals import gasket_inside
from flangelayout.standards.practice import USUAL_GASKET_INCH, USUAL_GASKET_MM
from flangelayout.units import Unit, from_mm

Tables = dict[str, object]
_SHEET = "fiber gasket sheet"
_ROOM = 2.0
"""How much narrower in mm than the room inside the bolts a ring or a disc in it is (common practice, no source)."""
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
GASKETS = (DerivedPart.GASKET, DerivedPart.FULL_FACE_GASKET)
SEEN_FROM_BEHIND = (DerivedPart.BLIND, DerivedPart.MATE)


@dataclass(frozen=True, slots=True)
class AskedPart:
    """What a part is to be, lengths in mm; ``None`` and empty take what is usual."""

    part: DerivedPart
    circle: str = ""
    thickness: float | None = None
    material: str = ""
    number: str = ""


def derived_tables(job: Job, file: str, asked: AskedPart) -> Tables:
    """The tables of the job file of a derived part, in the unit of its parent, without title, notes and face.

    Args:
        job: The parent.
        file: Its job file, as seen from the folder of the new one.
        asked: What is derived.

    Raises:
        InputError: If the parent has not what the part needs: a round outline, the circle, a thickness.
    """
    flange = job.flange
    if flange.round_diameter is None or len(flange.pieces()) > 1:
        raise InputError.of(JobProblem.NOTHING_TO_DERIVE_FROM, "plate.outline", part=asked.part)
    circle = _circle(flange, asked)
    circles = _circles(job, circle, asked)
    tables: Tables = {
        "units": job.unit.value,
        "job": _title(job, asked),
        "plate": _plate(job, circle, asked),
        "derived": {
            "part": asked.part.value,
            "parent": job.info.number,
            "revision": job.info.revision,
            "file": file,
            "digest": job.digest,
        },
    }
    tables |= {"bolt_circle": circles} if circles else {}
    if asked.part is DerivedPart.FULL_FACE_GASKET:
        stated = gasket_tolerance(flange.bore or 0.0)
        tables["tolerances"] = {"bolt_circle": _length(stated.bolt_circle, job.unit)}
    return tables


def _circle(flange: Flange, asked: AskedPart) -> BoltCircle:
    """The circle meant by its letter, its number or its name; the first where nothing is said."""
    if not flange.bolt_circles:
        raise InputError.of(JobProblem.NOTHING_TO_DERIVE_FROM, "bolt_circle", part=asked.part)
    wanted = asked.circle.strip().casefold()
    if not wanted:
        return flange.bolt_circles[0]
    for index, circle in enumerate(flange.bolt_circles):
        if wanted in (group_letter(index, 2).casefold(), str(index + 1), circle.name.casefold()):
            return circle
    choices = tuple(group_letter(index, 2) for index in range(len(flange.bolt_circles)))
    raise InputError.of(JobProblem.NO_CIRCLE_OF_MATE, "--circle", choices=choices)


def _title(job: Job, asked: AskedPart) -> Tables:
    info = job.info
    found: Tables = {"number": asked.number or f"{info.number}-{_LETTERS[asked.part]}", "revision": "A"}
    found |= {key: value for key in ("owner", "customer") if (value := getattr(info, key))}
    return found | ({"quantity": info.quantity} if info.quantity != 1 else {})


def _plate(job: Job, circle: BoltCircle, asked: AskedPart) -> Tables:
    flange, unit, part = job.flange, job.unit, asked.part
    outside = flange.round_diameter or 0.0
    inner = circle.diameter - _bolt(circle)
    opening = gasket_inside(flange, flange.bolt_circles.index(circle))
    sizes: dict[str, float | None] = {"outside_diameter": outside}
    match part:
        case DerivedPart.GASKET:
            sizes = {"outside_diameter": min(inner, outside), "bore": opening}
        case DerivedPart.FULL_FACE_GASKET:
            sizes["bore"] = opening
        case DerivedPart.BLIND:
            sizes |= _face(flange)
        case DerivedPart.MATE:
            sizes |= {"bore": flange.bore, **_face(flange)}
        case DerivedPart.SPACER:
            sizes = {"outside_diameter": inner - _ROOM, "bore": flange.bore}
        case DerivedPart.PADDLE:
            sizes = {"outside_diameter": inner - _ROOM, **_handle(flange, circle, inner - _ROOM)}
    if part in GASKETS and flange.bore is None:
        raise InputError.of(JobProblem.NOTHING_TO_DERIVE_FROM, "plate.bore", part=part)
    sizes["thickness"] = _thickness(job, circle, asked)
    plate: Tables = {"outline": "paddle"} if part is DerivedPart.PADDLE else {}
    plate |= {key: _length(size, unit) for key, size in sizes.items() if size is not None}
    if part is DerivedPart.PADDLE:
        plate["handle_angle"] = _handle_angle(circle)
    material = asked.material or (_SHEET if part in GASKETS else flange.material)
    return plate | ({"material": material} if material else {})


def _bolt(circle: BoltCircle) -> float:
    """What stands in the way between the holes: the bolt, or the whole hole where none is named."""
    named = known_bolt(circle.bolt)
    return named.diameter if named else circle.drilling.diameter


def _face(flange: Flange) -> dict[str, float | None]:
    height = flange.raised_face_height or None
    return {"raised_face_diameter": flange.raised_face_diameter, "raised_face_height": height}


def _thickness(job: Job, circle: BoltCircle, asked: AskedPart) -> float | None:
    if asked.thickness is not None:
        return asked.thickness
    if asked.part in GASKETS:
        usual = USUAL_GASKET_MM if job.unit is Unit.MM else USUAL_GASKET_INCH
        return circle.joint.gasket_thickness or usual
    if asked.part in _THICKNESS_ASKED:
        raise InputError.of(JobProblem.THICKNESS_TO_BE_SAID, "--thickness", part=asked.part)
    return job.flange.thickness


def _handle(flange: Flange, circle: BoltCircle, disc: float) -> dict[str, float | None]:
    """A handle that stands out of the flange between two bolts."""
    angles = sorted(circle.hole_angles())
    gaps = [(b - a) % 360.0 or 360.0 for a, b in zip(angles, [*angles[1:], *angles[:1]], strict=True)]
    apart = circle.diameter * math.sin(math.radians(min(*gaps, 180.0) / 2))
    width = min(_WIDEST_HANDLE, math.floor(apart - circle.drilling.diameter - _ROOM), disc / 2)
    if width < _NARROWEST_HANDLE:
        raise InputError.of(JobProblem.NO_ROOM_FOR_HANDLE, "bolt_circle", part=DerivedPart.PADDLE)
    length = math.ceil(((flange.round_diameter or 0.0) / 2 + _HANDLE_BEYOND) / 5) * 5
    return {"handle_length": length, "handle_width": width, "end_radius": width / 2, "root_radius": width / 5}


def _handle_angle(circle: BoltCircle) -> float:
    """Between the two neighboring holes whose middle is nearest to straight up."""
    angles = sorted(circle.hole_angles())
    around = zip(angles, [*angles[1:], *angles[:1]], strict=True)
    middles = [(a + ((b - a) % 360.0 or 360.0) / 2) % 360.0 for a, b in around]
    nearest = sorted(middles, key=lambda angle: abs((angle + 90.0) % 360.0 - 180.0))[0]
    return round(nearest, 6)


def _circles(job: Job, circle: BoltCircle, asked: AskedPart) -> list[Tables]:
    """The circle again, seen from the face that lies on the parent; none on parts inside the bolts."""
    if asked.part not in (*SEEN_FROM_BEHIND, DerivedPart.FULL_FACE_GASKET):
        return []
    unit = job.unit
    rows = met_rows(circle)
    keeps = bool(rows) and _is_whole(circle) and asked.part in SEEN_FROM_BEHIND
    found: Tables = {"standard": rows[0].designation} if keeps else {}
    if not keeps:
        found = {
            "diameter": _length(circle.diameter, unit),
            "hole_count": len(circle.hole_numbers()),
        } | _hole(circle, unit)
    found |= _placing(circle, (asked.part in SEEN_FROM_BEHIND) != _lies_behind(job.flange, circle))
    if asked.part in SEEN_FROM_BEHIND:
        found |= {"bolt": circle.bolt} if circle.bolt else {}
        found |= {"mates_with": job.info.number, "bolts_with": job.info.number}
    return [found]


def _hole(circle: BoltCircle, unit: Unit) -> Tables:
    """As wide as on the parent; for a threaded hole, what its bolt goes through."""
    if isinstance(circle.kind, Tapped | Jack):
        return {"bolt": circle.kind.thread}
    return {"hole_diameter": _length(circle.drilling.diameter, unit)}


def _lies_behind(flange: Flange, circle: BoltCircle) -> bool:
    """Whether a mate of the flange says that what bolts to the circle lies on its back."""
    group = flange.bolt_circles.index(circle)
    return any(mate.group == group and mate.face is PlateFace.BACK for mate in flange.mates)


def _is_whole(circle: BoltCircle) -> bool:
    """Whether every place is drilled, right through, at equal distances."""
    plain = not (circle.skipped or circle.angles or circle.pair_angle)
    return plain and isinstance(circle.kind, Drilled)


def _placing(circle: BoltCircle, mirrored: bool) -> Tables:
    """Where the holes stand: as on the parent, or as in a mirror where the part is seen from behind."""
    plain = not (circle.skipped or circle.angles or circle.pair_angle)
    if plain and (not mirrored or _is_own_mirror(circle)):
        found: Tables = {"placement": circle.placement.value, "centerline": circle.centerline.value}
        return found | ({"start_angle": circle.start_angle} if circle.start_angle else {})
    angles = [(180.0 - angle) % 360.0 if mirrored else angle for angle in circle.hole_angles()]
    return {"angles": [round(angle, 9) for angle in sorted(angles)]}


def _is_own_mirror(circle: BoltCircle) -> bool:
    """Whether the holes seen from behind, turned over about the vertical, stand where they stood."""
    centers = circle.hole_centers()
    return all(any(Point(-one.x, one.y).distance_to(other) < _SAME for other in centers) for one in centers)


def _length(length: float, unit: Unit) -> float:
    return round(from_mm(length, unit), 6)


def file_beside(parent: Path, part: DerivedPart) -> Path:
    """What the job file of a part is called where nobody says."""
    return parent.with_name(f"{parent.stem}-{part.value}.toml")

"""The section in the written DXF is the cut through the solid that the written hole list makes, by shapely alone."""

import csv
import io
import math
import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import pytest
import shapely
import shapely.affinity
from ezdxf.document import Drawing
from ezdxf.entities import Hatch
from ezdxf.entities.boundary_paths import PolylinePath
from ezdxf.entities.insert import Insert
from ezdxf.entities.text import Text
from ezdxf.entities.viewport import Viewport

from as_shapely import polygon
from flangelayout.errors import InputError
from flangelayout.flange import Flange
from flangelayout.flange.turning import PlateFace
from flangelayout.job import Job
from flangelayout.packet.job import Part, build_packet
from flangelayout.value import replace
from jobs import make_job
from readers import dxf_document
from rows import first_of

DRILL_POINT = math.tan(math.radians(59.0))
ON_PLANE = 1e-3
"""Mm beside the plane that a center of the hole list, written to 0.1 micrometer, is still on it."""
BEYOND = 6.0
"""Printed mm beyond its metal that break lines and a centerline of a hole's section reach at the most."""
SUNK = "recess", "register", "groove"
KINDS: tuple[dict[str, Any], ...] = (
    {"hole_diameter": 18},
    {"kind": "tapped", "thread": "M16"},
    {"kind": "tapped", "thread": "M16", "depth": 14},
    {"kind": "tapped", "thread": "M12", "depth": 16, "worked_from": "back"},
    {"kind": "counterbored", "hole_diameter": 14, "seat_diameter": 24, "seat_depth": 9},
    {"kind": "countersunk", "hole_diameter": 12, "seat_diameter": 24},
    {"kind": "spotfaced", "hole_diameter": 14, "seat_diameter": 26},
    {"kind": "spotfaced", "hole_diameter": 14, "seat_diameter": 26, "worked_from": "back"},
    {"kind": "slot", "hole_diameter": 12, "slot_length": 30, "slot_along": "radius"},
    {"kind": "slot", "hole_diameter": 12, "slot_length": 30},
)


SINGLE: tuple[dict[str, Any], ...] = (
    {"kind": "tapped", "thread": "M10", "depth": 12},
    {"kind": "counterbored", "diameter": 9, "seat_diameter": 15, "seat_depth": 9, "worked_from": "back"},
)
TURNED: tuple[dict[str, Any], ...] = (
    {"kind": "register", "face": "face", "diameter": 178, "depth": 6, "fit": "H8"},
    {"kind": "recess", "face": "back", "diameter": 250, "depth": 5},
    {"kind": "spigot", "face": "back", "diameter": 178, "height": 3},
    {"kind": "groove", "face": "face", "diameter": 256, "width": 6, "depth": 4},
)
ROUND: dict[str, Any] = {"outside_diameter": 400}
SQUARES: tuple[dict[str, Any], ...] = (
    {"outline": "square", "width": 400},
    {"outline": "rectangle", "width": 460, "height": 320},
)


def random_plate(seed: int, **sheet: str | bool) -> Job:
    """A sound plate of the kind below, on A3 by the rules of ISO unless ``sheet`` says otherwise."""
    for attempt in range(50):
        try:
            return _any_plate(random.Random(f"{seed} {attempt}"), {"convention": "ISO", "paper": "A3"} | sheet)
        except InputError:
            continue
    raise AssertionError(f"no sound plate from seed {seed}")


def _any_plate(dice: random.Random, sheet: dict[str, Any]) -> Job:
    """A plate with circles of any kind, a hole on or beside the plane, a window, sometimes a raised face or a recess.

    Two in three are round; the others are rectangles, of whose holes neither plain ones nor slots are turned in.
    """
    outline, kinds = ROUND, KINDS
    if dice.random() < 1 / 3:
        outline, kinds = dice.choice(SQUARES), KINDS[1:-2]
    plate: dict[str, Any] = outline | {"thickness": dice.choice((30, 42.5))}
    if dice.random() < 0.7:
        plate |= {"bore": 60, "bore_chamfer": dice.choice((0.5, 3))}
    tables: dict[str, Any] = {}
    if dice.random() < 0.4:
        plate |= {"raised_face_diameter": 250, "raised_face_height": 4}
    if dice.random() < 0.4:
        tables["turned"] = [dice.choice(TURNED)]
    circles = []
    for diameter in dice.sample((340, 340, 290, 215, 150), dice.choice((1, 2, 3))):
        turned = {"start_angle": dice.choice((0, 0, 17.5, 45))}
        placement = {"placement": dice.choice(("straddle", "on-centerline"))}
        count = {"hole_count": dice.choice((1, 2, 4, 6, 8, 12))}
        circles.append({"diameter": diameter, **dice.choice(kinds), **count, **placement, **turned})
    tables |= {"plate": plate, "bolt_circle": circles}
    if dice.random() < 0.6:
        place = {"x": dice.choice((0, 2, -4, 30)), "y": dice.choice((-105, 98, 180))}
        tables["hole"] = [dice.choice(({"diameter": 10}, *SINGLE)) | place]
    if dice.random() < 0.4:
        window = {"shape": "window", "inner_diameter": 90, "outer_diameter": 130, "sweep": 40, "count": 2}
        tables["opening"] = [window | {"angle": dice.choice((90, 100, 20))}]
    return make_job(**tables, sheet=sheet)


@dataclass(frozen=True, slots=True)
class TableHole:
    """A row of the hole list."""

    label: str
    group: str
    x: float
    y: float
    diameter: float
    made: str
    worked_from: str

    @property
    def is_on_circle(self) -> bool:
        return self.group.startswith("bolt circle")

    @property
    def reach(self) -> float:
        """Half of what it takes along the ray from the middle: the long way of a slot that lies so."""
        slot = re.search(r"SLOT [\d.]+ × ([\d.]+) ALONG RADIUS", self.made)
        return float(slot[1]) / 2 if slot else self.diameter / 2

    @property
    def widest(self) -> float:
        """Half of what its seat takes."""
        seat = re.search(r"(?:CBORE|CSK|SPOTFACE) ⌀([\d.]+)", self.made)
        thread = re.match(r"M(\d+)", self.made)
        return max([self.reach, *(float(found[1]) / 2 for found in (seat, thread) if found)])

    @property
    def most(self) -> float:
        """Half of what it takes in any direction."""
        slot = re.search(r"SLOT [\d.]+ × ([\d.]+)", self.made)
        return float(slot[1]) / 2 if slot else self.widest

    def halves(self, thickness: float, seat: float) -> Iterator[tuple[float, float]]:
        """Depth below the worked face and radius of the wall there, from the face down, by what is made.

        A spotface, which has no depth of its own, goes as deep as ``seat``.
        """
        radius = self.reach
        if found := re.match(r"M\d+ × [\d.]+/⌀[\d.]+ × ([\d.]+)$", self.made):
            depth = float(found[1])
            yield from ((0.0, radius), (depth, radius), (depth + radius / DRILL_POINT, 0.0))
        elif found := re.search(r"CBORE ⌀([\d.]+) × ([\d.]+) DEEP", self.made):
            wide, depth = float(found[1]) / 2, float(found[2])
            yield from ((0.0, wide), (depth, wide), (depth, radius), (thickness, radius))
        elif found := re.search(r"SPOTFACE ⌀([\d.]+)$", self.made):
            wide = float(found[1]) / 2
            yield from ((0.0, wide), (seat, wide), (seat, radius), (thickness, radius))
        elif found := re.search(r"CSK ⌀([\d.]+) × 90°", self.made):
            wide = float(found[1]) / 2
            yield from ((0.0, wide), (wide - radius, radius), (thickness, radius))
        else:
            yield from ((0.0, radius), (thickness, radius))


def hole_table(job: Job) -> list[TableHole]:
    """The hole list as the shop gets it."""
    (data,) = build_packet(job, [Part.HOLES]).values()
    rows = csv.DictReader(io.StringIO(data.decode("utf-8-sig")))
    return [
        TableHole(
            row["hole"],
            row["group"],
            float(row["x_center_mm"]),
            float(row["y_center_mm"]),
            float(row["hole_diameter_mm"]),
            row.get("made", ""),
            row.get("worked_from", ""),
        )
        for row in rows
    ]


def _profile(hole: TableHole, y: float, aside: float, flange: Flange, seat: float) -> shapely.Geometry:
    """What a hole takes out of a plane ``aside`` of its axis: depth below the named face by height."""
    thickness, far = flange.thickness or 0.0, hole.worked_from == "far side"
    step = _step(flange, PlateFace.BACK if far else PlateFace.FACE, math.hypot(y, aside))
    wall = [(step + depth, math.sqrt(max(radius**2 - aside**2, 0.0))) for depth, radius in hole.halves(thickness, seat)]
    shape = shapely.Polygon([*((x, y + half) for x, half in wall), *((x, y - half) for x, half in reversed(wall))])
    if far:
        shape = shapely.affinity.scale(shape, -1.0, 1.0, origin=(thickness / 2, 0.0))
    return shape.buffer(0)


def _step(flange: Flange, face: PlateFace, radius: float) -> float:
    """How deep a face lies there below its outermost plane: what goes in is sunk, round what stands out it lies low."""
    made = [each for each in flange.all_turned() if each.face is face]

    def height(at: float) -> float:
        within = (each for each in made if each.inner_diameter / 2 < at < each.diameter / 2)
        return sum(-each.size if each.kind.value in SUNK else each.size for each in within)

    ends = sorted({0.0, *(wall for each in made for wall in (each.inner_diameter / 2, each.diameter / 2)), 1e3})
    return max(height((low + high) / 2) for low, high in pairwise(ends)) - height(radius)


def _steps(flange: Flange) -> Iterator[shapely.Geometry]:
    """What is turned away from both faces, ring by ring."""
    thickness = flange.thickness or 0.0
    walls = (wall for each in flange.all_turned() for wall in (each.inner_diameter / 2, each.diameter / 2))
    for low, high in pairwise(sorted({0.0, *walls, 1e3})):
        for face in PlateFace:
            step = _step(flange, face, (low + high) / 2)
            near, far = (0.0, step) if face is PlateFace.FACE else (thickness - step, thickness)
            yield from (shapely.box(near, start, far, end) for start, end in ((low, high), (-high, -low)) if step)


def _solid(flange: Flange) -> shapely.Geometry:
    """The plate without its holes, cut on the vertical centerline."""
    thickness, outside = flange.thickness or 0.0, flange.box().top
    metal = shapely.box(0.0, -outside, thickness, outside)
    metal = metal.difference(shapely.unary_union([*_steps(flange)]))
    if flange.bore:
        bore, cut = flange.bore / 2, flange.bore_chamfer
        front = _step(flange, PlateFace.FACE, bore + cut)
        taken = [
            (0.0, bore + cut),
            (front, bore + cut),
            (front + cut, bore),
            (thickness, bore),
            (thickness, -bore),
            (front + cut, -bore),
            (front, -bore - cut),
            (0.0, -bore - cut),
        ]
        metal = metal.difference(shapely.Polygon(taken))
    for opening in flange.openings:
        met = shapely.LineString([(0.0, -outside), (0.0, outside)]).intersection(polygon(opening.shape))
        for part in () if met.is_empty else shapely.get_parts(met):
            metal = metal.difference(shapely.box(0.0, part.bounds[1], thickness, part.bounds[3]))
    return metal


@dataclass(frozen=True, slots=True)
class Shown:
    """The section of a sheet.

    Attributes:
        metal: By depth below the named face and height.
        labels: Of the holes turned in.
        scale: Printed mm for a mm.
        profiles: Of holes that it does not show, by what is written under each.
    """

    metal: shapely.Geometry
    labels: list[str]
    scale: float
    profiles: dict[str, "Profile"]


@dataclass(frozen=True, slots=True)
class Profile:
    """The section of a single hole: its metal, printed mm for a mm, and how far its picture reaches beyond it."""

    metal: shapely.Geometry
    scale: float
    beyond: float


def _seat(scale: float, thickness: float) -> float:
    """What a spotface is drawn deep: 1 mm, as usual when it is to clean up (common practice, no source).

    At least so much that it is seen (0.8 mm in print), never more than a sixth of the plate.
    """
    return min(max(1.0, 0.8 / scale), thickness / 6)


def _drawn(job: Job) -> Shown:
    """The hatched metal of the written DXF, and what its title block and its words say."""
    (data,) = (data for name, data in build_packet(job, [Part.SHEET]).items() if name.endswith(".dxf"))
    document = dxf_document(data)
    space = document.modelspace()
    paths = (path for hatch in space.query("HATCH") if isinstance(hatch, Hatch) for path in hatch.paths)
    shapes = [
        shapely.Polygon([(x, y) for x, y, _ in path.vertices]) for path in paths if isinstance(path, PolylinePath)
    ]
    profiles = dict(_profiles(document, shapes))
    beside = shapely.unary_union([each.metal for each in profiles.values()])
    metal = shapely.unary_union([each for each in shapes if beside.is_empty or each.distance(beside) > 0])
    left = metal.bounds[0]
    metal = shapely.affinity.affine_transform(metal, [-1, 0, 0, 1, left + (job.flange.thickness or 0.0), 0])
    words = [str(text.dxf.text) for text in space.query("TEXT")]
    at = words.index("TURNED INTO THE PLANE") if "TURNED INTO THE PLANE" in words else None
    labels = re.findall(r"[A-Z]?\d+", words[at - 1]) if at is not None else []
    blocks = (each for each in document.layout("sheet 1").query("INSERT") if isinstance(each, Insert))
    cells = {cell.dxf.tag: cell.dxf.text for block in blocks for cell in block.attribs}
    printed, real = map(float, cells["SCALE"].split(":"))
    return Shown(metal, labels, printed / real, profiles)


def _profiles(document: Drawing, shapes: list[shapely.Geometry]) -> Iterator[tuple[str, Profile]]:
    """The hatched metal in the windows that stand over the names of holes, on the page with their title."""
    for page in (document.layout(name) for name in document.layout_names() if name != "Model"):
        words = [text for text in page.query("TEXT") if isinstance(text, Text)]
        if not any(re.match(r"SECTIONS? OF HOLES \(", text.dxf.text) for text in words):
            continue
        texts = [text for text in words if text.dxf.hasattr("align_point")]
        for window in (each for each in page.query("VIEWPORT") if isinstance(each, Viewport)):
            names = (text for text in texts if re.match("HOLES? [A-Z0-9]", text.dxf.text))
            under = (text for text in names if abs(text.dxf.align_point.x - window.dxf.center.x) < ON_PLANE)
            foot = window.dxf.center.y - window.dxf.height / 2
            name = next((text for text in under if abs(foot - text.dxf.align_point.y) < 8.0), None)
            if name is not None:
                (x, y), tall = window.dxf.view_center_point.vec2, window.dxf.view_height / 2
                wide = tall * window.dxf.width / window.dxf.height
                seen = shapely.box(x - wide, y - tall, x + wide, y + tall)
                metal = shapely.unary_union([each for each in shapes if seen.contains(each)])
                scale = window.dxf.height / window.dxf.view_height
                beyond = max(abs(a - b) for a, b in zip(seen.bounds, metal.bounds, strict=True)) * scale
                yield name.dxf.text, Profile(metal, scale, beyond)


def wrong_section(job: Job) -> str:
    """What is wrong with a job's section; empty if it is the cut through the solid of its hole list."""
    return _unlike(job.flange, _drawn(job), hole_table(job))


def _unlike(flange: Flange, drawn: Shown, table: list[TableHole]) -> str:
    seat = _seat(drawn.scale, flange.thickness or 0.0)
    holes = {hole.label: hole for hole in table}
    solid = _solid(flange)
    shown: dict[tuple[str, bool], str] = {}
    for hole in holes.values():
        if hole.is_on_circle and abs(hole.x) < ON_PLANE:
            solid = solid.difference(_profile(hole, hole.y, 0.0, flange, seat))
            shown[hole.group, hole.y > 0] = hole.label
        elif not (hole.is_on_circle and flange.round_diameter) and abs(hole.x) < hole.widest:
            solid = solid.difference(_profile(hole, hole.y, abs(hole.x), flange, seat))
    for label in drawn.labels:
        hole = holes[label]
        if abs(hole.x) < ON_PLANE:
            return f"{label} is on the plane and said to be turned into it"
        reach = math.copysign(math.hypot(hole.x, hole.y), hole.y)
        solid = solid.difference(_profile(hole, reach, 0.0, flange, seat))
        shown[hole.group, reach > 0] = label
    apart = solid.symmetric_difference(drawn.metal).area
    if apart > 0.5:
        return f"{apart:.1f} square mm are cut otherwise than the solid"
    return _left_out(flange, list(holes.values()), shown) or _wrong_profiles(flange, drawn, table)


def _wrong_profiles(flange: Flange, drawn: Shown, table: list[TableHole]) -> str:
    """What is wrong with the sections of single holes: each kind that the plane does not show has one that is true."""
    made = (hole for hole in table if re.search("M|CBORE|CSK|SPOTFACE", hole.made))
    missing = {_like(flange, hole): hole for hole in made if _is_alone(flange, hole, hole.widest + ON_PLANE, table)}
    for hole in table:
        if hole.label in drawn.labels or (abs(hole.x) < ON_PLANE and abs(hole.y) < flange.box().top):
            missing.pop(_like(flange, hole), None)
    for name, profile in drawn.profiles.items():
        first = re.split(", | AND ", re.sub("HOLES? ", "", name))[0]
        called = (hole for hole in table if hole.label == first or re.fullmatch(f"{first}[0-9]+", hole.label))
        kind = next(filter(missing.__contains__, (_like(flange, hole) for hole in called)), None)
        if kind is None:
            return f"{name} is shown once more"
        named = [hole for hole in table if _like(flange, hole) == kind]
        missing.pop(kind)
        if profile.beyond > BEYOND:
            return f"{name} is drawn {profile.beyond:.1f} mm beyond its metal"
        if not any(_is_cut_so(flange, profile, hole, table) for hole in named):
            return f"{name} is cut otherwise than the solid"
    return f"{[hole.label for hole in missing.values()]} are shown nowhere" if missing else ""


def _like(flange: Flange, hole: TableHole) -> tuple[object, ...]:
    """What holes of one profile have alike, on surfaces as deep."""
    radius = math.hypot(hole.x, hole.y)
    return hole.made, hole.diameter, hole.worked_from, *(_step(flange, face, radius) for face in PlateFace)


def _is_cut_so(flange: Flange, profile: Profile, hole: TableHole, table: list[TableHole]) -> bool:
    """Whether a profile is the cut along the ray to a hole, as far as nothing else stands round that."""
    left, foot, right, _ = profile.metal.bounds
    thickness, out, reach = flange.thickness or 0.0, math.hypot(hole.x, hole.y), (right - left) / 2
    middle = (left + right) / 2
    metal = shapely.box(0.0, out - reach, thickness, out + reach)
    metal = metal.difference(shapely.unary_union([*_steps(flange)]))
    metal = metal.difference(_profile(hole, out, 0.0, flange, _seat(profile.scale, thickness)))
    found = shapely.affinity.affine_transform(profile.metal, [0, -1, 1, 0, metal.bounds[2] + foot, out - middle])
    is_so = metal.symmetric_difference(found).area < 0.1
    return is_so and reach > hole.widest and _is_alone(flange, hole, reach, table)


def _is_alone(flange: Flange, hole: TableHole, reach: float, table: list[TableHole]) -> bool:
    """Whether nothing else stands round a hole in the plate so many mm from its middle."""
    shown, plate = shapely.Point(hole.x, hole.y).buffer(reach), polygon(flange.outline.shape)
    others = [shapely.Point(each.x, each.y).buffer(each.most) for each in table if each.label != hole.label]
    others += [polygon(each.shape) for each in flange.cutouts()]
    return shapely.contains(plate, shown) and not any(map(shown.intersects, others))


def _left_out(flange: Flange, holes: list[TableHole], shown: dict[tuple[str, bool], str]) -> str:
    """A circle that shows no hole above or below though it has one there and nothing else is in its place."""
    metal = _without_holes(flange, holes, shown)
    for group in sorted({hole.group for hole in holes if hole.is_on_circle}):
        for above in (True, False):
            near = [hole for hole in holes if hole.group == group and abs(hole.y) > 1e-3 and (hole.y > 1e-3) == above]
            if not near or (group, above) in shown:
                continue
            y = math.hypot(near[0].x, near[0].y) * (1 if above else -1)
            half, middle = near[0].widest, (flange.thickness or 0.0) / 2
            if shapely.contains(metal, shapely.box(middle - 0.1, y - half, middle + 0.1, y + half)):
                return f"{group} shows no hole {'above' if above else 'below'}"
    return ""


def _without_holes(flange: Flange, holes: list[TableHole], shown: dict[tuple[str, bool], str]) -> shapely.Geometry:
    metal = _solid(flange)
    for hole in holes:
        is_shown = hole.label in shown.values()
        y = math.copysign(math.hypot(hole.x, hole.y), hole.y) if is_shown else hole.y
        if is_shown or (not (hole.is_on_circle and flange.round_diameter) and abs(hole.x) < hole.widest):
            metal = metal.difference(shapely.box(-1.0, y - hole.widest, 500.0, y + hole.widest))
    return metal


def test_the_judge_sees_a_hole_that_is_cut_otherwise() -> None:
    plate = {"outside_diameter": 400, "thickness": 30}
    seat = {"kind": "counterbored", "hole_diameter": 14, "seat_diameter": 24, "seat_depth": 9}
    job = make_job(plate=plate, bolt_circle=[seat | {"diameter": 240, "hole_count": 4, "placement": "on-centerline"}])
    drawn, (first, *others) = _drawn(job), hole_table(job)
    assert _unlike(job.flange, drawn, [first, *others]) == ""
    spoiled: tuple[dict[str, Any], ...] = (
        {"made": "⌀14"},
        {"made": "⌀14, CBORE ⌀24 × 8 DEEP"},
        {"worked_from": "far side"},
        {"y": 121.0},
    )
    for change in spoiled:
        assert "cut otherwise" in _unlike(job.flange, drawn, [replace(first, **change), *others])


def test_the_judge_sees_a_section_of_a_hole_that_is_cut_otherwise() -> None:
    plate = {"outside_diameter": 400, "thickness": 30}
    job = make_job(plate=plate, hole=[SINGLE[0] | {"x": 90, "y": 40}, SINGLE[1] | {"x": -90, "y": 40}])
    drawn, (*others, first, last) = _drawn(job), hole_table(job)
    assert list(drawn.profiles) == ["HOLE X1", "HOLE X2"]
    assert _unlike(job.flange, drawn, [*others, first, last]) == ""
    spoiled: tuple[dict[str, Any], ...] = ({"made": "M10 × 1.5/⌀8.5 × 11"}, {"worked_from": "far side"})
    for change in spoiled:
        assert "cut otherwise" in _unlike(job.flange, drawn, [replace(first, **change), *others, last])
    assert "once more" in _unlike(job.flange, drawn, [replace(first, made="⌀8.5"), *others, last])
    assert "nowhere" in _unlike(job.flange, replace(drawn, profiles={}), [*others, first, last])


@pytest.mark.slow
@pytest.mark.parametrize("turned", TURNED)
def test_a_section_of_a_hole_shows_nothing_of_what_is_turned_elsewhere(turned: dict[str, Any]) -> None:
    plate = {"outside_diameter": 400, "thickness": 30}
    job = make_job(plate=plate, turned=[turned], hole=[SINGLE[0] | {"x": 170, "y": 40}])
    (profile,) = _drawn(job).profiles.values()
    assert profile.beyond < BEYOND
    assert wrong_section(job) == ""


@pytest.mark.parametrize("seeds", first_of([range(1), range(1, 12)]))
def test_the_section_of_random_plates_is_the_cut_through_their_solid(seeds: range) -> None:
    assert not {seed: wrong for seed in seeds if (wrong := wrong_section(random_plate(seed)))}


@pytest.mark.property_deep
@pytest.mark.parametrize("block", range(10))
def test_the_section_of_a_thousand_random_plates_is_the_cut_through_their_solid(block: int, from_seed: int) -> None:
    first = from_seed + 100 * block + 100
    seeds = range(first, first + 100)
    found = {seed: wrong for seed in seeds if (wrong := wrong_section(random_plate(seed)))}
    assert not found

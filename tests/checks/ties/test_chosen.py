"""Whether the readings of a check card hold all that is cut into a plate, by a rigidity argument of its own.

The rows are read as a man reads them, by their words; what they measure is reckoned here with shapely, from the
contours that are cut. Every pattern, opening and single hole, and the plate, is shifted and turned as a rigid body; the
rank of how the rows' figures change is the number of motions that they show (common knowledge of rigid frameworks).
"""

import math
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from flangelayout.checks.ties.chosen import ties_of
from flangelayout.flange import Counterbored, Countersunk, Flange, Hole, RoundOutline, Slot, SplitOutline
from flangelayout.flange.turning import PlateFace, TurnedKind
from flangelayout.geometry.measure import pieces
from flangelayout.geometry.shapes import ORIGIN, Circle, Contour, Line
from flangelayout.job.load import job_from_data
from flangelayout.units import Unit
from flangelayout.views.words.bench.measuring import further_distances
from flangelayout.views.words.bench.tying import left_loose, tying_distances
from flangelayout.views.words.lengths import Lengths
from views.awkward_jobs import AWKWARD

ROOT = Path(__file__).parents[3]
STARTERS = {path.stem: tomllib.loads(path.read_text("utf-8")) for path in sorted((ROOT / "templates").glob("*.toml"))}
JOBS = STARTERS | AWKWARD
MM = Lengths(Unit.MM)
LOOSE = {
    "oval-flange": {"edges of the plate", "bore"},  # nothing shows how far the two holes are off the long axis
    "blind from the back": {"pattern B"},  # blind from one face, A blind from the other
}
"""What no reading can hold, and its card says so."""
_WAYS = ("right", "upper right", "top", "upper left", "left", "lower left", "bottom", "lower right")
_STEP = 1e-3


def flange_of(name: str) -> Flange:
    return job_from_data({"units": "mm", **JOBS[name]}, name).flange


def line_of(shape: Circle | Contour) -> tuple[BaseGeometry, float]:
    """The line of an edge, arcs in steps of half a degree; of a round one its center, and what it stands off that."""
    if isinstance(shape, Circle):
        return shapely.Point(shape.center.x, shape.center.y), shape.radius
    places: list[tuple[float, float]] = []
    for part in shape.parts:
        if isinstance(part, Line):
            places.append((part.start.x, part.start.y))
            continue
        steps = max(math.ceil(abs(part.sweep_deg) * 2), 2)
        for step in range(steps):
            turn = math.radians(part.start_deg + part.sweep_deg * step / steps)
            places.append((part.center.x + part.radius * math.cos(turn), part.center.y + part.radius * math.sin(turn)))
    return shapely.LinearRing(places), 0.0


def rim_of(diameter: float) -> tuple[BaseGeometry, float]:
    """A circle with metal inside it, in steps of an eighth of a degree."""
    return shapely.Point(0.0, 0.0).buffer(diameter / 2, quad_segs=720).exterior, 0.0


def hole_line(hole: Hole, word: str) -> tuple[BaseGeometry, float]:
    """The edge of a hole that a row's word means: the recess of one that has it, else what is drilled."""
    wide = hole.kind.bore_diameter if word == "cbore" and isinstance(hole.kind, Counterbored) else hole.diameter
    assert (word == "slot") == isinstance(hole.kind, Slot)
    assert word or not isinstance(hole.kind, Countersunk) or hole.worked_from is PlateFace.BACK
    return line_of(hole.shape) if isinstance(hole.kind, Slot) else line_of(Circle(hole.center, wide / 2))


class Frame:
    """A plate as bodies that move each by itself."""

    def __init__(self, flange: Flange) -> None:
        self.flange = flange
        self.holes = {hole.label: hole for hole in flange.holes()}
        self.moved: dict[str, tuple[float, float, float]] = {}

    def body_of(self, hole: Hole) -> str:
        return f"pattern {hole.group}" if hole.group >= 0 else hole.label

    def bodies(self) -> dict[str, int]:
        """Each with its motions: three, of one circle two."""
        found = {"plate": 2 if isinstance(self.flange.outline, RoundOutline) else 3}
        for hole in self.flange.holes():
            single = hole.group < 0 and not isinstance(hole.kind, Slot)
            alone = hole.group >= 0 and len(self.flange.groups()[hole.group].hole_centers()) == 1
            found[self.body_of(hole)] = 2 if single or alone else 3
        if any(each.kind is TurnedKind.REGISTER for each in self.flange.turned):
            found["register"] = 2
        copies: dict[int, list[Circle | Contour]] = {}
        for opening in self.flange.cutouts():
            copies.setdefault(opening.number, []).append(opening.shape)
        for number, shapes in copies.items():
            is_circle = len(shapes) == 1 and isinstance(shapes[0], Circle)
            found[f"opening {number}"] = 2 if is_circle else 3
        return found

    def placed(self, line: BaseGeometry, body: str) -> BaseGeometry:
        x, y, turn = self.moved.get(body, (0.0, 0.0, 0.0))
        return affinity.translate(affinity.rotate(line, turn, origin=(0, 0), use_radians=True), x, y)

    @cache  # noqa: B019 - a frame lives as long as its test
    def line(self, name: str) -> tuple[BaseGeometry, float, str]:
        """The edge that a row names, what it stands off its line, and what it moves with."""
        word, _, label = name.rpartition(" ")
        if label in self.holes:
            return *hole_line(self.holes[label], word), self.body_of(self.holes[label])
        if name == "bore" or word == "opening":
            number = int(label) if word else 0
            found = [line_of(each.shape) for each in self.flange.cutouts() if each.number == number]
            if len(found) == 1:
                return *found[0], f"opening {number}"
            lines = [line.buffer(off).exterior if off else line for line, off in found]
            return shapely.MultiLineString(lines), 0.0, f"opening {number}"
        if name == "register":
            (made,) = (each for each in self.flange.turned if each.kind is TurnedKind.REGISTER)
            return *line_of(Circle(ORIGIN, made.diameter / 2)), "register"
        return *self.plate_line(name), "plate"

    def plate_line(self, name: str) -> tuple[BaseGeometry, float]:
        """The edge of the plate that a row names, and what it stands off its line."""
        outline = self.flange.outline
        if name == "joint":
            parts = [part for each in self.flange.pieces() for part in pieces(each) if isinstance(part, Line)]
            ends = [((part.start.x, part.start.y), (part.end.x, part.end.y)) for part in parts]
            return shapely.MultiLineString(ends), 0.0
        if isinstance(outline.shape, Circle):
            inside = outline.inside_diameter if name == "inside" and isinstance(outline, SplitOutline) else None
            return rim_of(inside or 2 * outline.shape.radius)
        return line_of(outline.shape)

    def reading(self, one: str, other: str) -> float:
        """The least metal between two edges; to a side of the plate, as far as it lies on that side of the hole."""
        (first, off, its), (second, beyond, of) = self.line(one), self.line(other)
        first, second = self.placed(first, its), self.placed(second, of)
        if other.startswith("edge, "):
            way = _WAYS.index(other.removeprefix("edge, ")) * math.pi / 4
            at, far = first.centroid, 1e4
            turns = (way - math.pi / 8, way + math.pi / 8)
            sector = [(at.x, at.y), *((at.x + far * math.cos(t), at.y + far * math.sin(t)) for t in turns)]
            second = second.intersection(shapely.Polygon(sector))
        return float(first.distance(second)) - off - beyond

    def between_centers(self, one: str, other: str) -> float:
        first, second = (self.line(f"slot {e}" if isinstance(self.holes[e].kind, Slot) else e) for e in (one, other))
        return float(self.placed(first[0], first[2]).centroid.distance(self.placed(second[0], second[2]).centroid))


def rows_of(flange: Flange) -> list[tuple[str, str]]:
    names = (name.partition(" to ") for name, *_ in tying_distances(ties_of(flange), MM))
    return [(one, other) for one, _, other in names]


def changes(frame: Frame) -> tuple[np.ndarray[Any, Any], list[tuple[str, int]]]:
    """How every row's figure changes with each motion of each body, a turn by what moves 100 mm out by 1."""
    ties = rows_of(frame.flange)
    pairs = [tuple(name.split(" – ")) for name, *_ in further_distances(frame.flange, MM) if name.startswith("X")]
    motions = [(body, n) for body in frame.bodies() for n in range(3)]

    def figures() -> list[float]:
        return [frame.reading(*row) for row in ties] + [frame.between_centers(*pair) for pair in pairs]

    columns = []
    for body, n in motions:
        found = []
        for sign in (1, -1):
            step = [0.0, 0.0, 0.0]
            step[n] = sign * _STEP * (0.01 if n == 2 else 1.0)
            frame.moved = {body: (step[0], step[1], step[2])}
            found.append(figures())
        frame.moved = {}
        columns.append((np.array(found[0]) - np.array(found[1])) / (2 * _STEP))
    return np.array(columns).T, motions


def loose_of(name: str, flange: Flange) -> set[str]:
    told = left_loose(ties_of(flange))
    parts = [part.partition(": ")[2] for part in told.split(". ")[:-1]]
    return {name for part in parts for name in part.split(", ")}


def asked() -> Iterator[Any]:
    quick = {"ring-flange", "adapter", "base-plate", "chainring-spider", "sunk heads", "register and spigot"}
    for name in JOBS:
        yield pytest.param(name, marks=() if name in quick else pytest.mark.slow)


@pytest.mark.parametrize("name", [*asked()])
def test_the_readings_hold_all_that_is_cut_or_the_card_says_what_they_do_not(name: str) -> None:
    flange = flange_of(name)
    if not any(len(group.hole_centers()) > 1 for group in flange.groups()):
        assert not rows_of(flange)
        return
    loose = loose_of(name, flange)
    assert loose == LOOSE.get(name, set())
    if loose:
        return
    frame = Frame(flange)
    shown, _ = changes(frame)
    # All bodies together may be moved over the table in three ways, which no reading shows.
    needed = sum(frame.bodies().values()) - 3
    assert shown.shape[0] <= needed + len(frame.holes) // 4, "as few readings as serve"
    sizes = np.linalg.svd(shown, compute_uv=False)
    assert int((sizes > 0.02).sum()) == needed, (name, sizes)


@pytest.mark.parametrize("name", ["ring-flange", "adapter", "chainring-spider", "base-plate", "sunk heads"])
def test_a_row_gives_the_metal_of_the_drawing(name: str) -> None:
    flange = flange_of(name)
    frame = Frame(flange)
    for row, (_, wanted, _) in zip(rows_of(flange), tying_distances(ties_of(flange), MM), strict=True):
        assert frame.reading(*row) == pytest.approx(float(wanted), abs=0.006), row


def test_what_is_loose_together_is_read_against_each_other() -> None:
    """Of the oval flange by hand: bore 48.8 in a width of 96 leaves 23.6 of metal above and below."""
    rows = [*tying_distances(ties_of(flange_of("oval-flange")), MM)]
    assert ("bore to edge, top", "23.60", "") in rows


@pytest.mark.parametrize("name", ["adapter", "chainring-spider", "three circles", "reducing-flange"])
def test_a_second_circle_turned_anyhow_is_seen(name: str) -> None:
    """In every degree but those that make its holes cover themselves one reading at least is 0.5 mm off."""
    flange = flange_of(name)
    frame = Frame(flange)
    rows, pitch = rows_of(flange), 360 / len(flange.groups()[1].hole_centers())
    drawn = [frame.reading(*row) for row in rows]
    for degrees in range(2, round(pitch) - 1):
        frame.moved = {"pattern 1": (0.0, 0.0, math.radians(degrees))}
        off = max(abs(frame.reading(*row) - was) for row, was in zip(rows, drawn, strict=True))
        assert off > 0.5, degrees


def in_a_register(face: str, depth: float, thread_depth: float) -> Flange:
    """A square plate whose bore of 80 mm lies deep in a register of 90 mm, threads round it on 98 mm."""
    register = {"kind": "register", "face": face, "diameter": 90, "depth": depth, "fit": "H7"}
    threads = {"diameter": 98, "hole_count": 6, "kind": "tapped", "thread": "M6", "depth": thread_depth}
    corners = {"name": "foot", "width": 124, "height": 124, "hole_diameter": 13.5}
    plate = {"outline": "square", "width": 160, "bore": 80, "thickness": 24}
    job: dict[str, Any] = {
        "plate": plate,
        "bolt_circle": [threads | {"placement": "on-centerline"}],
        "hole_rectangle": [corners],
        "turned": [register],
    }
    return job_from_data({"units": "mm", **job}, "register").flange


@pytest.mark.parametrize("depth", [3, 16])
def test_no_row_asks_for_a_bore_over_the_wall_of_a_register(depth: float) -> None:
    """Threads blind from the face that the register is in: their circle ends 1.5 mm before it (by hand)."""
    flange = in_a_register("face", depth, 12)
    rows = {name: wanted for name, wanted, _ in tying_distances(ties_of(flange), MM)}
    assert rows["thread A1 to register"] == "1.50"
    assert not [name for name in rows if "thread" in name and "bore" in name]
    assert [name for name in rows if "bore" in name], "the other face shows it"
    frame = Frame(flange)
    for name, wanted in rows.items():
        one, _, other = name.partition(" to ")
        assert frame.reading(one, other) == pytest.approx(float(wanted), abs=0.006), name


def test_a_register_on_the_other_face_leaves_the_bore_to_the_threads() -> None:
    flange = in_a_register("back", 16, 6)
    assert ("thread A1", "bore") in rows_of(flange)
    assert "register" in "".join(one + other for one, other in rows_of(flange))


def test_jaws_do_not_reach_down_a_deep_step() -> None:
    """A raised face of 2 mm is reached over, one of 10 mm is not: its blind threads have no row to the rim."""
    for height, is_reached in ((2, True), (10, False)):
        raised = {"kind": "raised face", "face": "face", "diameter": 200, "height": height}
        threads = {"diameter": 160, "hole_count": 6, "kind": "tapped", "thread": "M12", "depth": 16}
        plate = {"outside_diameter": 260, "bore": 60, "thickness": 40}
        job: dict[str, Any] = {"units": "mm", "plate": plate, "bolt_circle": [threads], "turned": [raised]}
        rows = rows_of(job_from_data(job, "raised").flange)
        assert any(other == "rim" for _, other in rows) is is_reached

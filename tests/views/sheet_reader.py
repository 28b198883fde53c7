"""Random sheet jobs, and a page's texts and strokes as shapely sees them: nothing here shares the views' placing."""

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from flangelayout.drawing.explode import Primitive, exploded
from flangelayout.drawing.model import Item, Label, Sheet, Solid
from flangelayout.drawing.textwidth import label_corners
from flangelayout.errors import InputError
from flangelayout.geometry.shapes import Arc, Circle, Contour, Line, Point, polar
from flangelayout.job import Job
from flangelayout.units import Unit
from flangelayout.views.words.references import ref_words
from jobs import PAPERS, make_job, round_to

Geometries = np.ndarray[Any, np.dtype[np.object_]]


def random_job(seed: int) -> Job:
    """A sound job: 1 to 64 holes on 1 to 3 circles, tiny to 3 m, mm or in, every paper, most things a sheet shows."""
    for attempt in range(200):
        try:
            return make_job(**_tables(random.Random(f"{seed} {attempt}")))
        except InputError:
            continue
    raise AssertionError(f"no sound job from seed {seed}")


def _history(revisions: str) -> list[dict[str, str]]:
    change = {"date": "2026-11-25", "change": "Bore enlarged after the trial fit", "by": "workshop"}
    return [{"revision": letter, **change} for letter in revisions]


def _hole(dice: random.Random, outside: float, room: float, unit: Unit) -> dict[str, Any]:
    radius = outside * room * dice.uniform(0.3, 0.8) / 2
    return {"diameter": round_to(outside * 0.02, unit), "radius": round_to(radius, unit), "angle": 31}


def _tables(dice: random.Random) -> dict[str, Any]:
    unit = dice.choice((Unit.MM, Unit.IN))
    outside = 10 ** dice.uniform(math.log10(20), math.log10(3000))
    circles, room = [], 0.94
    for _ in range(dice.choice((1, 1, 1, 2, 2, 3))):
        circle = _circle(dice, outside, room, unit)
        room = circle.pop("room")
        circles.append(circle)
    plate: dict[str, Any] = {"outside_diameter": round_to(outside, unit)}
    if dice.random() < 0.7:
        bore = outside * room * dice.uniform(0.2, 0.95)
        plate |= {"bore": round_to(bore, unit), "bore_cut": dice.random() < 0.3}
    if dice.random() < 0.8:
        thickness = outside * dice.uniform(0.02, 0.2)
        plate["thickness"] = round_to(thickness, unit)
        if dice.random() < 0.4:
            plate |= {
                "raised_face_diameter": round_to(outside * room * dice.uniform(0.96, 1.0), unit),
                "raised_face_height": round_to(thickness * dice.uniform(0.03, 0.3), unit),
            }
        if "bore" in plate and dice.random() < 0.3:
            plate["bore_chamfer"] = round_to(thickness * dice.uniform(0.05, 0.2), unit)
    plate["material"] = dice.choice(("", "carbon steel plate", "316L stainless", "unobtainium of the third kind"))
    history = _history("ABCDEF"[: dice.choice((0, 0, 1, 4))])
    notes = [f"Note {number} of the shop. " * dice.randint(1, 12) for number in range(dice.choice((0, 0, 2, 9)))]
    holes = [_hole(dice, outside, room, unit)] if dice.random() < 0.2 else []
    return {
        "units": unit.value,
        "job": {
            "number": f"T-{dice.randint(1, 9999)}",
            "title": dice.choice(("Ring", "A ring flange with a rather long name that runs on and on for the pump")),
            "owner": "Marrow Beck Hatchery",
            "notes": notes,
            "revision_history": history,
        },
        "plate": plate,
        "bolt_circle": circles,
        "hole": holes,
        "tolerances": {"chord": 0.5} if dice.random() < 0.3 else {},
        "sheet": {
            "paper": dice.choice(PAPERS),
            "dual_units": dice.random() < 0.25,
            **({"convention": dice.choice(("ISO", "ASME"))} if dice.random() < 0.5 else {}),
        },
    }


def _circle(dice: random.Random, outside: float, room: float, unit: Unit) -> dict[str, Any]:
    """A bolt circle within ``room`` (a share of the outside diameter), and the room it leaves inside."""
    count = dice.choice((1, 2, 3, 4, 4, 5, 6, 7, 8, 8, 8, 9, 12, 13, 16, 20, 24, 28, 32, 40, 48, 60, 64))
    hole = min(0.5 * room * outside * math.sin(math.pi / max(count, 3)), 0.1 * outside) * dice.uniform(0.4, 0.95)
    diameter = room * outside - 1.1 * hole
    circle: dict[str, Any] = {
        "diameter": round_to(diameter, unit),
        "hole_count": count,
        "hole_diameter": max(round_to(hole, unit), round_to(0.1, unit)),
        "placement": dice.choice(("straddle", "on-centerline")),
        "centerline": dice.choice(("vertical", "horizontal")),
        "start_angle": dice.choice((0, 0, 0, 22.5, round(dice.uniform(-180, 180), 2))),
        "bolt": dice.choice(("", "M20", "3/4", "1 1/8 in", "two of the old ones")),
        "name": dice.choice(("", "pump side")),
        "mates_with": dice.choice(("", "the suction line, DN200 PN10")),
        "room": (diameter - 1.3 * hole) / outside,
    }
    if count > 4 and dice.random() < 0.15:
        circle["skip"] = sorted(dice.sample(range(1, count + 1), count // 3))
    if dice.random() < 0.3:
        circle |= {"fastener": "stud", "gasket_thickness": round_to(3.0, unit), "mate_thickness": round_to(20.0, unit)}
    return circle


@dataclass(frozen=True, slots=True)
class Page:
    """A page as shapely sees it, in printed mm: texts with their rooms, strokes with what draws them."""

    words: list[str]
    rooms: Geometries
    sources: list[str]
    strokes: Geometries


def read_page(sheet: Sheet) -> Page:
    """Every text and every stroke of a page, views and furniture."""
    words: list[str] = []
    corners: list[list[tuple[float, float]]] = []
    sources: list[str] = []
    points: list[tuple[float, float]] = []
    owners: list[int] = []
    for item, primitive, scale, shift in _primitives(sheet):
        if isinstance(primitive, Label):
            if primitive.text:
                words.append(primitive.text)
                corners.append([_on_paper(corner, scale, shift) for corner in label_corners(primitive, scale)])
            continue
        for line in polylines(primitive):
            owners += [len(sources)] * len(line)
            sources.append(f"{item.layer.name} {ref_words(item.source)}")
            points += [_on_paper(point, scale, shift) for point in line]
    rooms = shapely.polygons(np.array(corners)) if corners else np.array([], dtype=object)
    return Page(words, rooms, sources, shapely.linestrings(np.array(points), indices=np.array(owners)))


def _primitives(sheet: Sheet) -> Iterator[tuple[Item, Primitive, float, Point]]:
    for view in sheet.views:
        for item, primitive in exploded(view.drawing.items, view.scale):
            yield item, primitive, view.scale, view.at_paper
    for item, primitive in exploded(sheet.furniture, 1.0):
        yield item, primitive, 1.0, Point(0.0, 0.0)


def _on_paper(point: Point, scale: float, shift: Point) -> tuple[float, float]:
    return point.x * scale + shift.x, point.y * scale + shift.y


def polylines(primitive: Primitive) -> Iterator[list[Point]]:
    """What is drawn of a line, a round or a filled shape, as places along it; nothing of a text."""
    match primitive:
        case Line():
            if primitive.start != primitive.end:
                yield [primitive.start, primitive.end]
        case Circle():
            yield _round(primitive.center, primitive.radius, 0.0, 360.0)
        case Arc():
            yield _round(primitive.center, primitive.radius, primitive.start_deg, primitive.sweep_deg)
        case Contour():
            for part in primitive.parts:
                yield from polylines(part)
        case Solid():
            yield [*primitive.corners, primitive.corners[0]]
        case Label():
            return


def _round(center: Point, radius: float, start: float, sweep: float) -> list[Point]:
    count = max(2, math.ceil(abs(sweep) / 2))
    return [polar(radius, start + sweep * index / count, center) for index in range(count + 1)]

"""What no job may say in silence, judged from its tables and its cut file by arithmetic of its own."""

import math
from typing import Any

from flangelayout.checks.finding import Result
from flangelayout.errors import FlangeLayoutError
from flangelayout.job import Job
from flangelayout.packet.job import Part, build_packet
from readers import dxf_circles

_TOUCHING = 0.001


def nonsense(tables: dict[str, Any], job: Job) -> list[str]:
    """What is wrong with a job that was accepted and of which no check fails; empty for a sound one.

    Judged are plain round plates of plain numbers: holes lie on the plate, clear of bore and of each other; and of any
    plate: the kerf goes into the gap, seats end in the metal.
    """
    if any(finding.result is Result.FAILED for finding in job.findings):
        return []
    return [*_kerf(tables), *_seats(tables), *_places(tables, job)]


def _kerf(tables: dict[str, Any]) -> list[str]:
    plate, cut = tables.get("plate") or {}, tables.get("cut") or {}
    gap, kerf = _number(plate.get("gap")), _number(cut.get("kerf"))
    if plate.get("outline") == "split" and 0 < gap < kerf - _TOUCHING:
        return [f"a kerf of {kerf} in a gap of {gap}"]
    return []


def _seats(tables: dict[str, Any]) -> list[str]:
    plate = tables.get("plate") or {}
    wrong = []
    for circle in tables.get("bolt_circle") or []:
        depth, thickness = _number(circle.get("seat_depth")), _number(plate.get("thickness"))
        if circle.get("kind") == "counterbored" and 0 < thickness < depth:
            wrong.append(f"a counterbore {depth} deep in {thickness}")
    return wrong


def _places(tables: dict[str, Any], job: Job) -> list[str]:
    plate = tables.get("plate") or {}
    if plate.get("outline", "round") != "round" or not isinstance(plate.get("outside_diameter"), int | float):
        return []
    if any(key in tables for key in ("opening", "hole", "hole_grid", "hole_rings", "hole_rectangle")):
        return []
    try:
        files = build_packet(job, (Part.CUT,))
    except FlangeLayoutError:
        return []
    (cut,) = (content for name, content in files.items() if name.endswith(".dxf"))
    circles = sorted(dxf_circles(cut, job.cut.unit), key=lambda circle: -circle.radius)
    edge, inside = circles[0], circles[1:]
    wrong = [
        f"a circle of {2 * one.radius:.3f} at {one.x:.3f}, {one.y:.3f} leaves the plate"
        for one in inside
        if math.hypot(one.x - edge.x, one.y - edge.y) + one.radius > edge.radius + _TOUCHING
    ]
    for number, one in enumerate(inside):
        wrong += [
            f"circles of {2 * one.radius:.3f} and {2 * other.radius:.3f} overlap"
            for other in inside[number + 1 :]
            if math.hypot(one.x - other.x, one.y - other.y) < one.radius + other.radius - _TOUCHING
        ]
    return wrong


def _number(value: Any) -> float:  # noqa: ANN401 - of any kind
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else 0.0

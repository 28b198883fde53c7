"""Where things of a view come to stand on the paper, and where a text begins: shared by all writers."""

import math
from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby
from operator import attrgetter

from flangelayout.drawing.explode import Primitive, explode
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Label, Stamp
from flangelayout.drawing.textwidth import BEFORE, plain_line, text_width
from flangelayout.geometry.shapes import Arc, Point

PROGRAM = "flangelayout"
_layer_of = attrgetter("layer")


def layer_runs(items: Iterable[Item], scale: float) -> Iterator[tuple[Layer, list[Primitive]]]:
    """What is drawn, in order, in runs that share a layer; dimensions and marks already exploded.

    Args:
        items: Things of one drawing or of the furniture of a sheet.
        scale: Printed mm for a mm of their space.
    """
    for layer, run in groupby(items, key=_layer_of):
        yield layer, [primitive for item in run for primitive in explode(item.what, scale)]


def baseline_anchor(label: Label, scale: float = 1.0) -> Point:
    """The point of the baseline at which ``label`` is anchored, in the label's own space."""
    if not label.anchor.on_middle:
        return label.at
    return _moved(label, 0.0, -label.height_paper / scale / 2)


def text_start(label: Label, scale: float = 1.0) -> Point:
    """The left end of the baseline of ``label``, in the label's own space."""
    share = BEFORE[label.anchor.across]
    along = -share * text_width(plain_line(label.text), label.height_paper) / scale if share else 0.0
    return _moved(label, along, -label.height_paper / scale / 2 if label.anchor.on_middle else 0.0)


def quarter_arcs(arc: Arc) -> tuple[Arc, ...]:
    """The arc in equal pieces of 90 degrees at most.

    Formats that give an arc by its ends and its radius lose the center when the ends are almost
    opposite: a rounding error e of an end there moves the middle of the arc by sqrt(2 * radius * e).
    """
    count = max(1, math.ceil(abs(arc.sweep_deg) / 90 - 1e-9))
    step = arc.sweep_deg / count
    return tuple(Arc(arc.center, arc.radius, arc.start_deg + index * step, step) for index in range(count))


def layer_name(layer: Layer, names: Mapping[Layer, str] | None) -> str:
    """The shop's name for a layer, else the drawing's own."""
    return names.get(layer, layer.pen.name) if names else layer.pen.name


def identity_lines(stamp: Stamp) -> tuple[str, ...]:
    """What every file says about itself, one plain line per fact."""
    facts = (
        ("job", stamp.job_number),
        ("title", stamp.title),
        ("revision", stamp.revision),
        ("date", stamp.date),
        ("input digest", stamp.digest),
    )
    known = [f"{name}: {plain_line(text)}" for name, text in facts if text.strip()]
    return (f"{PROGRAM} {plain_line(stamp.version)}", *known)


def heading(stamp: Stamp) -> str:
    """Number, revision and title of a job in one line."""
    number = f"{stamp.job_number} {stamp.revision}".strip()
    return plain_line(f"{number} {stamp.title}")


def _moved(label: Label, along: float, up: float) -> Point:
    if not label.rotation_deg:
        return Point(label.at.x + along, label.at.y + up)
    turn = math.radians(label.rotation_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    return Point(label.at.x + along * cos - up * sin, label.at.y + along * sin + up * cos)

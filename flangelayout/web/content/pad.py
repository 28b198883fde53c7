"""The size or reading that is being written: what it is, what it may be instead, and how it was read."""

from msgspec import Struct

from flangelayout.errors import FlangeLayoutError
from flangelayout.job.schema.tree import Shape, leaf_at
from flangelayout.survey.kinds import CHORD_KINDS, KINDS, RADIAL_KINDS, SINGLE_SIZES, Kind
from flangelayout.units import Unit, decimal_text, parse_length, size_text
from flangelayout.web.content.picture.sizes import PictureSizes, Size
from flangelayout.web.form.state import Draft

_STUDS = frozenset({Kind.OVER_STUDS, Kind.BETWEEN_STUDS, Kind.STUD_TO_FAR_EDGE, Kind.STUD_DIAMETER})
_SHORT = {
    Kind.CENTERS: "centers",
    Kind.SAME_EDGES: "same edges",
    Kind.NEAR_EDGES: "near edges",
    Kind.FAR_EDGES: "far edges",
    Kind.OVER_STUDS: "over the studs",
    Kind.BETWEEN_STUDS: "between the studs",
    Kind.STUD_TO_FAR_EDGE: "stud to far edge",
    Kind.HOLE_TO_BORE: "to the bore",
    Kind.HOLE_TO_RIM: "to the rim",
    Kind.X: "X",
    Kind.Y: "Y",
    Kind.HOLE_DIAMETER: "hole",
    Kind.STUD_DIAMETER: "stud",
    Kind.BORE: "bore",
    Kind.OUTSIDE_DIAMETER: "outside",
}


class KindTile(Struct, frozen=True):
    """A way the jaws may have sat."""

    name: str
    words: str
    chosen: bool
    studs: bool


def kind_tiles(draft: Draft) -> tuple[KindTile, ...]:
    """The kinds of reading that go with what is picked: two holes, one hole, rim or bore."""
    chosen = next((kind for kind in Kind if kind.value == draft.kind), Kind.CENTERS)
    return tuple(KindTile(kind.value, _SHORT[kind], kind is chosen, kind in _STUDS) for kind in _family(chosen))


def _family(kind: Kind) -> tuple[Kind, ...]:
    if kind in CHORD_KINDS:
        return tuple(each for each in KINDS if each in CHORD_KINDS)
    if kind in (Kind.BORE, Kind.OUTSIDE_DIAMETER):
        return (kind,)
    one_hole = SINGLE_SIZES - {Kind.BORE, Kind.OUTSIDE_DIAMETER}
    return tuple(each for each in KINDS if each in RADIAL_KINDS | one_hole | {Kind.X, Kind.Y})


def picked_words(draft: Draft) -> str:
    """What the reading is of, in words: ``Holes 1 and 2``."""
    kind = next((kind for kind in Kind if kind.value == draft.kind), Kind.CENTERS)
    if kind is Kind.OUTSIDE_DIAMETER:
        return "Outside diameter"
    if kind is Kind.BORE:
        return "Bore"
    if kind in CHORD_KINDS:
        return f"Holes {draft.from_} and {draft.to}" if draft.from_ and draft.to else "Any two neighbors"
    return f"Hole {draft.from_}" if draft.from_ else "One hole"


def within_words(draft: Draft, unit: Unit) -> str:
    """What a reading of that kind is good to where nothing is said."""
    kind = next((kind for kind in Kind if kind.value == draft.kind), Kind.CENTERS)
    return f"± {size_text(KINDS[kind].within, unit) if unit is Unit.MM else decimal_text(KINDS[kind].within, unit)}"


def read_as(text: str, unit: Unit, show: Unit) -> str:
    """How a written length was read, where that is not plain to see; empty where it is, or it is no length."""
    typed = text.strip()
    try:
        value = parse_length(typed, show if show is not unit else unit)
    except (FlangeLayoutError, OverflowError):
        return ""
    plain = typed.replace(".", "", 1).isdecimal()
    if plain or not typed or abs(value) > 1e6:
        return ""
    return f"read as {decimal_text(value, show)} {show.value}"


def is_number(key: str) -> bool:
    """Whether the pad can write it."""
    leaf = leaf_at(key)
    return leaf is not None and leaf.shape in (Shape.LENGTH, Shape.NUMBER, Shape.ANGLE)


def asked_after(sizes: PictureSizes) -> tuple[Size, ...]:
    """The sizes that are still asked for, in the order of the steel."""
    circle = sizes.circles[0]
    lengths = (circle.diameter, circle.hole_count, circle.hole_diameter, sizes.outside, sizes.bore, sizes.thickness)
    return tuple(size for size in lengths if not size.text)

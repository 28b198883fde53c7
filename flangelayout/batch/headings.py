"""The headings of a list as people write them: which key of a job file each names, and the unit it is in.

Common practice, no source: the words that stand over the columns of cut lists and flange schedules.
"""

import re
from difflib import get_close_matches

from msgspec import Struct

from flangelayout.job.schema.trade_words import bare_word, choice_meant, keys_meant
from flangelayout.job.schema.tree import Branch, Leaf, Shape, job_keys, leaf_at
from flangelayout.units import Unit

DESIGNATION = "designation"
"""The column that names a standard for the plate and its first bolt circle."""

_WORDS = {
    "description": "title",
    "desc": "title",
    "part": "number",
    "item": "number",
    "mark": "number",
    "tag": "number",
    "no": "number",
    "jobno": "number",
    "drawingno": "number",
    "pcs": "quantity",
    "pieces": "quantity",
    "noof": "quantity",
    "flange": DESIGNATION,
    "pattern": DESIGNATION,
    "grade": "material",
    "unit": "units",
    "platethickness": "thickness",
    "numberoff": "quantity",
    "pos": "number",
    "position": "number",
    "itemno": "number",
    "drawing": "number",
    "hole": "hole_diameter",
    "holediameters": "hole_diameter",
    "boltcircle": "diameter",
    "holecircle": "diameter",
    "holecirclediameter": "diameter",
}
"""Words that are none in a job file, where a table gives them another meaning."""

_TABLES = ("job", "plate", "bolt_circle")
"""Where a key that is written without its table is looked for, in this order."""

_STEP = re.compile(r"([a-z_]+)(?:\[(\d{1,3})\])?")
_UNIT = re.compile(
    r"(?P<name>.*?\S)[\s_,]*(?:\((?P<round>[^()]+)\)|\[(?P<square>[a-z\"″.]+)\]|[\s_,](?P<bare>[^\s_,]+))"
)
_DIAMETER_SIGNS = str.maketrans(dict.fromkeys("Øø⌀∅", "dia"))
_NO_SIGNS = str.maketrans("", "", "Øø⌀∅")
_SIGNS = {'"': Unit.IN, "″": Unit.IN, "in.": Unit.IN, "ins": Unit.IN}

Path = tuple[str | int, ...]


class Heading(Struct, frozen=True):
    """What a column holds.

    Attributes:
        written: As it stands in the list.
        paths: Steps through a job's tables and, by number, through lists of tables.
        shape: What a cell is.
        unit: Of its lengths, where the heading says it.
    """

    written: str
    paths: tuple[Path, ...]
    shape: Shape
    unit: Unit | None = None


_DESIGNATED: tuple[Path, ...] = (("plate", "standard"), ("bolt_circle", 0, "standard"))


def read_heading(written: str) -> Heading | None:
    """What a heading names: ``plate.bore``, ``bore``, ``Bore (mm)``, ``O.D. [in]``, ``PCD mm``; ``None`` if nothing."""
    name = " ".join(written.split())
    whole = _named(name)
    if whole:
        return Heading(written, *whole)
    match = _UNIT.fullmatch(name)
    unit = _unit(match["round"] or match["square"] or match["bare"]) if match else None
    known = _named(match["name"]) if match and unit else None
    if known is None or known[1] is not Shape.LENGTH:
        return None
    return Heading(written, *known, unit)


def near_heading(written: str) -> str:
    """The key or word that a heading which names nothing comes nearest to; empty if none does."""
    keys = [key for table in _TABLES for key in _children(table)]
    last = written.strip().lower().rpartition(".")[2]
    near = next(iter(get_close_matches(last, [*keys, DESIGNATION, *_WORDS], n=1, cutoff=0.7)), "")
    return near if not near or read_heading(near) else f"bolt_circle.{near}"


def _named(name: str) -> tuple[tuple[Path, ...], Shape] | None:
    """Where a name leads, and what stands there."""
    if name.lower() == DESIGNATION:
        return _DESIGNATED, Shape.TEXT
    for key in (name, *_keys_of(name)):
        if key == DESIGNATION:
            return _DESIGNATED, Shape.TEXT
        for path in _places(key):
            leaf = _leaf(path)
            if leaf:
                return (path,), leaf.shape
    return None


def _keys_of(name: str) -> tuple[str, ...]:
    """The keys a word of the trade means, by itself or below a table; one that means several things means none."""
    table, dot, below = name.rpartition(".")
    if dot and (table.rpartition(".")[2].isdecimal() or table in job_keys().children):
        return tuple(f"{table}.{key.rpartition('.')[2]}" for key in _keys_of(below))
    meant = _meant(name.translate(_DIAMETER_SIGNS)) or _meant(name.translate(_NO_SIGNS))
    return tuple(f"bolt_circle.{key}" if key == "diameter" else key for key in meant)


def _meant(name: str) -> tuple[str, ...]:
    own = _WORDS.get(bare_word(name))
    if own:
        return (own,)
    meant = keys_meant(name)
    return () if len(meant) > 1 and "bolt" in meant else meant


def _places(key: str) -> list[Path]:
    """Where a key may stand: as written, and without its table in one of those that are looked through."""
    steps: list[str | int] = []
    for part in key.split("."):
        match = _STEP.fullmatch(part.strip())
        if match and match[2]:
            steps += [match[1], int(match[2]) - 1]
        elif part.strip().isdecimal() and steps:
            steps.append(int(part[:4]) - 1)
        else:
            steps.append(part.strip().replace(" ", "_").lower())
    if len(steps) > 1:
        return [_with_numbers(steps)]
    short = [_with_numbers([table, *steps]) for table in _TABLES if steps[0] != "diameter"]
    return [(steps[0],), *short]


def _with_numbers(steps: list[str | int]) -> Path:
    """The steps with the number of the first table put in where a list of tables has none."""
    node: Branch | Leaf | None = job_keys()
    path: list[str | int] = []
    for index, step in enumerate(steps):
        path.append(step)
        if isinstance(step, str):
            node = node.children.get(step) if isinstance(node, Branch) else None
            is_last = index + 1 == len(steps)
            if isinstance(node, Branch) and node.many and not is_last and not isinstance(steps[index + 1], int):
                path.append(0)
    return tuple(path)


def _leaf(path: Path) -> Leaf | None:
    if any(isinstance(step, int) and step < 0 for step in path):
        return None
    return leaf_at(".".join(str(step + 1) if isinstance(step, int) else step for step in path))


def _children(table: str) -> tuple[str, ...]:
    node = job_keys().children[table]
    return tuple(node.children) if isinstance(node, Branch) else ()


def _unit(text: str) -> Unit | None:
    word = text.strip().lower().removeprefix("in ") if text.strip().lower() != "in" else "in"
    if word in _SIGNS:
        return _SIGNS[word]
    meant = choice_meant(word, tuple(unit.value for unit in Unit))
    return Unit(meant) if meant else None

"""What the page calls the keys of a job file: every one by a name that no other has."""

from collections import Counter
from functools import cache

from flangelayout.job.schema.tree import Branch, Leaf, job_keys
from flangelayout.views.words.keys import key_words

_TABLES = {
    "plate": ("Plate", "outline, face, material, edges", "plate"),
    "bolt_circle": ("Bolt circles", "holes round the middle", "circle"),
    "hole": ("Single holes", "each at a place of its own", "single hole"),
    "hole_rectangle": ("Rectangles of holes", "holes along four sides", "rectangle"),
    "hole_grid": ("Grids of holes", "holes in rows", "grid"),
    "hole_rings": ("Rings of holes", "holes on circles one inside the other", "rings"),
    "opening": ("Openings", "beside the bore", "opening"),
    "turned": ("Turned faces", "recess, register, groove, spigot", "turned"),
    "mate": ("Mates", "what bolts to it", "mate"),
    "derived": ("Derived from", "the part that this one was made from", "derived"),
    "job": ("Title block", "who, for whom, how many, revisions", "job"),
    "sheet": ("Sheet", "the dimensioned drawing", "sheet"),
    "template": ("Template and printer", "the paper that is taped onto the plate", "template"),
    "cut": ("Cut table", "what the cut file holds", "cut file"),
    "machine": ("Machine", "mill, dividing head, rotary table", "machine"),
    "checks": ("Checks", "limits, and what else stands on the plate", "checks"),
    "tolerances": ("Tolerances", "what the drilling is held to", "tolerances"),
    "survey": ("Readings", "what was read on the flange, number by number", "readings"),
}
"""Each table: its heading, what is in it, and what tells its fields from others of the same name."""
_ROWS = {
    "plate.path": ("corner", "corner"),
    "job.revision_history": ("revision", "history"),
    "survey.reading": ("reading", "reading"),
    "bolt_circle": ("bolt circle", "circle"),
    "hole": ("single hole", "single hole"),
    "hole_rectangle": ("rectangle of holes", "rectangle"),
    "hole_grid": ("grid of holes", "grid"),
    "hole_rings": ("rings of holes", "rings"),
    "opening": ("opening", "opening"),
    "turned": ("turned face", "turned"),
    "mate": ("mate", "mate"),
}
"""Every array of tables: what one of its tables is called, and what tells its fields apart."""


@cache
def tables() -> dict[str, tuple[str, str, str]]:
    """Every table of a job file, those that people look for first: its heading, what is in it, a word for its keys."""
    own = {name: node for name, node in job_keys().children.items() if isinstance(node, Branch)}
    known = {name: words for name, words in _TABLES.items() if name in own}
    return known | {name: (_plain(name).capitalize(), "", _plain(name)) for name in own if name not in known}


@cache
def rows() -> dict[str, tuple[str, str]]:
    """Every array of tables by its path: what one of its tables is called, and a word for its keys."""
    children = job_keys().children
    paths = [name for name, node in children.items() if isinstance(node, Branch) and node.many]
    for name, node in children.items():
        inner = node.children.items() if isinstance(node, Branch) and not node.many else ()
        paths += [f"{name}.{key}" for key, each in inner if isinstance(each, Branch) and each.many]
    plain = {path: (_plain(path.rpartition(".")[2]),) * 2 for path in paths}
    return {path: _ROWS.get(path, words) for path, words in plain.items()}


def row_words() -> dict[str, str]:
    """What one table of each array is called, by the array's path."""
    return {path: words for path, (words, _) in rows().items()}


def _plain(name: str) -> str:
    return name.replace("_", " ")


@cache
def full_name(pattern: str) -> str:
    """A name that no other key of a job file has; of several alike the plate keeps it bare.

    Args:
        pattern: The dotted key without the numbers of rows.
    """
    words = key_words(pattern)
    name = words.name if words else pattern.rpartition(".")[2].replace("_", " ").capitalize()
    own_plate = pattern.startswith("plate.") and pattern.count(".") == 1
    return name if own_plate or _counts()[name] == 1 else f"{name}, {_apart(pattern)}"


def every_pattern() -> tuple[str, ...]:
    """Every dotted key of a job file, without the numbers of rows."""
    return tuple(_patterns(job_keys(), ""))


@cache
def _counts() -> Counter[str]:
    found = (key_words(each) for each in every_pattern())
    return Counter(words.name for words in found if words)


def _patterns(branch: Branch, lead: str) -> list[str]:
    found: list[str] = []
    for name, node in branch.children.items():
        found += [f"{lead}{name}"] if isinstance(node, Leaf) else _patterns(node, f"{lead}{name}.")
    return found


def _apart(pattern: str) -> str:
    """What tells a key from another one of the same name."""
    table = pattern.rpartition(".")[0]
    if table in rows():
        return rows()[table][1]
    return tables()[table.partition(".")[0]][2] if table else "job file"

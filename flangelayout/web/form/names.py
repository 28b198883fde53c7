"""What the page calls the keys of a job file: every one by a name that no other has."""

from collections import Counter
from functools import cache

from flangelayout.job.schema.tree import Branch, Leaf, job_keys
from flangelayout.views.words.keys import TABLES, key_words

_ROWS = {
    "plate.path": ("corner", "corner"),
    "job.revision_history": ("revision", "history"),
    "survey.reading": ("reading", "reading"),
}
"""Every array of tables inside a table: what one of its tables is called, and what tells its fields apart."""


@cache
def tables() -> dict[str, tuple[str, str, str]]:
    """Every table of a job file, those that people look for first: its heading, what is in it, a word for its keys."""
    own = {name: node for name, node in job_keys().children.items() if isinstance(node, Branch)}
    known = {name: (words.heading, words.contents, words.apart) for name, words in TABLES.items() if name in own}
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
    own = {name: (words.row, words.apart) for name, words in TABLES.items() if words.row}
    return {path: (own | _ROWS).get(path, words) for path, words in plain.items()}


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

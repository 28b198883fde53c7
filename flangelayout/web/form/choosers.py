"""Which keys of a table are worth asking for, given what was chosen in it."""

from collections.abc import Mapping
from functools import cache

from msgspec import Struct

from flangelayout.job.schema.holes import KIND_KEYS
from flangelayout.job.schema.plate import OPENING_KEYS, OUTLINE_KEYS
from flangelayout.job.schema.tree import Branch, job_keys


class Chooser(Struct, frozen=True):
    """A key whose choice decides which other keys a table takes.

    Attributes:
        name: Of the key.
        usual: What is meant where it is left out.
        takes: For each choice the keys that belong to it, in order.
    """

    name: str
    usual: str
    takes: Mapping[str, tuple[str, ...]]

    def belongs(self, name: str, chosen: str) -> bool:
        """Whether a key belongs to the choice, or to every choice."""
        return name in self.takes.get(chosen, ()) or not any(name in keys for keys in self.takes.values())


@cache
def chooser_of(table: str) -> Chooser:
    """The choosing key of a table; one that leaves every key be where the table has none."""
    if table == "plate":
        return Chooser("outline", "round", {outline: (*need, *may) for outline, (need, may) in OUTLINE_KEYS.items()})
    if table == "opening":
        return Chooser("shape", "circle", {shape: (*need, *may) for shape, (need, may) in OPENING_KEYS.items()})
    branch = job_keys().children.get(table)
    has_kinds = isinstance(branch, Branch) and {"kind", "fit", "slot_length"} <= set(branch.children)
    return Chooser("kind", "drilled", KIND_KEYS) if has_kinds else Chooser("", "", {})

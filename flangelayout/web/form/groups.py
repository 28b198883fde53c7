"""Everything that a job file may hold, in groups, every field with a name that no other one has."""

from msgspec import Struct

from flangelayout.job.schema.tree import Branch, Leaf, job_keys
from flangelayout.web.form.fields import Field, Sheaf
from flangelayout.web.form.names import rows, tables
from flangelayout.web.form.state import State


class RowFields(Struct, frozen=True):
    """One table of an array: its heading, the array it is of, its number there and its fields."""

    words: str
    path: str
    number: int
    fields: tuple[Field, ...]


class KeyGroup(Struct, frozen=True):
    """A group of settings.

    Attributes:
        name: Of its table.
        words: Its heading.
        about: What is in it.
        yours: How many of its keys are written.
        fields: Those of the table itself.
        rows: Tables of arrays in it.
        adds: Arrays that a table can be added to, with what one is called.
    """

    name: str
    words: str
    about: str
    yours: int
    fields: tuple[Field, ...]
    rows: tuple[RowFields, ...]
    adds: tuple[tuple[str, str], ...]


def groups_of(state: State, sheaf: Sheaf) -> tuple[KeyGroup, ...]:
    """Every group, with every field that the job may have now.

    Args:
        state: What stands in the fields.
        sheaf: Its fields.
    """
    return tuple(_group(name, state, sheaf) for name in tables())


def _group(name: str, state: State, sheaf: Sheaf) -> KeyGroup:
    heading, about, _ = tables()[name]
    node = job_keys().children[name]
    assert isinstance(node, Branch)
    own = () if node.many else tuple(sheaf.every(name))
    paths = [name] if node.many else [f"{name}.{key}" for key, each in node.children.items() if _many(each)]
    made = tuple(
        RowFields(f"{rows()[path][0].capitalize()} {number}", path, number, tuple(sheaf.every(path, number)))
        for path in paths
        for number in range(1, len(state.rows_at(path)) + 1)
    )
    fields = [*own, *(field for row in made for field in row.fields)]
    return KeyGroup(
        name=name,
        words=heading,
        about=about,
        yours=sum(field.written for field in fields),
        fields=own,
        rows=made,
        adds=tuple((path, rows()[path][0]) for path in paths),
    )


def _many(node: Leaf | Branch) -> bool:
    return isinstance(node, Branch) and node.many

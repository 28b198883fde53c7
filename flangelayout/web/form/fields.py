"""The fields of the page: one for every key of the job's schema, the everyday ones first and named in words."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from flangelayout.job.schema.tree import Branch, Leaf, Shape, job_keys, leaf_at
from flangelayout.units import Unit
from flangelayout.views.words.keys import KeyWords, key_words
from flangelayout.web.form.address_tables import flatten
from flangelayout.web.form.choosers import chooser_of
from flangelayout.web.form.lengths import shown_text
from flangelayout.web.form.state import State

_DRAFT_WORDS = {
    "n.value": KeyWords("Reading", "", ""),
    "n.from": KeyWords("From hole", "", ""),
    "n.to": KeyWords("To hole", "", ""),
    "n.within": KeyWords("Good to, ±", "usual for the kind unless told", ""),
}
_EVERYDAY = {
    "job": ("number", "title", "revision"),
    "plate": ("outline", "bore", "thickness", "material", "face"),
    "bolt_circle": ("standard", "diameter", "hole_count", "hole_diameter", "placement", "centerline"),
    "hole": ("diameter", "x", "y", "radius", "angle"),
}
_SELDOM = frozenset({"name", "kind", "fit", "thread", "tap_drill", "depth", "bolt", "mates_with", "cut"})
_SELDOM_STARTS = ("seat_", "slot_along", "slot_length")
_OWN_PLACE = ("job", "plate", "survey")
_ROW_WORDS = {"hole": "single hole", "hole_rectangle": "rectangle of holes", "hole_grid": "grid of holes"}
_DRAFT = {"n.value": "value", "n.from": "from_", "n.to": "to", "n.within": "within"}
_DRAFT_LENGTHS = ("n.value", "n.within")


@dataclass(frozen=True, slots=True)
class Field:
    """One field.

    Attributes:
        key: The dotted job key, which is its name in the form.
        label: What it is called.
        hint: What helps to fill it in.
        text: What it holds, in the unit shown.
        master: What it holds in the job's own unit, where that differs from the unit shown.
        choices: What it may be, as text and words; empty for a field to write in.
        lines: Whether it takes several lines.
        numeric: Whether a phone should offer digits.
        usual: What it is taken as where it is left empty.
        remakes: Whether its choice decides which other fields there are.
    """

    key: str
    label: str
    hint: str
    text: str
    master: str | None = None
    choices: tuple[tuple[str, str], ...] = ()
    lines: bool = False
    numeric: bool = False
    usual: str = ""
    remakes: bool = False

    @property
    def id(self) -> str:
        """Its id in the page."""
        return field_id(self.key)


def field_id(key: str) -> str:
    """The id of the field of a key."""
    return key.replace(".", "-")


def row_tables() -> dict[str, str]:
    """Arrays of tables beside the bolt circles, with what one of their tables is in words."""
    found = [name for name, node in job_keys().children.items() if isinstance(node, Branch) and node.many]
    return {name: _ROW_WORDS.get(name, name.replace("_", " ")) for name in found if name != "bolt_circle"}


def setting_tables() -> tuple[str, ...]:
    """Tables that are settings: everything without a place of its own on the page."""
    children = job_keys().children
    tables = (name for name, node in children.items() if isinstance(node, Branch) and not node.many)
    return tuple(name for name in tables if name not in _OWN_PLACE)


def label_of(key: str) -> str:
    """What a key is called, without where it stands."""
    return _words(key).name


class Sheaf:
    """All fields of a state, made once from its texts."""

    def __init__(self, state: State) -> None:
        """Read the texts of a state."""
        self._state = state
        self._texts: Mapping[str, str] = dict(flatten(state.data))
        self._used: set[str] = {"units"}

    def field(self, key: str) -> Field:
        """The field of a job key or of the reading being taken."""
        if key in _DRAFT:
            return self._draft_field(key)
        self._used.add(key)
        leaf = leaf_at(key) or Leaf(Shape.TEXT)
        return self._made(key, leaf, self._texts.get(key, ""))

    def everyday(self, table: str, row: int | None = None) -> list[Field]:
        """The everyday fields of a table: those its choice needs stand right after it."""
        lead, chosen = self._chosen(table, row)
        names = list(_everyday(table))
        chooser = chooser_of(table)
        if chooser.name in names:
            at = names.index(chooser.name) + 1
            names[at:] = [*(name for name in chooser.takes.get(chosen, ()) if name not in names), *names[at:]]
        return [self.field(f"{lead}.{name}") for name in names if self._worth_asking(table, lead, name, chosen)]

    def further(self, table: str, row: int | None = None) -> list[Field]:
        """All other fields of a table, those of tables inside it included."""
        lead, chosen = self._chosen(table, row)
        shown = {field.key for field in self.everyday(table, row)} if table in _EVERYDAY or row is not None else set()
        names = [name for name in _names(table) if f"{lead}.{name}" not in shown]
        return [self.field(f"{lead}.{name}") for name in names if self._worth_asking(table, lead, name, chosen)]

    def _chosen(self, table: str, row: int | None) -> tuple[str, str]:
        """Where a table stands, and the choice made in it that decides which keys it takes."""
        lead = table if row is None else f"{table}.{row}"
        chooser = chooser_of(table)
        return lead, self._texts.get(f"{lead}.{chooser.name}") or chooser.usual

    def _worth_asking(self, table: str, lead: str, name: str, chosen: str) -> bool:
        """Whether the schema has a key that leaves a choice, and it belongs to what was chosen or is filled in."""
        leaf = leaf_at(f"{lead}.{name}")
        if leaf is None or len(leaf.choices) == 1:
            return False
        return f"{lead}.{name}" in self._texts or chooser_of(table).belongs(name, chosen)

    def rest(self) -> list[tuple[str, str]]:
        """Keys that have a text and no field, to be carried along."""
        return [(key, text) for key, text in self._texts.items() if key not in self._used]

    def hide(self, keys: Iterable[str]) -> None:
        """Count keys as shown elsewhere."""
        self._used.update(keys)

    def _draft_field(self, key: str) -> Field:
        text = str(getattr(self._state.draft, _DRAFT[key]))
        leaf = Leaf(Shape.LENGTH if key in _DRAFT_LENGTHS else Shape.NUMBER)
        return self._made(key, leaf, text)

    def _made(self, key: str, leaf: Leaf, text: str) -> Field:
        words = _words(key)
        length = leaf.shape is Shape.LENGTH
        master, show = self._state.unit, self._state.show
        return Field(
            key=key,
            label=words.name,
            hint=words.meaning,
            text=shown_text(text, master, show) if length else text or leaf.usual_choice * bool(leaf.choices),
            master=text if length and master is not show else None,
            choices=_choices(leaf),
            lines=leaf.shape is Shape.TEXTS,
            numeric=leaf.shape in (Shape.LENGTH, Shape.ANGLE, Shape.NUMBER) and show is not Unit.IN,
            usual="" if leaf.choices else leaf.usual_choice,
            remakes=bool(leaf.choices) and key.rpartition(".")[2] in ("outline", "shape", "kind"),
        )


def _everyday(table: str) -> tuple[str, ...]:
    if table in _EVERYDAY:
        return _EVERYDAY[table]
    return tuple(name for name in _names(table) if name not in _SELDOM and not name.startswith(_SELDOM_STARTS))


def _names(table: str) -> list[str]:
    branch = job_keys().children.get(table)
    return _names_in(branch) if isinstance(branch, Branch) else []


def _names_in(branch: Branch) -> list[str]:
    """Dotted names of all single values below a table, arrays of tables left out."""
    names: list[str] = []
    for name, child in branch.children.items():
        if isinstance(child, Leaf):
            names.append(name)
        elif not child.many:
            names += [f"{name}.{inner}" for inner in _names_in(child)]
    return names


def _choices(leaf: Leaf) -> tuple[tuple[str, str], ...]:
    if leaf.shape is Shape.FLAG:
        return (("", "as usual"), ("true", "yes"), ("false", "no"))
    empty = () if leaf.usual_choice or not leaf.choices else (("", "as usual"),)
    return (*empty, *((choice, choice.replace("-", " ")) for choice in leaf.choices))


def _pattern(key: str) -> str:
    """The key without the numbers of rows."""
    return ".".join(part for part in key.split(".") if not part.isdigit())


def _words(key: str) -> KeyWords:
    """The words of a key; of one that no job file has, as an opened file may hold, the key itself."""
    found = _DRAFT_WORDS.get(key) or key_words(_pattern(key))
    if found:
        return found
    name = key.rpartition(".")[2].replace("_", " ")
    return KeyWords(name[:1].upper() + name[1:], "", "")

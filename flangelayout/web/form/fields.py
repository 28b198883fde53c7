"""The fields of the page: one for every key of the job's schema, each under a name that no other has."""

from collections.abc import Mapping

from msgspec import Struct

from flangelayout.job.schema.tree import Branch, Leaf, Shape, job_keys, leaf_at
from flangelayout.units import Unit, size_text
from flangelayout.views.words.keys import KeyWords, key_words
from flangelayout.web.form.address_tables import flatten
from flangelayout.web.form.choosers import chooser_of
from flangelayout.web.form.lengths import shown_text
from flangelayout.web.form.names import full_name, row_words
from flangelayout.web.form.state import State

_DRAFT_WORDS = {
    "n.value": KeyWords("Reading", "", ""),
    "n.from": KeyWords("From hole", "", ""),
    "n.to": KeyWords("To hole", "", ""),
    "n.within": KeyWords("Good to, ±", "usual for the kind unless told", ""),
}
_DRAFT = {"n.value": "value", "n.from": "from_", "n.to": "to", "n.within": "within"}
_DRAFT_LENGTHS = ("n.value", "n.within")


class Field(Struct, frozen=True):
    """One field.

    Attributes:
        key: The dotted job key, which is its name in the form.
        label: What it is called.
        hint: What helps to fill it in.
        text: What it holds, in the unit shown.
        unit: Unit of a bare number in it; empty where it takes none.
        master: What it holds in the job's own unit, where that differs from the unit shown.
        choices: What it may be, as text and words; empty for a field to write in.
        lines: Whether it takes several lines.
        numeric: Whether a phone should offer digits.
        usual: What it is taken as where it is left empty.
        remakes: Whether its choice decides which other fields there are.
        written: Whether the job says something under its key.
    """

    key: str
    label: str
    hint: str
    text: str
    unit: str = ""
    master: str | None = None
    choices: tuple[tuple[str, str], ...] = ()
    lines: bool = False
    numeric: bool = False
    usual: str = ""
    remakes: bool = False
    written: bool = False

    @property
    def id(self) -> str:
        """Its id in the page."""
        return field_id(self.key)

    @property
    def sought(self) -> str:
        """What a search goes through, in small letters."""
        return f"{self.label} {self.hint} {self.key}".lower()


def field_id(key: str) -> str:
    """The id of the field of a key."""
    return key.replace(".", "-")


def row_tables() -> dict[str, str]:
    """Arrays of tables beside the bolt circles, with what one of their tables is in words."""
    return {path: words for path, words in row_words().items() if "." not in path and path != "bolt_circle"}


def label_of(key: str) -> str:
    """What a key is called, by a name that no other has."""
    if key in _DRAFT_WORDS:
        return _DRAFT_WORDS[key].name
    pattern = _pattern(key)
    return full_name(pattern) if key_words(pattern) else _unknown(key)


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
            text = str(getattr(self._state.draft, _DRAFT[key]))
            return self._made(key, Leaf(Shape.LENGTH if key in _DRAFT_LENGTHS else Shape.NUMBER), text)
        self._used.add(key)
        return self._made(key, leaf_at(key) or Leaf(Shape.TEXT), self._texts.get(key, ""))

    def every(self, path: str, row: int | None = None) -> list[Field]:
        """All fields of a table, those of tables inside it included: what belongs to its choice, or is written."""
        lead = path if row is None else f"{path}.{row}"
        chooser = chooser_of(path)
        chosen = self._texts.get(f"{lead}.{chooser.name}") or chooser.usual
        return [self.field(f"{lead}.{name}") for name in _names(path) if self._worth_asking(path, lead, name, chosen)]

    def _worth_asking(self, path: str, lead: str, name: str, chosen: str) -> bool:
        """Whether the schema has a key that leaves a choice, and it belongs to what was chosen or is filled in."""
        leaf = leaf_at(f"{lead}.{name}")
        if leaf is None or len(leaf.choices) == 1:
            return False
        return f"{lead}.{name}" in self._texts or chooser_of(path).belongs(name, chosen)

    def rest(self) -> list[tuple[str, str]]:
        """Keys that have a text and no field, to be carried along."""
        return [(key, text) for key, text in self._texts.items() if key not in self._used]

    def _made(self, key: str, leaf: Leaf, text: str) -> Field:
        length = leaf.shape is Shape.LENGTH
        master, show = self._state.unit, self._state.show
        return Field(
            key=key,
            label=label_of(key),
            hint=_hint(key),
            text=shown_text(text, master, show) if length else text or leaf.usual_choice * bool(leaf.choices),
            unit=show.value if length else "°" if leaf.shape is Shape.ANGLE else "",
            master=text if length and master is not show else None,
            choices=_choices(leaf),
            lines=leaf.shape in (Shape.TEXTS, Shape.ROWS) and not leaf.choices,
            numeric=leaf.shape in (Shape.LENGTH, Shape.ANGLE, Shape.NUMBER) and show is not Unit.IN,
            usual="" if leaf.choices else _usual(leaf, show),
            remakes=bool(leaf.choices) and key.rpartition(".")[2] in ("outline", "shape", "kind"),
            written=bool(text),
        )


def _names(path: str) -> list[str]:
    node: Leaf | Branch | None = job_keys()
    for part in path.split("."):
        node = node.children.get(part) if isinstance(node, Branch) else None
    return _names_in(node) if isinstance(node, Branch) else []


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
    if leaf.shape in (Shape.TEXTS, Shape.NUMBERS, Shape.ROWS):
        return ()
    if leaf.shape is Shape.FLAG:
        return (("", "as usual"), ("true", "yes"), ("false", "no"))
    empty = () if leaf.usual_choice or not leaf.choices else (("", "as usual"),)
    return (*empty, *((choice, choice.replace("-", " ")) for choice in leaf.choices))


def _usual(leaf: Leaf, show: Unit) -> str:
    """What holds where nothing is written, as a person would write it; empty where nothing does."""
    if isinstance(leaf.usual, bool) or leaf.usual is None:
        return ""
    if isinstance(leaf.usual, str):
        return leaf.usual
    return size_text(leaf.usual, show) if leaf.shape is Shape.LENGTH else f"{leaf.usual:g}"


def _pattern(key: str) -> str:
    """The key without the numbers of rows."""
    return ".".join(part for part in key.split(".") if not part.isdigit())


def _hint(key: str) -> str:
    found = _DRAFT_WORDS.get(key) or key_words(_pattern(key))
    return found.meaning if found else ""


def _unknown(key: str) -> str:
    """What a key is called that no job file has, as an opened file may hold."""
    name = key.rpartition(".")[2].replace("_", " ")
    return name[:1].upper() + name[1:]

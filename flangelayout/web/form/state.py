"""What the page stands at: the job's tables, the reading being taken and what is shown."""

from enum import Enum

from msgspec import Struct, field

from flangelayout.job.schema.tree import Branch, job_keys
from flangelayout.survey.kinds import CHORD_KINDS, SINGLE_SIZES, Kind
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.web.form.address_tables import Table, flatten, ordered, unflatten
from flangelayout.web.form.remarks import Remarks


class Stage(Enum):
    """Where one stands on the way from the flange to its files."""

    START = "start"
    NAME = "name"
    MEASURE = "measure"
    DECIDE = "decide"
    FLANGE = "flange"
    CHECK = "check"
    TAKE = "take"
    DRILLED = "drilled"


class Picture(Enum):
    """What is looked at."""

    FLANGE = "flange"
    SHEET = "sheet"
    TEMPLATE = "template"
    CUT = "cut"
    MACHINE = "machine"


class Draft(Struct, frozen=True):
    """The reading being taken, as typed; it counts as soon as it has a value."""

    kind: str = Kind.CENTERS.value
    from_: str = ""
    to: str = ""
    value: str = ""
    within: str = ""

    def row(self) -> Table:
        """Its keys in a job file; holes that its kind does not ask for are left out."""
        kind = next((kind for kind in Kind if kind.value == self.kind), None)
        texts = {"kind": self.kind, "from": self.from_, "to": self.to, "value": self.value, "within": self.within}
        if kind in SINGLE_SIZES:
            texts["from"] = ""
        if kind is not None and kind not in CHORD_KINDS:
            texts["to"] = ""
        tables = unflatten([(f"survey.reading.1.{name}", text) for name, text in texts.items()])
        survey = tables["survey"]
        assert isinstance(survey, dict)
        row: Table = survey["reading"][0]
        return row


class State(Struct, frozen=True):
    """Everything an address carries.

    Attributes:
        data: Tables of the job file as far as filled in; its unit is the master.
        draft: The reading being taken.
        step: Where one stands.
        show: Unit that lengths are shown in on the page.
        picture: What is looked at.
        edit: Key of the size being written on the picture; empty for none.
        group: The group of settings that stands open; empty where none is looked at.
        find: What is looked up in the tables.
        onto: Number of the bolt circle, from 1, that a found drilling is put on.
        drilled: Chords read on the finished part, as typed, by the pair of holes: ``1-2``.
        remarks: Of the job file that was opened.
    """

    data: Table = field(default_factory=dict)
    draft: Draft = Draft()
    step: Stage = Stage.START
    show: Unit = Unit.MM
    picture: Picture = Picture.FLANGE
    edit: str = ""
    group: str = ""
    find: str = ""
    onto: int = 1
    drilled: tuple[tuple[str, str], ...] = ()
    remarks: Remarks = ()

    @property
    def unit(self) -> Unit:
        """The job's own unit, the master."""
        return Unit.IN if self.data.get("units") == Unit.IN.value else Unit.MM

    def table(self, name: str) -> Table:
        """A table of the job; empty where it has none."""
        found = self.data.get(name)
        return found if isinstance(found, dict) else {}

    def rows(self, name: str) -> list[Table]:
        """An array of tables of the job."""
        return _rows(self.data.get(name))

    def readings(self) -> list[Table]:
        """The readings taken down, without the draft."""
        return _rows(self.table("survey").get("reading"))

    def all_readings(self) -> list[Table]:
        """The readings with the draft, if it has a value."""
        return [*self.readings(), self.draft.row()] if self.draft.value.strip() else self.readings()

    def with_table(self, name: str, **changes: object) -> "State":
        """The state with some keys of a table changed; ``None`` takes a key out."""
        merged = {key: value for key, value in (self.table(name) | changes).items() if value is not None}
        return self.with_data(name, merged)

    def with_data(self, name: str, value: object) -> "State":
        """The state with one entry of the job changed; an empty one is taken out."""
        data = {key: each for key, each in self.data.items() if key != name}
        return replace(self, data=data | {name: value} if value else data)

    def rows_at(self, path: str) -> list[Table]:
        """An array of tables, also one inside a table: ``plate.path``."""
        table, _, name = path.partition(".")
        return _rows(self.table(table).get(name)) if name else self.rows(table)

    def with_rows(self, path: str, rows: list[Table]) -> "State":
        """The state with other rows in an array of tables."""
        table, _, name = path.partition(".")
        return self.with_table(table, **{name: rows or None}) if name else self.with_data(table, rows)

    def with_text(self, key: str, text: str) -> "State":
        """The state with one value of the job written, or taken out where the text is empty."""
        pairs = [pair for pair in flatten(self.data) if pair[0] != key]
        data = {**unflatten([*pairs, (key, text)]), "units": self.unit.value}
        return replace(self, data=data)

    def text(self, key: str) -> str:
        """What is written under a key; empty for nothing."""
        return dict(flatten(self.data)).get(key, "")

    def with_readings(self, rows: list[Table]) -> "State":
        """The state with other readings taken down."""
        return self.with_table("survey", reading=rows or None)


def job_tables(state: State) -> Table:
    """The tables of the job file that the page stands for, in the schema's order.

    The draft counts as a reading; a survey without readings, tables without a value and empty rows at the end
    are left out.
    """
    survey = {key: value for key, value in state.table("survey").items() if key != "reading"}
    readings = state.all_readings()
    data = {"units": state.unit.value, "plate": {}, **state.data}
    data["survey"] = survey | {"reading": readings} if readings else None
    for name, node in job_keys().children.items():
        if isinstance(node, Branch) and node.many:
            data[name] = _without_empty_end(state.rows(name)) or None
    return ordered({"plate": {}, **_said(data)})


def _said(table: Table) -> Table:
    """A table without the tables in it of which nothing is written."""
    kept = {name: _said(value) if isinstance(value, dict) else value for name, value in table.items()}
    return {name: value for name, value in kept.items() if value is not None and value != {}}


def _rows(value: object) -> list[Table]:
    return [row for row in value if isinstance(row, dict)] if isinstance(value, list) else []


def _without_empty_end(rows: list[Table]) -> list[Table]:
    last = max((number for number, row in enumerate(rows, 1) if row), default=0)
    return rows[:last]

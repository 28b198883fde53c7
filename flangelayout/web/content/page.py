"""Everything that stands on the page for one state, computed once."""

from dataclasses import dataclass
from functools import cached_property

from flangelayout.checks import Result, tally
from flangelayout.english.page import PAGE
from flangelayout.english.sentences import sentence
from flangelayout.flange import BoltCircle
from flangelayout.job.shop import NO_SHOP, Shop
from flangelayout.survey.kinds import Kind
from flangelayout.units import Unit
from flangelayout.views.words.findings import finding_text, tally_text
from flangelayout.web.content.field_notes import Note, Trouble, field_key, field_notes, standard_notes, troubles
from flangelayout.web.content.job_of_state import Checked, checked
from flangelayout.web.content.lookup import FoundRows, looked_up
from flangelayout.web.content.pattern import PatternPicture, pattern_picture
from flangelayout.web.content.pictures import Drawn, drawn
from flangelayout.web.content.survey_card import Card, ReadingLine, kind_words, survey_card
from flangelayout.web.content.survey_of_state import StateSurvey, measured
from flangelayout.web.form.address import write_address
from flangelayout.web.form.fields import Field, Sheaf, field_id, label_of, row_tables, setting_tables
from flangelayout.web.form.lengths import decimals, with_unit
from flangelayout.web.form.limits import too_many_to_draw, too_many_to_make
from flangelayout.web.form.state import State, Way

_MOST_CHORDS = 8


@dataclass(frozen=True, slots=True)
class Remark:
    """What a check noticed."""

    css: str
    key: str
    place: str
    text: str

    @property
    def id(self) -> str:
        """The id of its field."""
        return field_id(self.key)


class Page:
    """A state as the templates see it. Parts are computed when they are first asked for."""

    def __init__(self, state: State, focus: str = "", shop: Shop = NO_SHOP, saves: bool = False) -> None:
        """Stand at a state.

        Args:
            state: What stands in the fields.
            focus: The id of what the hand goes to.
            shop: What this shop always writes.
            saves: Whether jobs may be saved in a folder.
        """
        self.state = state
        self.focus = focus
        self._shop = shop
        self._saves = saves

    @cached_property
    def address(self) -> str:
        """Its query."""
        return write_address(self.state)

    @cached_property
    def fields(self) -> Sheaf:
        """Its fields."""
        return Sheaf(self.state)

    @cached_property
    def measured(self) -> StateSurvey:
        """What its readings say."""
        return measured(self.state, self._shop.patterns)

    @cached_property
    def checked(self) -> Checked:
        """Its job."""
        return checked(self.state, self._shop)

    @cached_property
    def troubles(self) -> tuple[Trouble, ...]:
        """What is wrong or missing."""
        return troubles([*self.measured.problems, *self.checked.problems], self.state)

    @cached_property
    def notes(self) -> dict[str, Note]:
        """What stands below its fields, by key."""
        job = self.checked.job
        notes = field_notes(self.troubles, self.state, self.measured.survey, self._shop.patterns)
        told = {remark.key: Note("wrong", remark.text) for remark in self.remarks if remark.css == "warning"}
        told |= standard_notes(job.flange, self.state.show) if job else {}
        wrong = {trouble.key for trouble in self.troubles}
        return notes | {key: note for key, note in told.items() if key not in wrong}

    @cached_property
    def complaints(self) -> frozenset[str]:
        """Keys of the fields that something is wrong with or missing in."""
        failing = (remark.key for remark in self.remarks if remark.css == "warning")
        return frozenset((*(trouble.key for trouble in self.troubles), *failing))

    @cached_property
    def unsound(self) -> str:
        """Why there is no drawing; empty if there is one."""
        if self.checked.job is not None:
            return too_many_to_draw(self.checked.job.flange)
        if all(trouble.missing for trouble in self.troubles):
            needed = ", ".join(trouble.place.lower() for trouble in self.troubles)
            return f"Still to be filled in: {needed}."
        return "The job is not sound yet; what is wrong stands at its field and under the checks."

    @cached_property
    def drawn(self) -> tuple[Drawn, ...]:
        """Its pictures; none if it is not sound or has too many holes."""
        job = self.checked.job
        return () if job is None or self.unsound else drawn(job, self.state.show)

    @cached_property
    def card(self) -> Card | None:
        """What its survey says."""
        survey = self.measured.survey
        return survey_card(survey, self.state.show) if survey else None

    @cached_property
    def readings(self) -> tuple[ReadingLine, ...]:
        """Its readings, with what the circle says to each where one is known."""
        if self.card is not None:
            return self.card.readings
        return ()

    @cached_property
    def pattern(self) -> PatternPicture:
        """The picture that readings are taken on."""
        draft = self.state.draft
        count = self.state.table("survey").get("hole_count")
        picked = (_hole(draft.from_), _hole(draft.to))
        known = count if isinstance(count, int) else None
        taken = len(self.state.readings())
        drafted = len(self.state.all_readings()) > taken
        return pattern_picture(known, self.measured.survey, picked, taken, drafted)

    @cached_property
    def found(self) -> FoundRows:
        """What the tables have for what is looked up."""
        if self.state.way is not Way.STANDARD:
            return FoundRows()
        return looked_up(self.state.find, self.state.show, self._shop.patterns)

    @cached_property
    def remarks(self) -> tuple[Remark, ...]:
        """What the checks of a sound job noticed, what failed first."""
        job = self.checked.job
        if job is None:
            return ()
        return tuple(
            Remark(
                css="warning" if finding.failed else "note",
                key=(key := field_key(finding.place.key, len(self.state.readings()))),
                place=label_of(key),
                text=finding_text(job.flange, finding, job.unit),
            )
            for finding in sorted(job.remarks, key=lambda finding: not finding.failed)
        )

    @property
    def unwritten(self) -> tuple[str, ...]:
        """What a sound job leaves open that a person may have forgotten, and what comes of it."""
        job = self.checked.job
        if job is None:
            return ()
        flange, named = job.flange, self.state.table("job").get("number")
        told = (
            ("no bore: it is a blind", flange.is_blind),
            ("no thickness", flange.thickness is None),
            ("no holes", not flange.holes()),
            (f"no job number: the files are called {job.info.number}", not named),
        )
        return tuple(words for words, so in told if so)

    @property
    def failed(self) -> int:
        """How many checks of a sound job failed."""
        job = self.checked.job
        return 0 if job is None else tally(job.findings).failed

    @property
    def no_files(self) -> str:
        """Why no files can be taken; empty if they can, as far as can be said without making them."""
        job = self.checked.job
        if job is None or self.measured.problems:
            return "The files can be taken as soon as nothing is wrong or missing any more."
        reason = too_many_to_make(job)
        return "" if reason is None else f"{sentence(reason, PAGE)}."

    @property
    def noted(self) -> int:
        """How many notes the checks of a sound job made."""
        return len(self.remarks) - self.failed

    @property
    def title(self) -> str:
        """What its tab and its bookmarks are called."""
        number = self.state.table("job").get("number") or "New job"
        return f"{number} · flangelayout"

    @property
    def saves(self) -> bool:
        """Whether jobs may be saved in a folder."""
        return self._saves

    @property
    def tally(self) -> str:
        """How many checks there were and how they came out; empty for a job that is not sound."""
        job = self.checked.job
        return "" if job is None else tally_text(job.findings)

    @cached_property
    def other_checks(self) -> tuple[str, ...]:
        """Every check that passed, or was not run and why, as the check of the command line lists them."""
        job = self.checked.job
        if job is None:
            return ()
        told = [finding for finding in job.findings if not finding.is_remark]
        told.sort(key=lambda finding: finding.result is Result.PASSED)
        return tuple(f"{each.result.value}: {finding_text(job.flange, each, job.unit)}" for each in told)

    @cached_property
    def chords(self) -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
        """What a caliper should read on the plate, from center to center: the circle, and its spans."""
        job, show = self.checked.job, self.state.show
        circles = job.flange.bolt_circles if job is not None else ()
        return tuple(
            (with_unit(circle.diameter, show), _spans(circle, show))
            for circle in circles
            if circle.equally_spaced and circle.hole_count > 1
        )

    @property
    def row_tables(self) -> dict[str, str]:
        """Arrays of tables beside the bolt circles, with their words."""
        return row_tables()

    @property
    def setting_tables(self) -> tuple[str, ...]:
        """Tables of settings."""
        return setting_tables()

    def numbers(self, table: str) -> range:
        """Numbers of the tables of an array; there is always one bolt circle to fill in."""
        return range(1, max(table == "bolt_circle", len(self.state.rows(table))) + 1)

    @property
    def kinds(self) -> tuple[tuple[str, str, bool], ...]:
        """Every kind of reading."""
        return kind_words()

    def kind_name(self) -> str:
        """The kind of the reading being taken, in words."""
        return next((words for name, words, _ in self.kinds if name == self.state.draft.kind), Kind.CENTERS.value)

    def reading_lines(self) -> list[ReadingLine]:
        """The readings taken down, also where no circle can be made of them."""
        taken = len(self.state.readings())
        if self.readings:
            return list(self.readings[:taken])
        return [_bare(self, number) for number in range(1, taken + 1)]

    def note(self, field: Field) -> Note:
        """What stands below a field: a problem, a help, or its hint."""
        return self.notes.get(field.key, Note("help", field.hint))

    def reading_note(self, number: int) -> Note | None:
        """What is wrong with a reading taken down."""
        return self.notes.get(f"survey.reading.{number}")

    def hidden_readings(self) -> list[tuple[str, str]]:
        """Names and texts of the readings taken down."""
        pairs = [(key, text) for key, text in self.fields.rest() if key.startswith("survey.reading.")]
        self.fields.hide(key for key, _ in pairs)
        return pairs


def _hole(text: str) -> int | None:
    return int(text) if text.isdecimal() and 0 < len(text) < 5 else None


def _bare(page: Page, number: int) -> ReadingLine:
    """A reading as it was written."""
    row = page.state.readings()[number - 1]
    words = {name: text for name, text, _ in page.kinds}
    kind = str(row.get("kind", ""))
    pair = f"holes {row['from']} and {row['to']}" if "from" in row and "to" in row else ""
    return ReadingLine(number, kind, words.get(kind, kind), pair, f"{row.get('value', '')}", "", "", "")


def _spans(circle: BoltCircle, unit: Unit) -> tuple[tuple[str, str], ...]:
    """The chords of the shortest spans and of the widest, in words and numbers."""
    widest = circle.hole_count // 2
    shown = [*range(1, min(widest, _MOST_CHORDS) + 1), *([widest] if widest > _MOST_CHORDS else [])]
    words = {1: "next hole", **({widest: "opposite hole"} if circle.hole_count % 2 == 0 and widest > 1 else {})}
    return tuple((words.get(span, f"{span} holes on"), decimals(circle.chord_across(span), unit)) for span in shown)

"""Everything that stands on the page for one state, computed once."""

from functools import cached_property

from msgspec import Struct

from flangelayout.checks import Finding, Result, tally
from flangelayout.english.page import PAGE
from flangelayout.english.sentences import sentence
from flangelayout.flange.claims import against
from flangelayout.job.shop import NO_SHOP, Shop
from flangelayout.standards import Pattern, find
from flangelayout.survey import Survey
from flangelayout.survey.obstacles import Wanted, obstacles
from flangelayout.value import replace
from flangelayout.views.words.findings import finding_text, tally_text
from flangelayout.views.words.machine import SettingPage
from flangelayout.views.words.origins import difference_words
from flangelayout.web.content.cards import (
    CircleCard,
    FilePart,
    also_held,
    card_rows,
    circle_cards,
    file_parts,
    machine_cards,
    mates,
)
from flangelayout.web.content.circles import BandRule, CircleGroup, circle_groups, possible_circles, rule_of
from flangelayout.web.content.drilled import PartRead, chords_read, part_read
from flangelayout.web.content.field_notes import Note, Trouble, field_notes, standard_notes, troubles
from flangelayout.web.content.files import uncut
from flangelayout.web.content.findings import CheckLine, items_of
from flangelayout.web.content.job_of_state import Checked, checked
from flangelayout.web.content.lookup import FoundRows, looked_up
from flangelayout.web.content.pad import KindTile, asked_after, kind_tiles, picked_words, read_as, within_words
from flangelayout.web.content.picture.compose import FlangePicture, flange_picture
from flangelayout.web.content.picture.pages import DrawnPage, drawn_pages
from flangelayout.web.content.picture.sizes import PictureSizes, Source, sizes_of
from flangelayout.web.content.strip import Strip, flange_strip, measured_strip
from flangelayout.web.content.survey_card import Card, ReadingLine, survey_card
from flangelayout.web.content.survey_of_state import StateSurvey, measured
from flangelayout.web.form.address import write_address
from flangelayout.web.form.fields import Field, Sheaf, label_of
from flangelayout.web.form.groups import KeyGroup, groups_of
from flangelayout.web.form.limits import drawn_when_asked, too_many_to_draw, too_many_to_make
from flangelayout.web.form.state import Picture, Stage, State

_STEPS = (
    (Stage.MEASURE, "Measure"),
    (Stage.DECIDE, "Decide"),
    (Stage.FLANGE, "Flange"),
    (Stage.CHECK, "Check"),
    (Stage.TAKE, "Take"),
    (Stage.DRILLED, "Drilled"),
)
_VIEWS = (
    (Picture.FLANGE, "Picture"),
    (Picture.SHEET, "Sheet"),
    (Picture.TEMPLATE, "Template"),
    (Picture.CUT, "Cut"),
    (Picture.MACHINE, "Machine"),
)


class StageMark(Struct, frozen=True):
    """A step of the way: its name, its words, how far it is, and whether one stands there."""

    name: str
    words: str
    mark: str
    here: bool


class Page:
    """A state as the templates see it. Parts are computed when they are first asked for."""

    views = _VIEWS

    def __init__(self, state: State, focus: str = "", shop: Shop = NO_SHOP) -> None:
        """Stand at a state.

        Args:
            state: What stands in the fields.
            focus: The id of what the hand goes to.
            shop: What this shop always writes.
        """
        self.state = state
        self.focus = focus
        self._shop = shop
        self.issued = ""
        """Digest of the job that was saved under this number and revision; empty for none."""

    @cached_property
    def address(self) -> str:
        """Its query."""
        return write_address(self.state)

    @cached_property
    def fields(self) -> Sheaf:
        """Its fields."""
        return Sheaf(self.state)

    @cached_property
    def groups(self) -> tuple[KeyGroup, ...]:
        """Everything that the job may hold, in groups."""
        return groups_of(self.state, self.fields)

    @cached_property
    def measured(self) -> StateSurvey:
        """What its readings say."""
        return measured(self.state, self._shop.patterns)

    @property
    def survey(self) -> Survey | None:
        """The survey, where there is one."""
        return self.measured.survey

    @cached_property
    def checked(self) -> Checked:
        """Its job."""
        return checked(self.state, self._shop)

    @cached_property
    def troubles(self) -> tuple[Trouble, ...]:
        """What is wrong or missing, but for what a check tells of."""
        told = () if self.checked.flange is not None else self.checked.problems
        return troubles([*self.measured.problems, *told], self.state)

    @cached_property
    def remarks(self) -> tuple[Finding, ...]:
        """The findings of checks that failed, and what is to be noticed."""
        return tuple(finding for finding in self.checked.findings if finding.is_remark)

    @cached_property
    def listed(self) -> tuple[tuple[CheckLine, Finding | None], ...]:
        """What is to fix, to look at and still needed, each with the finding behind it."""
        unit = self.state.unit
        return items_of(self.troubles, self.remarks, self.checked.flange, self.state, unit)

    @property
    def items(self) -> tuple[CheckLine, ...]:
        """What is to fix, to look at and still needed."""
        return tuple(item for item, _ in self.listed)

    @cached_property
    def notes(self) -> dict[str, Note]:
        """What stands below its fields, by key."""
        notes = field_notes(self.troubles, self.state, self.survey, self._shop.patterns)
        told = {item.key: Note("wrong", item.text) for item in self.items if item.css == "fix"}
        flange = self.checked.flange
        told |= standard_notes(flange, self.state.show) if flange else {}
        wrong = {trouble.key for trouble in self.troubles}
        return notes | {key: note for key, note in told.items() if key not in wrong}

    @cached_property
    def sizes(self) -> PictureSizes:
        """What is known of plate and circles; on the way from a name, as the first row found has it."""
        state = self.state
        if state.step is Stage.NAME and (row := self.found_first) is not None:
            state = state.with_data("bolt_circle", [{"standard": row.designation}])
            state = state.with_table("plate", standard=row.designation)
        return sizes_of(state, self.checked.flange, self.survey, self._shop.patterns)

    @cached_property
    def picture(self) -> FlangePicture:
        """The flange with what is written on it."""
        sketched = self.state.step in (Stage.MEASURE, Stage.DECIDE, Stage.NAME)
        flange = None if sketched else self.checked.flange
        chords = chords_read(self.drilled, self.state.show) if self.state.step is Stage.DRILLED else ()
        return flange_picture(self.state, flange, self.sizes, self.survey, self.listed, chords)

    @cached_property
    def strip(self) -> Strip:
        """The answer and its state."""
        show, step = self.state.show, self.state.step
        if step in (Stage.MEASURE, Stage.DECIDE):
            wrong = [_of_reading(each) for each in self.troubles if each.key.startswith(("survey", "n."))]
            problem = wrong[0] if self.measured.problems and self.state.all_readings() and wrong else ""
            return measured_strip(self.survey, problem, show, bool(self.state.draft.value.strip()))
        if step is Stage.DRILLED:
            found = self.drilled
            count = f"{found.read} of {len(found.lines)} read"
            verdict, _, more = found.verdict.partition(":")
            if found.mark == "ok" and found.elsewhere:
                verdict = "Holes A pass"
            return Strip(found.mark, verdict or count, f"{count};{more}" if more else "" if not verdict else count)
        strip = flange_strip(self.sizes, self.differs, self.survey, show)
        if step is Stage.NAME and self.found_first is not None:
            rows = len(self.found.rows) + self.found.more
            said = f"the first of {rows} found; none is used yet" if rows > 1 else "found, not used yet"
            return replace(strip, mark="unknown", more=said, settled=False)
        return strip

    @property
    def differs(self) -> str:
        """In what the first circle is not as the standard that it names, in words."""
        flange = self.checked.flange
        circle = flange.bolt_circles[0] if flange is not None and flange.bolt_circles else None
        stands = against(circle) if circle is not None else None
        if circle is None or stands is None:
            return ""
        return ", ".join(difference_words(circle, each, self.state.show) for each in stands.differences)

    @cached_property
    def card(self) -> Card | None:
        """What its survey says."""
        return survey_card(self.survey, self.state.show) if self.survey else None

    @property
    def circles(self) -> tuple[CircleGroup, ...]:
        """What the readings may be, by circle."""
        return circle_groups(self.survey, self.state.show) if self.survey else ()

    @property
    def one_left(self) -> bool:
        """Whether only one drilling is left, so that it can be used without a doubt."""
        return self.survey is not None and possible_circles(self.survey) == 1 and self.usable

    @property
    def usable(self) -> bool:
        """Whether the readings may be used: they do not contradict each other."""
        return self.survey is not None and not obstacles(self.survey, Wanted.CIRCLE)

    @property
    def rule(self) -> BandRule | None:
        """The band of the readings beside the published circles."""
        return rule_of(self.survey, self.state.show) if self.survey and self.usable else None

    @property
    def tiles(self) -> tuple[KindTile, ...]:
        """Where the jaws may have sat."""
        return kind_tiles(self.state.draft)

    @property
    def picked(self) -> str:
        """What the reading being written is of."""
        return picked_words(self.state.draft)

    @property
    def within(self) -> str:
        """What a reading of its kind is good to."""
        return within_words(self.state.draft, self.state.show)

    @property
    def echo(self) -> str:
        """How what is being written was read, where that is not plain to see."""
        text = self.state.draft.value if self.state.step is Stage.MEASURE else self.state.text(self.state.edit)
        return read_as(text, self.state.unit, self.state.show)

    @cached_property
    def found(self) -> FoundRows:
        """What the tables have for what is looked up."""
        return looked_up(self.state.find, self.state.show, self._shop.patterns)

    @property
    def found_first(self) -> Pattern | None:
        """The row that the picture shows while one looks up."""
        rows = self.found.rows if self.state.find else ()
        return find(rows[0].designation, own=self._shop.patterns) if rows and rows[0].usable else None

    @cached_property
    def drilled(self) -> PartRead:
        """What was read on the finished part."""
        return part_read(self.state, self.checked.job)

    @property
    def part_stands(self) -> str:
        """How the finished part stands, in a few words; empty while nothing is read on it."""
        words = {
            "ok": "holes A pass" if self.drilled.elsewhere else "part passes",
            "fix": "part does not pass",
            "look": "chords contradict",
            "unknown": "part not judged yet",
        }
        return words[self.drilled.mark] if self.state.drilled and not self.drilled.why_not else ""

    @cached_property
    def steps(self) -> tuple[StageMark, ...]:
        """The way, and how far one is on it."""
        marks = {
            Stage.MEASURE: ("ok" if self.usable else "look") if self.survey else "none",
            Stage.DECIDE: "ok" if self.chosen else "none",
            Stage.FLANGE: "ok" if self.checked.job is not None else "none",
            Stage.CHECK: self.worst if self.checked.flange is not None else "none",
            Stage.DRILLED: self.drilled.mark if self.state.drilled else "none",
        }
        here = Stage.FLANGE if self.state.step is Stage.NAME else self.state.step
        return tuple(StageMark(step.value, words, marks.get(step, "none"), step is here) for step, words in _STEPS)

    @property
    def chosen(self) -> bool:
        """Whether the flange has a bolt circle."""
        return bool(self.state.text("bolt_circle.1.diameter") or self.state.text("bolt_circle.1.standard"))

    @property
    def worst(self) -> str:
        """How the checks stand: ``fix``, ``look``, ``ok``, or ``unknown`` where something is still needed."""
        kinds = [item.css for item in self.items]
        return next((css for css in ("fix", "needed", "look") if css in kinds), "ok").replace("needed", "unknown")

    @property
    def to_fix(self) -> int:
        """How many checks failed, or fields are wrong."""
        return sum(item.css == "fix" for item in self.items)

    @property
    def to_look_at(self) -> int:
        """How many notes the checks made."""
        return sum(item.css == "look" for item in self.items)

    @property
    def needed(self) -> int:
        """How much is still to be filled in."""
        return sum(item.css == "needed" for item in self.items)

    @cached_property
    def unsound(self) -> str:
        """Why there is no drawing; empty if there is one."""
        if self.checked.job is not None:
            return too_many_to_draw(self.checked.job.flange)
        if self.troubles and all(trouble.missing for trouble in self.troubles):
            needed = ", ".join(trouble.place.lower() for trouble in self.troubles)
            return f"Still to be filled in: {needed}."
        return "Something is to be fixed first; Check says what."

    @property
    def slow(self) -> str:
        """Why its sheet, template and cut do not follow every change; empty if they do."""
        job = self.checked.job
        return "" if job is None else drawn_when_asked(job.flange)

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

    @cached_property
    def no_files(self) -> str:
        """Why no files can be taken; empty if they can, as far as can be said without making them."""
        job = self.checked.job
        if job is None or self.measured.problems:
            return "The files can be taken as soon as nothing is wrong or missing any more."
        reason = too_many_to_make(job)
        return f"{sentence(reason, PAGE)}." if reason is not None else uncut(job)

    @property
    def other_contents(self) -> bool:
        """Whether this number and revision was saved with other contents."""
        job = self.checked.job
        return bool(self.issued) and job is not None and job.digest != self.issued

    @property
    def number(self) -> str:
        """The job's number; empty where none is written."""
        return str(self.state.table("job").get("number") or "")

    @property
    def revision(self) -> str:
        """Its revision."""
        return str(self.state.table("job").get("revision") or "A")

    @property
    def heading(self) -> str:
        """What the job is called."""
        return str(self.state.table("job").get("title") or "") or self.number or "New flange"

    @property
    def title(self) -> str:
        """What its tab and its bookmarks are called."""
        title = str(self.state.table("job").get("title") or "")
        called = f"{self.number} {self.revision} {title}".strip() if self.number else title
        return f"{called or 'New flange'} · flangelayout"

    @property
    def tally(self) -> str:
        """How many checks there were and how they came out; empty for a job that is not sound."""
        job = self.checked.job
        return "" if job is None else tally_text(job.findings)

    @property
    def failed(self) -> int:
        """How many checks failed."""
        return tally(self.checked.findings).failed

    @cached_property
    def other_checks(self) -> tuple[str, ...]:
        """Every check that passed, or was not run and why, as the check of the command line lists them."""
        flange = self.checked.flange
        if flange is None:
            return ()
        told = [finding for finding in self.checked.findings if not finding.is_remark]
        told.sort(key=lambda finding: finding.result is Result.PASSED)
        return tuple(f"{each.result.value}: {finding_text(flange, each, self.state.unit)}" for each in told)

    @cached_property
    def pages(self) -> tuple[DrawnPage, ...]:
        """The pages that are looked at; none if the job is not sound, has too many holes, or nothing is drawn."""
        job = self.checked.job
        return () if job is None or self.unsound else drawn_pages(job, self.state.picture)

    @property
    def circle_cards(self) -> tuple[CircleCard, ...]:
        """Its bolt circles."""
        return circle_cards(self.sizes, self.checked.flange, self.survey, self.items, self.state.show)

    @property
    def also_held(self) -> tuple[str, ...]:
        """What the flange holds beside the sizes that are listed."""
        return also_held(self.checked.flange, self.state.unit)

    @property
    def mates(self) -> tuple[tuple[str, str], ...]:
        """What is said of the flanges that it bolts to."""
        return mates(self.checked.flange, self.checked.findings, self.state.unit)

    @property
    def parts(self) -> tuple[FilePart, ...]:
        """The three files that the shop wants."""
        return file_parts(self.checked.job)

    @property
    def machine_cards(self) -> tuple[SettingPage, ...]:
        """What is set at the machine."""
        return machine_cards(self.checked.job)

    @property
    def card_rows(self) -> tuple[tuple[str, str, str], ...]:
        """Its sizes for the card that is printed."""
        return card_rows(self.sizes, str(self.state.table("plate").get("material") or ""), self.state.show)

    def filled(self, key: str) -> str:
        """What holds under a key where nothing is written: what a standard or the readings fill in."""
        circles = (size for each in self.sizes.circles for size in (each.diameter, each.hole_count, each.hole_diameter))
        sizes = (self.sizes.outside, self.sizes.bore, self.sizes.thickness, *circles)
        return next((size.text for size in sizes if size.key == key and size.source is not Source.YOURS), "")

    @property
    def after_this(self) -> str:
        """What is asked for after the size that is being written; empty for nothing."""
        later = [size for size in asked_after(self.sizes) if size.key != self.state.edit]
        return f"next: {label_of(later[0].key).partition(',')[0].lower()}" if later else ""

    def reading_lines(self) -> list[ReadingLine]:
        """The readings taken, also where no circle can be made of them."""
        taken = len(self.state.readings())
        if self.card is not None:
            return list(self.card.readings[:taken])
        return [_bare(self, number) for number in range(1, taken + 1)]

    def note(self, field: Field) -> Note:
        """What stands below a field: a problem, a help, or its hint."""
        return self.notes.get(field.key, Note("help", field.hint))


def _of_reading(trouble: Trouble) -> str:
    """What is wrong with a reading, where no field stands beside it."""
    key, _, number = trouble.key.rpartition(".")
    name = "This reading" if key == "n" else f"Reading {number}" if key == "survey.reading" else ""
    return f"{name}: {trouble.text}" if name else trouble.text


def _bare(page: Page, number: int) -> ReadingLine:
    """A reading as it was written."""
    row = page.state.readings()[number - 1]
    kind = str(row.get("kind", ""))
    pair = f"holes {row['from']} and {row['to']}" if "from" in row and "to" in row else ""
    return ReadingLine(number, kind, kind.replace("-", " "), pair, f"{row.get('value', '')}", "", "")

"""The finished part, read chord by chord with the caliper: what each should be, what was read, what that says."""

from dataclasses import dataclass, replace

from flangelayout.english.page import PAGE
from flangelayout.english.sentences import lines_of
from flangelayout.errors import FlangeLayoutError
from flangelayout.flange import BoltCircle, Flange
from flangelayout.job import Job
from flangelayout.survey.kinds import Kind
from flangelayout.survey.readings import Reading
from flangelayout.units import Unit, decimal_text, parse_length
from flangelayout.views.words.inspection import hole_line, mate_lines, size_line, verdict_text
from flangelayout.web.form.lengths import signed
from flangelayout.web.form.state import State

MOST_HOLES = 60


@dataclass(frozen=True, slots=True)
class ChordLine:
    """One chord: its holes, what it should be, what was read (as typed), how far off, and whether that is too far.

    ``out`` is ``None`` where nothing was read or no limit is written.
    """

    pair: str
    words: str
    should: str
    text: str
    off: str
    out: bool | None
    wrong: str = ""


@dataclass(frozen=True, slots=True)
class PartRead:
    """All chords of the first bolt circle, and what they say together.

    Attributes:
        neighbors: From each hole to the next.
        across: From each hole over one, as many as fix the places.
        read: How many were read.
        needed: How many fix every hole.
        limit: What a chord may be off, in words; empty where no limit is written or published.
        verdict: What is said of the part; empty before enough is read.
        lines: The rest of it.
        outside: Chords outside their limit, in words.
        why_not: Why there are no chords to read; empty where there are.
    """

    neighbors: tuple[ChordLine, ...] = ()
    across: tuple[ChordLine, ...] = ()
    read: int = 0
    needed: int = 0
    limit: str = ""
    verdict: str = ""
    lines: tuple[str, ...] = ()
    outside: tuple[str, ...] = ()
    why_not: str = ""

    @property
    def following(self) -> str:
        """The pair to read next; empty where all are read."""
        return next((line.pair for line in (*self.neighbors, *self.across) if not line.off), "")


def drilled(state: State, job: Job | None) -> PartRead:
    """What was read on the part against the job."""
    if job is None:
        return PartRead(why_not="The flange is not all there yet: a part can be held only against a drawing.")
    circle = next(iter(job.flange.bolt_circles), None)
    if circle is None or circle.skipped or not 3 <= circle.hole_count <= MOST_HOLES:
        return PartRead(
            why_not=f"Chords are read on a bolt circle of 3 to {MOST_HOLES} holes; use: flangelayout inspect"
        )
    texts, show = dict(state.drilled), state.show
    held = job.inspection.group(0)
    limit = held.chord.value if held.chord else None
    count = circle.hole_count
    pairs = [(n, n % count + 1) for n in range(1, count + 1)]
    over = [(n, (n + 1) % count + 1) for n in range(1, count - 2)] if count > 3 else []
    lines = {
        (a, b): _line(
            circle, (a, b), texts.get(f"{a}-{b}", ""), limit if (a, b) in pairs or held.any_chord else None, show
        )
        for a, b in (*pairs, *over)
    }
    every = tuple(lines.values())
    read = sum(bool(line.off) for line in every)
    verdict, more = _judged(job, every, show) if read >= len(every) else ("", ())
    return PartRead(
        neighbors=tuple(lines[pair] for pair in pairs),
        across=tuple(lines[pair] for pair in over),
        read=read,
        needed=len(every),
        limit=""
        if held.chord is None
        else f"± {decimal_text(held.chord.value, show)} {show.value}, {held.chord.source}",
        verdict=verdict,
        lines=more,
        outside=tuple(line.words for line in every if line.out),
    )


def chords_read(state: State, found: PartRead) -> tuple[tuple[Reading, bool], ...]:
    """The chords that were read, for the picture, and whether each is outside its limit."""
    told = []
    for line in (*found.neighbors, *found.across):
        if line.off:
            first, second = (int(part) for part in line.pair.split("-"))
            value = parse_length(line.text, state.show)
            told.append((Reading(Kind.CENTERS, value, first, second), bool(line.out)))
    return tuple(told)


def _line(circle: BoltCircle, pair: tuple[int, int], text: str, limit: float | None, show: Unit) -> ChordLine:
    """A chord between two holes by number, and what was read of it."""
    key, words = f"{pair[0]}-{pair[1]}", f"{pair[0]}–{pair[1]}"
    centers = circle.hole_centers()
    should = centers[pair[0] - 1].distance_to(centers[pair[1] - 1])
    told = decimal_text(should, show)
    if not text:
        return ChordLine(key, words, told, "", "", None)
    try:
        off = parse_length(text, show) - should
    except (FlangeLayoutError, OverflowError):
        return ChordLine(key, words, told, text, "", None, "not a length")
    return ChordLine(key, words, told, text, signed(off, show), None if limit is None else abs(off) > limit + 1e-9)


def _judged(job: Job, lines: tuple[ChordLine, ...], show: Unit) -> tuple[str, tuple[str, ...]]:
    """What all chords together say of the part, in the words of the inspection."""
    from flangelayout.checks.inspection.inspect import inspect_part
    from flangelayout.checks.inspection.measured_file import parse_positions

    rows = (f'centers,"{line.text}",{line.pair.replace("-", ",")}' for line in lines)
    flange = _first_circle_alone(job.flange)
    try:
        measured = parse_positions("\n".join(["kind,value,from,to", *rows]), flange, show)
        found = inspect_part(flange, measured.holes, job.inspection, measured.bore)
    except FlangeLayoutError as refused:
        return "The chords do not fit together", lines_of(refused, PAGE)
    told = [size_line(each, show) for each in (*found.circles, *found.chords) if each.passed is not None]
    told += [hole_line(each, show) for each in found.holes if each.passed is False]
    told += [line for mate in found.mates for line in mate_lines(mate, show)]
    if measured.misfit is not None:
        told.append(f"the chords contradict each other by {decimal_text(measured.misfit, show)} {show.value}")
    return verdict_text(found), tuple(" ".join(line.split()) for line in told)


def _first_circle_alone(flange: Flange) -> Flange:
    """The plate with its first bolt circle only: what the chords are read on."""
    alone = len(flange.bolt_circles) == 1 and not flange.patterns and not flange.single_holes
    return flange if alone else replace(flange, bolt_circles=flange.bolt_circles[:1], patterns=(), single_holes=())

"""The finished part, read chord by chord with the caliper: what each should be, what was read, what that says."""

from collections.abc import Sequence

from msgspec import Struct

from flangelayout.errors import FlangeLayoutError
from flangelayout.flange import Flange, Hole
from flangelayout.job import Job
from flangelayout.survey.kinds import Kind
from flangelayout.survey.readings import Reading
from flangelayout.units import Unit, decimal_text, parse_length
from flangelayout.value import replace
from flangelayout.web.form.lengths import signed
from flangelayout.web.form.state import State

MOST_HOLES = 60
_READ = Kind.SAME_EDGES
"""From one edge of a hole to the same edge of the next: the distance of centers, with no center to find."""


class ChordLine(Struct, frozen=True):
    """One chord: its holes, what it should be, what was read (as typed), how far off, and whether that is too far.

    ``out`` is ``None`` where nothing was read, no limit is written or the reading leaves it open.
    """

    pair: str
    words: str
    should: str
    text: str
    off: str = ""
    out: bool | None = None
    wrong: str = ""


class PartRead(Struct, frozen=True):
    """All chords of the first bolt circle, and what they say together.

    Attributes:
        lines: The chords in the order to read them.
        verdict: How the part stands, as far as the chords determine it; empty while nothing is read.
        mark: ``ok``, ``look``, ``fix`` or ``unknown``, as the part stands.
        told: The rest of it.
        next_pair: The chord of this circle that narrows most of what is open; empty where none would.
        elsewhere: What holes the plate has that are not read here, in words; empty where it has none.
        why_not: Why there are no chords to read; empty where there are.
    """

    lines: tuple[ChordLine, ...] = ()
    verdict: str = ""
    mark: str = "unknown"
    told: tuple[str, ...] = ()
    next_pair: str = ""
    elsewhere: str = ""
    why_not: str = ""

    @property
    def next_words(self) -> str:
        """The labels of the holes of that chord."""
        return next((line.words for line in self.lines if line.pair == self.next_pair), "")

    @property
    def read(self) -> int:
        """How many were read."""
        return sum(bool(line.off) for line in self.lines)


def part_read(state: State, job: Job | None) -> PartRead:
    """What was read on the part against the job, judged as far as it goes."""
    if job is None:
        return PartRead(why_not="The flange is not all there yet: a part can be held only against a drawing.")
    circle = next(iter(job.flange.bolt_circles), None)
    if circle is None or not 2 < len(circle.hole_numbers()) <= MOST_HOLES:
        return PartRead(why_not=f"Chords are read on a bolt circle of 3 to {MOST_HOLES} holes.")
    from flangelayout.checks.inspection.wanted import measuring_order

    texts, show = dict(state.drilled), state.show
    pairs = [*measuring_order(job.flange, 0)]
    pairs += [pair for key in texts if (pair := _pair_of(job.flange, key)) and pair not in pairs]
    plain = [_line(one, other, texts.get(f"{one.number}-{other.number}", ""), show) for one, other in pairs]
    readings = _readings(job.flange, plain, show)
    found = _judged(job, plain, readings, show) if readings else PartRead(tuple(plain))
    return replace(found, elsewhere=_elsewhere(job.flange))


def _elsewhere(flange: Flange) -> str:
    """That the plate has holes beyond those of its first circle, and how they are held against the drawing."""
    names = [flange.group_letter(group) for group in range(1, len(flange.groups()))]
    names += ["X"] if flange.single_holes else []
    if not names:
        return ""
    others = " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))
    return f"Only holes A are read here, holes {others} are not: read them by the form of flangelayout inspect."


def chords_read(found: PartRead, show: Unit) -> tuple[tuple[Reading, bool], ...]:
    """The chords that were read, for the picture, and whether each is outside its limit."""
    told = []
    for line in found.lines:
        if line.off:
            first, second = (int(part) for part in line.pair.split("-"))
            told.append((Reading(_READ, parse_length(line.text, show), first, second), bool(line.out)))
    return tuple(told)


def _pair_of(flange: Flange, key: str) -> tuple[Hole, Hole] | None:
    """The holes of a pair of the first circle, the lower number first; ``None`` where it has no such holes."""
    by_number = {hole.number: hole for hole in flange.holes() if hole.group == 0}
    one, other = (by_number.get(int(part)) for part in key.split("-"))
    return (one, other) if one is not None and other is not None and one is not other else None


def _line(one: Hole, other: Hole, text: str, show: Unit) -> ChordLine:
    key, words = f"{one.number}-{other.number}", f"{one.label}–{other.label}"
    should = one.center.distance_to(other.center)
    told = decimal_text(should, show)
    if not text:
        return ChordLine(key, words, told, "")
    try:
        value = parse_length(text, show)
    except (FlangeLayoutError, OverflowError):
        return ChordLine(key, words, told, text, wrong="not a length")
    if value <= 0:
        return ChordLine(key, words, told, text, wrong="not above 0")
    return ChordLine(key, words, told, text, signed(value - should, show))


def _readings(flange: Flange, lines: Sequence[ChordLine], show: Unit) -> tuple[Reading, ...]:
    """The chords as readings whose holes are counted through the whole drawing."""
    counted = {hole.number: place for place, hole in enumerate(flange.holes(), 1) if hole.group == 0}
    told = []
    for line in lines:
        if line.off:
            first, second = (counted[int(part)] for part in line.pair.split("-"))
            told.append(Reading(_READ, parse_length(line.text, show), first, second, unit=show))
    return tuple(told)


def _judged(job: Job, plain: Sequence[ChordLine], readings: tuple[Reading, ...], show: Unit) -> PartRead:
    """How the part stands, and each chord, by the rule that a limit is kept only where every allowed part keeps it."""
    from flangelayout.checks.inspection.caliper import inspect_by_caliper
    from flangelayout.checks.inspection.caliper_results import CaliperVerdict, Standing
    from flangelayout.views.words.parts.caliper import caliper_lines

    found = inspect_by_caliper(job.flange, readings, job.inspection)
    outs = {Standing.KEPT: False, Standing.BROKEN: True, Standing.OPEN: None}
    judged = iter(found.readings)
    lines = []
    for line in plain:
        limit = next(judged).limit if line.off else None
        out = outs[limit.standing] if limit is not None else None
        lines.append(ChordLine(line.pair, line.words, line.should, line.text, line.off, out, line.wrong))
    marks = {
        CaliperVerdict.PASS: "ok",
        CaliperVerdict.FAIL: "fix",
        CaliperVerdict.CONTRADICTORY: "look",
        CaliperVerdict.OPEN: "unknown",
        CaliperVerdict.UNJUDGED: "unknown",
    }
    verdict, *told = (" ".join(each.split()) for each in caliper_lines(found, show))
    wanted = found.wanted.labels if found.wanted is not None else ()
    by_label = {hole.label: str(hole.number) for hole in job.flange.holes() if hole.group == 0}
    numbers = [by_label[label] for label in wanted if label in by_label]
    following = "-".join(numbers) if len(numbers) == len(wanted) == 2 else ""
    if following and following not in {line.pair for line in lines} and (pair := _pair_of(job.flange, following)):
        lines.append(_line(*pair, "", show))
    mark = marks[found.verdict]
    if found.verdict in (CaliperVerdict.PASS, CaliperVerdict.OPEN):
        mark = "ok" if found.is_usable else "look" if found.out else mark
        mark = "fix" if found.are_bolts_stopped else mark
    return PartRead(tuple(lines), verdict, mark, tuple(told[len(readings) :]), following)

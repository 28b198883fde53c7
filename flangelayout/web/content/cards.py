"""Circles, mates, files and machine tables as they are listed beside the picture."""

from msgspec import Struct

from flangelayout.checks import Finding
from flangelayout.checks.facts import MateBolts
from flangelayout.checks.finding import Result
from flangelayout.checks.rule import Rule
from flangelayout.flange import Flange
from flangelayout.flange.claims import against
from flangelayout.flange.cutting import MachineFile
from flangelayout.job import Job
from flangelayout.packet.job import cut_estimate
from flangelayout.survey import Survey
from flangelayout.units import Unit, counted, size_text
from flangelayout.views.words.findings import finding_text
from flangelayout.views.words.joint.turned import machining_lines
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.machine import SettingPage, setting_pages
from flangelayout.views.words.origins import difference_words
from flangelayout.web.content.circles import possible_circles
from flangelayout.web.content.findings import CheckLine, Press
from flangelayout.web.content.picture.sizes import CircleSizes, PictureSizes, Size, Source
from flangelayout.web.form.limits import takes_long

_MATES = (Rule.MATE_BOLTS, Rule.MATE_RIM, Rule.MATE_SPIGOT)
_SAID = {
    Source.YOURS: "written",
    Source.STANDARD: "from the standard",
    Source.READINGS: "from the readings",
    Source.ASKS: "not known",
}


class CircleCard(Struct, frozen=True):
    """A bolt circle beside the picture.

    Attributes:
        number: From 1.
        heading: What it is called.
        about: What it is, in a few words.
        designation: The standard it names; empty for none.
        css: ``differing`` or ``picked``; empty where it is as published.
        differs: In what it is not as the standard.
        picked: Between how many it was picked; empty where it was the only one.
        cures: What puts a difference right, or keeps it.
        sizes: Its sizes with what each is called.
    """

    number: int
    heading: str
    about: str
    designation: str
    css: str
    differs: str
    picked: str
    cures: tuple[Press, ...]
    sizes: tuple[tuple[Size, str], ...]


class FilePart(Struct, frozen=True):
    """One of the three files that the shop wants."""

    name: str
    words: str
    about: str
    strong: str = ""


def circle_cards(
    sizes: PictureSizes, flange: Flange | None, survey: Survey | None, lines: tuple[CheckLine, ...], unit: Unit
) -> tuple[CircleCard, ...]:
    """Every bolt circle, with what it is not as the standard that it names."""
    return tuple(_card(circle, len(sizes.circles) > 1, flange, survey, lines, unit) for circle in sizes.circles)


def _card(
    circle: CircleSizes,
    lettered: bool,
    flange: Flange | None,
    survey: Survey | None,
    lines: tuple[CheckLine, ...],
    unit: Unit,
) -> CircleCard:
    made = flange.bolt_circles if flange is not None else ()
    stands = against(made[circle.number - 1]) if circle.number <= len(made) else None
    differs = ""
    if stands is not None:
        differs = ", ".join(difference_words(made[circle.number - 1], each, unit) for each in stands.unmeant)
    picked = _picked(circle, survey) if circle.number == 1 else ""
    own = f"bolt_circle.{circle.number}."
    cures = [cure for line in lines for cure in line.cures if own in cure.do] if differs else []
    named = [
        circle.hole_count.text and f"{circle.hole_count.text} holes",
        circle.diameter.text and f"on {circle.diameter.text}",
    ]
    return CircleCard(
        number=circle.number,
        heading=f"Circle {chr(64 + circle.number)}" if lettered else "Bolt circle",
        about=" ".join(each for each in named if each),
        designation=circle.standard.designation if circle.standard else "",
        css="differing" if differs else "picked" if picked else "",
        differs=differs,
        picked=picked,
        cures=tuple(cures),
        sizes=(
            (circle.diameter, "circle"),
            (circle.hole_count, "holes"),
            (circle.hole_diameter, "thread" if circle.threaded else "hole"),
        ),
    )


def _picked(circle: CircleSizes, survey: Survey | None) -> str:
    """That the readings could not tell the row from others; empty where they could, or say nothing of it."""
    if survey is None or circle.standard is None:
        return ""
    among = possible_circles(survey)
    chosen = any(tie.pattern.designation == circle.standard.designation for tie in survey.ties)
    return f"picked: the readings fit {among} bolt circles" if chosen and among > 1 else ""


def mates(flange: Flange | None, findings: tuple[Finding, ...], unit: Unit) -> tuple[tuple[str, str], ...]:
    """What the checks say of the mates that the job names: how each stands, and the sentence.

    A circle that names none is checked against the row it is drilled to; here that would speak of a mate nobody named.
    """
    if flange is None:
        return ()
    named = {mate.group for mate in flange.mates}
    named |= {at for at, circle in enumerate(flange.bolt_circles) if circle.drilling.mates_with.strip()}
    marks = {Result.PASSED: "ok", Result.FAILED: "fix", Result.NOTED: "look", Result.NOT_RUN: "unknown"}
    judged = [each for each in findings if each.rule in _MATES and each.reason is None]
    told = [each for each in judged if each.place.group in named]
    return tuple((marks[each.result], f"{_held_against(each)}{finding_text(flange, each, unit)}") for each in told)


def _held_against(finding: Finding) -> str:
    """The row that stands for the mate: free text names a part, and the bolts are held against the circle's own row."""
    facts = finding.facts
    return f"{facts.designation}, " if isinstance(facts, MateBolts) and facts.designation else ""


def file_parts(job: Job | None) -> tuple[FilePart, ...]:
    """Cut file, template and sheet of a job."""
    if job is None:
        return ()
    flange, unit = job.flange, job.unit
    many = "" if takes_long(job) else f", {cut_estimate(job).pierces} contours"
    plate = f", for {size_text(flange.thickness, unit)} plate" if flange.thickness is not None else ""
    printer = f", for the printer {job.template.printer}" if job.template.printer else ""
    return (
        FilePart("cut", "Cut file", f"DXF in {job.cut.unit.value}{many}{plate}"),
        FilePart(
            "template",
            "Template",
            f"PDF on {job.template.paper}{printer}.{_of_the_back(flange)}",
            "Print at 100 %, then measure the bars on it.",
        ),
        FilePart("sheet", "Sheet", "PDF with every dimension; it opens here again."),
    )


def _of_the_back(flange: Flange) -> str:
    """Where the template of holes is that are blind from the back."""
    if not flange.hidden_holes():
        return ""
    both = " The holes of the back have one of their own, in the packet."
    return both if flange.shown_holes() else " It is that of the back: every hole is blind from there."


def also_held(flange: Flange | None, unit: Unit) -> tuple[str, ...]:
    """What a flange holds that is not among the sizes beside the picture: what is turned, other holes, openings."""
    if flange is None:
        return ()
    others = len(flange.holes()) - sum(len(circle.hole_numbers()) for circle in flange.bolt_circles)
    openings = len(flange.cutouts()) - (flange.bore is not None)
    told = (counted(others, "more hole"), counted(openings, "opening"))
    kept = (words for words, count in zip(told, (others, openings), strict=True) if count > 0)
    return (*machining_lines(flange, Lengths(unit)), *kept)


def machine_cards(job: Job | None) -> tuple[SettingPage, ...]:
    """What is set at readout, dividing head and rotary table, as the pages to work from say it."""
    if job is None:
        return ()
    settings, kinds = job.machine, (MachineFile.READOUT, MachineFile.DIVIDING, MachineFile.ROTARY)
    about = settings.head, settings.table_ratio, settings.drilling
    return tuple(page for kind in kinds for page in setting_pages(job.flange, kind, *about))


def card_rows(sizes: PictureSizes, material: str, unit: Unit) -> tuple[tuple[str, str, str], ...]:
    """Every size for the card that is printed: what it is, the size, and who says so."""
    plate = (("Outside diameter", sizes.outside), ("Bore", sizes.bore), ("Thickness", sizes.thickness))
    rows = [(name, f"{size.text} {unit.value}" if size.text else "–", _SAID[size.source]) for name, size in plate]
    for circle in sizes.circles:
        lead = f"Circle {circle.number}: " if len(sizes.circles) > 1 else ""
        said = f"from {circle.standard.designation}" if circle.standard else ""
        for name, size in (("circle", circle.diameter), ("holes", circle.hole_count), ("hole", circle.hole_diameter)):
            bare = size is circle.hole_count or (circle.threaded and size is circle.hole_diameter)
            text = size.text if bare else f"{size.text} {unit.value}"
            source = said if size.source is Source.STANDARD else _SAID[size.source]
            rows.append((f"{lead}{name}", text if size.text else "–", source))
    return (*rows, ("Material", material or "–", "written" if material else "not known"))

"""The answer and its state, in the strip that stays in view."""

from msgspec import Struct

from flangelayout.survey import Survey
from flangelayout.survey.obstacles import Wanted, obstacles
from flangelayout.survey.readings import place_text
from flangelayout.units import Unit, decimal_text
from flangelayout.web.content.circles import is_settled, possible_circles
from flangelayout.web.content.picture.sizes import PictureSizes


class Strip(Struct, frozen=True):
    """What the strip says.

    Attributes:
        mark: ``ok``, ``look``, ``fix``, ``unknown``.
        words: The state.
        more: A line below it.
        value: The number; empty where none is earned.
        band: How far it may be off, with the unit.
        settled: Whether it is underlined twice.
    """

    mark: str
    words: str
    more: str = ""
    value: str = ""
    band: str = ""
    settled: bool = False


def measured_strip(survey: Survey | None, problem: str, unit: Unit, writing: bool) -> Strip:
    """What the readings say so far.

    Args:
        survey: Of the readings; ``None`` where there is none yet.
        problem: Why there is none although something was read.
        unit: Of the numbers.
        writing: Whether the reading being written is one of them.
    """
    if survey is None:
        return (
            Strip("look", problem[:1].upper() + problem[1:])
            if problem
            else Strip("unknown", "No reading yet", "pick two holes, write what you read")
        )
    if obstacles(survey, Wanted.CIRCLE):
        return _blocked(survey)
    value = decimal_text(survey.diameter, unit, 1 if unit is Unit.MM else 3)
    band = "" if survey.expanded_uncertainty is None else _band(survey.expanded_uncertainty, unit)
    if is_settled(survey):
        row = survey.ties[0].pattern
        more = len(survey.ties) - 1
        alike = f"and {more} more with this drilling" if more else "the only one that fits"
        return Strip("ok", row.designation, alike, value, band, settled=True)
    count = possible_circles(survey)
    told = (
        "no published circle fits" if not count else f"{count} bolt circles fit" if count > 1 else "1 circle comes near"
    )
    if survey.scale_unchecked and not writing:
        more_words = "a caliper across two holes makes it surer"
    elif survey.next_reading is not None:
        more_words = "with this reading; one more tells" if writing else "one more reading tells"
    else:
        more_words = "with this reading" if writing else "no further reading would tell"
    return Strip("look" if count > 1 else "unknown", told, more_words, value, band)


def _blocked(survey: Survey) -> Strip:
    """Readings that contradict each other name no circle."""
    if survey.suspects:
        reading = survey.readings[survey.suspects[0].readings[0]]
        place = place_text(reading)
        said = f"One reading does not fit: {place}" if place else "One reading does not fit"
    elif survey.other_unit is not None:
        said = f"Read in {survey.other_unit.unit.value}?"
    else:
        said = "The readings disagree"
    return Strip("look", said, "No circle is named until they agree.")


def flange_strip(sizes: PictureSizes, differs: str, survey: Survey | None, unit: Unit) -> Strip:
    """What the first bolt circle is, and what it is as.

    Args:
        sizes: What is known.
        differs: In what it is not as the standard it names; empty if in nothing.
        survey: What the readings say.
        unit: Of the numbers.
    """
    circle = sizes.circles[0]
    if circle.diameter.value is None:
        return Strip("unknown", "No circle chosen", "write its size, look it up or measure")
    read = ""
    if survey is not None and survey.band_holds and survey.expanded_uncertainty is not None:
        value = decimal_text(survey.diameter, unit, 1 if unit is Unit.MM else 3)
        read = f"readings {value} {_band(survey.expanded_uncertainty, unit)}"
    elif survey is not None:
        read = "the readings disagree"
    value, band = circle.diameter.text, unit.value
    if circle.standard is None:
        count = f"{circle.hole_count.text or '?'} holes"
        return Strip("ok" if circle.hole_count.text else "unknown", f"{count}, your numbers", read, value, band, True)
    more = f"differs: {differs}" if differs else read or "as published"
    return Strip("look" if differs else "ok", circle.standard.designation, more, value, band, settled=not differs)


def _band(band: float, unit: Unit) -> str:
    return f"± {decimal_text(band, unit, 1 if unit is Unit.MM else 3)} {unit.value}"

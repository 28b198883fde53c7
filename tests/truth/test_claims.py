"""What screen, sheet, check and page say of random jobs, held against what is so: nothing false, nothing missing."""

import html
import os
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from flangelayout import load_job
from flangelayout.packet.job import layout_pages
from flangelayout.web.form.address import write_address
from flangelayout.web.form.state import State
from flangelayout.writers.pdf import write_pdf
from readers import pdf_pages_text
from truth.outside import Ran, claims_match, command, denies_match, job_file, points_at, says
from truth.scenarios import Scenario, scenario
from web.served import Client, client

BAND = re.compile(r"(\d+\.\d+)(?: mm)? ± (\d+\.\d+)")
FEW = 2


@dataclass(frozen=True, slots=True)
class Told:
    """Everything that was said of one job."""

    drawn: Ran
    sheet: str
    check: Ran
    document: Any
    page: str

    @property
    def is_drawn(self) -> bool:
        """Whether files were written: to cut from, or, with exit code 1, to look at what failed."""
        return bool(self.drawn.files) or "wrote" in self.drawn.out

    def failed(self, *rules: str) -> bool:
        """Whether a check of one of these names failed."""
        return any(each["rule"] in rules and each["fails"] for each in self.document["findings"])


@pytest.fixture(scope="module")
def browser() -> Iterator[Client]:
    """The page, asked in this process."""
    with client() as asking:
        yield asking


def told_of(case: Scenario, folder: Path, browser: Client) -> Told:
    path = job_file(folder, case.text)
    drawn = command(folder, "draw", path, "--only", "holes", "--force")
    sheet = pdf_pages_text(write_pdf(layout_pages(load_job(path)))) if "wrote" in drawn.out else ""
    asked = command(folder, "check", path, "--json")
    document = asked.document if asked.out else {"findings": [], "checks": {}}
    address = write_address(State(data=tomllib.loads(case.text)))
    screens = [browser.get(f"/?{address}&step={step}").text for step in ("measure", "decide", "flange", "check")]
    return Told(drawn, sheet, command(folder, "check", path), document, " ".join(_words(screen) for screen in screens))


def _words(page: str) -> str:
    """What a person reads on the page: no pictures, no marks."""
    text = re.sub(r"<svg.*?</svg>", " ", page, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


def named(text: str, designation: str) -> bool:
    """Whether each part of a designation stands in a text, however it is spaced."""
    flat = text.replace(" ", "").lower()
    return all(part.lower() in flat for part in designation.replace("PN ", "PN").replace("NPS ", "NPS").split(" "))


def judge_standard(case: Scenario, told: Told) -> Iterator[str]:
    everywhere = {"screen": told.drawn.said, "sheet": told.sheet, "page": told.page, "check": told.check.out}
    if case.row is None or case.same_as_row:
        yield from (f"{place} says NOT AS" for place, text in everywhere.items() if denies_match(text))
        if told.failed("as-standard"):
            yield "check fails for a difference that is none"
    if case.row is None or not case.same_as_row:
        yield from (f"{place} claims a match" for place, text in everywhere.items() if claims_match(text))
    if (
        case.row is not None
        and case.same_as_row
        and not (claims_match(told.sheet) and named(told.sheet, case.row.designation))
    ):
        yield "the sheet does not say what it is drilled to match"
    if case.row is not None and not case.same_as_row:
        yield from (f"{place} does not say NOT AS" for place, text in everywhere.items() if not denies_match(text))
        for pair in case.differences:
            yield from (f"{place} lacks {pair}" for place, text in everywhere.items() if not _shows(text, *pair))
        if told.check.code != 1:
            yield "check passes"


def _shows(text: str, *figures: float) -> bool:
    """Whether each figure stands in a text, as a number of two decimals at most."""
    numbers = [float(number) for number in re.findall(r"\d+(?:\.\d+)?", text)]
    return all(any(abs(number - figure) < 0.0051 for number in numbers) for figure in figures)


def judge_note(case: Scenario, told: Told) -> Iterator[str]:
    if case.row is not None and "count the holes" in case.row.note:
        for place, text in {"screen": told.drawn.said, "sheet": told.sheet, "check": told.check.out}.items():
            if "count the holes" not in text:
                yield f"{place} lacks the row's note"


def judge_bolt(case: Scenario, told: Told) -> Iterator[str]:
    if case.bolt_enters is False:
        if not told.failed("bolt-in-hole"):
            yield "no check fails for a bolt larger than its hole"
        if f"bolt {case.bolt} X" in told.sheet:
            yield "the sheet orders bolts that do not go through"
        yield from (f"{place} does not name {case.bolt}" for place, text in _all(told) if case.bolt not in text.upper())
    if case.bolt_enters and told.failed("bolt-in-hole"):
        yield "a bolt that goes through fails"
    if case.hole_covered is False and not told.failed("hole-covered", "bolt-in-hole"):
        yield "no check fails for a hole wider than its nut"
    if case.hole_covered and told.failed("hole-covered"):
        yield "a hole of the bolt's own series fails"
    if case.mate_passes is not None and told.failed("mate-bolts") is case.mate_passes:
        yield f"bolts {'pass' if case.mate_passes else 'do not pass'} the mate, and check says otherwise"


def _all(told: Told) -> Iterator[tuple[str, str]]:
    yield "screen", told.drawn.said
    yield "page", told.page
    yield "check", told.check.out


def judge_seat(case: Scenario, told: Told) -> Iterator[str]:
    if case.in_plate is None:
        return
    if told.document["findings"] and told.failed("depth-in-plate") is case.in_plate:
        yield f"seat in the plate: {case.in_plate}, and check says otherwise"
    if not case.in_plate and told.check.code not in (1, 2):
        yield "check passes a seat deeper than its plate"


def judge_counts(case: Scenario, told: Told) -> Iterator[str]:
    if told.check.code == 2 or not told.document.get("checks"):
        return
    results = [each["result"] for each in told.document["findings"]]
    count = {
        name: results.count(word) for name, word in (("passed", "passed"), ("failed", "failed"), ("not_run", "not run"))
    }
    said = {name: told.document.get("checks")[name] for name in count}
    if said != count:
        yield f"counts {said} of a list of {count}"
    head = told.check.out.splitlines()[0]
    if not says(head, *(str(number) for number in count.values())):
        yield f"{head} of a list of {count}"
    lines = told.check.out.splitlines()[1:]
    if sum(line.startswith("  failed") for line in lines) != count["failed"]:
        yield "not every failed check has its line"
    if (told.check.code == 1) is not (count["failed"] > 0) or told.document["passes"] is (count["failed"] > 0):
        yield f"exit code {told.check.code} with {count['failed']} failed"
    if count["failed"] and (
        not re.search(r"\b(failed|wrong|to fix)\b", told.page, re.IGNORECASE) or re.search(r"\bSound\b", told.page)
    ):
        yield "the page does not say that a check failed"


def judge_drawing(case: Scenario, told: Told) -> Iterator[str]:
    if told.is_drawn and told.drawn.code != int(told.document["checks"]["failed"] > 0):
        yield f"drawn with exit code {told.drawn.code}, and {told.document['checks']['failed']} checks failed"
    if case.stops is True and (told.drawn.code != 1 or told.is_drawn):
        yield f"drawn with exit code {told.drawn.code}, and must not be"
    if case.stops is False and not told.is_drawn:
        yield f"stopped without cause: {told.drawn.err}"
    if case.wrong_reading and not points_at(told.drawn.err, case.text, case.wrong_reading):
        yield f"the misread {case.wrong_reading} is not named: {told.drawn.err}"


def judge_band(case: Scenario, told: Told) -> Iterator[str]:
    if case.true_circle is None:
        return
    found = {}
    for place, text in (("screen", told.drawn.said), ("sheet", told.sheet), ("page", told.page)):
        pairs = [(float(a), float(b), f"{a} ± {b}") for a, b in BAND.findall(text)]
        near = [pair for pair in pairs if abs(pair[0] - case.true_circle) < 0.1 * case.true_circle]
        yield from (
            f"{place}: {said} is not so, {case.true_circle:.2f}"
            for value, band, said in near
            if _false(case, value, band)
        )
        found[place] = {said for _, _, said in near}
    if case.stops is False and not (found["screen"] & found["sheet"] & found["page"]):
        yield f"screen, sheet and page tell different circles: {found}"


def _false(case: Scenario, value: float, band: float) -> bool:
    """A band of 95 % may miss now and then, by a little; one that misses by twice itself is false."""
    return abs(value - (case.true_circle or 0.0)) > max(2 * band, 0.15)


JUDGES = (
    judge_standard, judge_note, judge_bolt, judge_seat, judge_counts, judge_drawing, judge_band,
)  # fmt: skip


def verdict(seed: int, folder: Path, browser: Client) -> list[str]:
    """Everything that is untrue or missing in what was said of one job."""
    case = scenario(seed)
    return [f"seed {seed}: {fault}" for fault in faults(case, folder, browser)]


def faults(case: Scenario, folder: Path, browser: Client) -> list[str]:
    """Everything untrue or missing, with the judge that found it."""
    told = told_of(case, folder, browser)
    for said in (told.drawn.said, told.check.said, told.page):
        assert "Traceback" not in said
    judged = [
        judge for judge in JUDGES if told.is_drawn or judge in (judge_drawing, judge_band, judge_counts, judge_seat)
    ]
    return [f"{judge.__name__}: {fault}" for judge in judged for fault in judge(case, told)]


def test_nothing_untrue_is_said_of_a_few_jobs(tmp_path: Path, browser: Client) -> None:
    assert [fault for seed in range(FEW) for fault in verdict(seed, tmp_path, browser)] == []


@pytest.mark.property_deep
@pytest.mark.parametrize("part", range(20))
def test_nothing_untrue_is_said_of_a_thousand_jobs(part: int, tmp_path: Path, browser: Client) -> None:
    each = int(os.environ.get("FLANGELAYOUT_CLAIMS", "50"))
    seeds = range(part * each, (part + 1) * each)
    assert [fault for seed in seeds for fault in verdict(seed, tmp_path, browser)] == []

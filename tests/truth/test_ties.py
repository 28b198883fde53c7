"""Readings that fit several published rows alike: all are named, the same on screen, sheet and page, no other."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from truth.outside import claims_match
from truth.scenarios import Scenario, tied_scenario
from truth.test_claims import Told, named, told_of
from web.served import Client, client


@pytest.fixture(scope="module")
def browser() -> Iterator[Client]:
    """The page, asked in this process."""
    with client() as asking:
        yield asking


def judge_ties(case: Scenario, told: Told) -> Iterator[str]:
    if not case.tied or not told.is_drawn:
        return
    for row in case.tied:
        for place, text in (("screen", told.drawn.said), ("sheet", told.sheet), ("page", told.page)):
            if not named(text, row.designation):
                yield f"{place} does not name {row.designation}, which fits as well"

    if not claims_match(told.sheet):
        yield "the sheet does not say what it is drilled to match"


def faults_of(seed: int, folder: Path, browser: Client) -> list[str]:
    case = tied_scenario(seed)
    told = told_of(case, folder, browser)
    return [f"seed {seed}: {fault}" for fault in judge_ties(case, told)]


def test_rows_that_drill_alike_are_all_named(tmp_path: Path, browser: Client) -> None:
    assert [fault for seed in range(1) for fault in faults_of(seed, tmp_path, browser)] == []


@pytest.mark.property_deep
@pytest.mark.parametrize("part", range(10))
def test_rows_of_two_hundred_surveys_that_drill_alike_are_all_named(part: int, tmp_path: Path, browser: Client) -> None:
    seeds = range(20 * part, 20 * part + 20)
    assert [fault for seed in seeds for fault in faults_of(seed, tmp_path, browser)] == []

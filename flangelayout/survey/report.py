"""A survey as plain data for machines: fixed keys, lengths in mm, unrounded."""

from typing import Any

from flangelayout.survey.candidates import Candidate
from flangelayout.survey.next_reading import NextReading
from flangelayout.survey.readings import CHORD_KINDS
from flangelayout.survey.survey import Survey


def survey_data(survey: Survey) -> dict[str, Any]:
    """What ``measure --json`` prints, ready for a JSON writer.

    Returns:
        Numbers in mm and probabilities from 0 to 1; ``None`` where a key does not apply.
    """
    return {
        "hole_count": survey.hole_count,
        "diameter": survey.diameter,
        "standard_uncertainty": survey.standard_uncertainty,
        "expanded_uncertainty": survey.expanded_uncertainty,
        "coverage_factor": survey.coverage_factor,
        "readings": [_reading(survey, index) for index in range(len(survey.readings))],
        "candidates": [_candidate(candidate) for candidate in survey.candidates],
        "verdict": survey.verdict.value,
        "next_reading": _next(survey.next_reading),
    }


def _reading(survey: Survey, index: int) -> dict[str, Any]:
    reading = survey.readings[index]
    explanation = survey.explanation(index)
    aside = index in survey.set_aside
    return {
        "from": reading.from_hole,
        "to": reading.to_hole,
        "pitches": reading.span(survey.hole_count) if reading.kind in CHORD_KINDS else None,
        "kind": reading.kind.value,
        "value": reading.value,
        "expected": survey.expected[index],
        "residual": survey.residuals[index],
        "suspect": explanation is not None or aside,
        "explanation": "set aside on request; it took no part in the fit" if aside else explanation,
    }


def _candidate(candidate: Candidate) -> dict[str, Any]:
    pattern = candidate.pattern
    return {
        "standard": pattern.standard,
        "designation": pattern.designation,
        "diameter": pattern.bolt_circle,
        "hole_count": pattern.hole_count,
        "hole_diameter": pattern.hole_diameter,
        "difference": candidate.difference,
        "probability": candidate.probability,
        "chord": candidate.chord,
    }


def _next(reading: NextReading | None) -> dict[str, Any] | None:
    if reading is None:
        return None
    return {
        "kind": reading.kind.value,
        "pitches": reading.pitches,
        "expected": [{"designation": entry.designation, "value": entry.value} for entry in reading.expected],
        "why": reading.why,
    }

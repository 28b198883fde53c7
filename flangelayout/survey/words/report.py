"""A survey as plain data for machines: fixed keys, lengths in mm, unrounded."""

from typing import Any

from flangelayout.survey.candidates import Candidate
from flangelayout.survey.kinds import CHORD_KINDS
from flangelayout.survey.otherwise import OtherCount
from flangelayout.survey.survey import Survey
from flangelayout.survey.words.sentences import expected_name, next_reason
from flangelayout.survey.words.slips import suspect_text


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
        "band_holds": survey.band_holds,
        "band_reason": None if survey.band_holds else "the readings disagree",
        "hole_angles": None if survey.fit is survey.spacings.equal else list(survey.fit.hole_angles),
        "readings": [_reading(survey, index) for index in range(len(survey.readings))],
        "candidates": [_candidate(candidate) for candidate in survey.candidates],
        "verdict": survey.verdict.value,
        "outside": survey.ranking.outside,
        "other_counts": [_other_count(other) for other in survey.other_counts],
        "other_unit": None if survey.other_unit is None else survey.other_unit.unit.value,
        "next_reading": _next(survey),
    }


def _other_count(other: OtherCount) -> dict[str, Any]:
    return {
        "hole_count": other.hole_count,
        "diameter": None if other.circle is None else other.circle.value,
        "designations": [candidate.pattern.designation for candidate in other.leading],
    }


def _reading(survey: Survey, index: int) -> dict[str, Any]:
    reading = survey.readings[index]
    explanation = "; or ".join(suspect_text(survey, suspect) for suspect in survey.suspicions(index)) or None
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


def _next(survey: Survey) -> dict[str, Any] | None:
    following = survey.next_reading
    if following is None:
        return None
    return {
        "kind": following.kind.value,
        "pitches": following.pitches,
        "expected": [
            {"designation": expected_name(entry.designation), "value": entry.value} for entry in following.expected
        ],
        "why": next_reason(survey, following, survey.readings[0].unit),
    }

"""What the drawing's font lacks is said for every text of a job."""

from hypothesis import given
from hypothesis import strategies as st

from checking import said
from flangelayout.checks import Finding, Rule, check_text
from flangelayout.drawing.textwidth import missing_characters
from jobs import flange, make_job
from rows import every_row


def lacking(texts: dict[str, str]) -> list[Finding]:
    return [each for each in check_text(texts) if each.failed]


def test_signs_of_the_trade_and_european_letters_are_there() -> None:
    assert not lacking({"job.title": "⌀22 ±0.5° ≤ 3 × ½ ″ Größe Łódź Λάρισα Житомир"})


def test_a_missing_sign_is_named_with_its_key() -> None:
    (finding,) = lacking({"job.title": "pump 魚", "job.owner": "Marrow Beck Hatchery"})
    assert finding.place.key == "job.title"
    assert "U+9B5A" in said(flange(), finding)


def test_many_missing_signs_are_counted() -> None:
    (finding,) = lacking({"job.title": "一二三四五六七八"})
    assert "and 3 more" in said(flange(), finding)


@given(st.text(min_size=1))
def test_a_finding_comes_exactly_where_a_sign_is_missing(text: str) -> None:
    assert bool(lacking({"key": text})) == bool(missing_characters(text))


@every_row(
    ("where", "tables"),
    [
        (f"job.{key}", {"job": {key: "魚"}})
        for key in ("number", "title", "revision", "owner", "customer", "drawn_by", "approved_by", "date", "status")
    ]
    + [
        ("job.notes[2]", {"job": {"notes": ["good", "魚"]}}),
        ("plate.material", {"plate": {"outside_diameter": 285, "material": "魚"}}),
        ("plate.face", {"plate": {"outside_diameter": 285, "face": "魚"}}),
        (
            "bolt_circle[1].mates_with",
            {"bolt_circle": [{"diameter": 240, "hole_count": 8, "hole_diameter": 22, "mates_with": "魚"}]},
        ),
        ("hole[1].name", {"hole": [{"diameter": 5, "x": 100, "y": 0, "name": "魚"}]}),
    ],
)
def test_every_printed_text_of_a_job_is_looked_at(where: str, tables: dict[str, object]) -> None:
    assert where in [each.place.key for each in make_job(**tables).findings if each.rule is Rule.FONT and each.failed]

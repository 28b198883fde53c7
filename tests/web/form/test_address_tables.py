"""Job tables as dotted keys with texts, and back."""

import datetime
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flangelayout.cli.keys import every_key
from flangelayout.errors import InputError
from flangelayout.job.schema.job_file import JobFile
from flangelayout.job.schema.tree import Shape, job_keys, leaf_at
from flangelayout.views.words.keys import key_words
from flangelayout.web.form.address_tables import flatten, unflatten
from flangelayout.web.form.toml_text import job_text
from rows import every_row

ROOT = Path(__file__).parents[3]
FILES = sorted([*ROOT.glob("samples/*.toml"), *ROOT.glob("templates/*.toml")])

numbers = st.one_of(
    st.integers(-999_999, 999_999),
    st.decimals(-9_999, 9_999, places=3).map(float),
    st.sampled_from(["7/8 in", "22 mm"]),
)
texts = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30).filter(
    lambda text: text.strip() == text
)
circles = st.fixed_dictionaries(
    {"hole_count": st.integers(1, 99)},
    optional={"diameter": numbers, "name": texts, "skip": st.lists(st.integers(1, 9), min_size=1, max_size=3)},
)
jobs = st.fixed_dictionaries(
    {"plate": st.fixed_dictionaries({"outside_diameter": numbers}, optional={"bore": numbers, "material": texts})},
    optional={"bolt_circle": st.lists(circles, min_size=1, max_size=3), "units": st.sampled_from(["mm", "in"])},
)


@given(jobs)
def test_any_job_survives_the_way_into_an_address_and_back(job: dict[str, object]) -> None:
    assert unflatten(flatten(job)) == job


@given(jobs)
def test_the_text_of_a_job_file_reads_back_as_the_same_tables(job: dict[str, object]) -> None:
    assert tomllib.loads(job_text(job)) == job


@given(st.text(max_size=40))
def test_any_text_can_stand_in_a_job_file(text: str) -> None:
    kept = "".join("\ufffd" if "\ud800" <= sign <= "\udfff" else sign for sign in text)
    assert tomllib.loads(job_text({"job": {"title": text}})) == {"job": {"title": kept}}


@every_row("path", FILES)
def test_every_sample_and_starter_keeps_its_keys_and_values(path: Path) -> None:
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    assert unflatten(flatten(data)) == data


@every_row("key", [key for key, _ in every_key() if leaf_at(key)])
def test_the_example_of_every_key_survives_the_way_into_an_address_and_back(key: str) -> None:
    words = key_words(key)
    assert words
    data: object = tomllib.loads(f"value = {words.example}")["value"]
    data = str(data) if isinstance(data, datetime.date) else data  # a date is taken as a text as well
    for name in reversed(key.split(".")):
        data = {name: data}
    assert isinstance(data, dict)
    assert unflatten(flatten(data)) == data
    assert tomllib.loads(job_text(data)) == data


def test_numbers_are_told_from_texts_by_the_schema() -> None:
    tables = unflatten(
        [("job.number", "007"), ("plate.bore", "170.50"), ("plate.thickness", "7/8 in"), ("job.notes", "a\nb")]
    )
    assert tables == {"job": {"number": "007", "notes": ["a", "b"]}, "plate": {"bore": 170.5, "thickness": "7/8 in"}}


def test_rows_keep_their_numbers_and_gaps_are_empty() -> None:
    assert unflatten([("hole.3.x", "5"), ("hole.1.y", "")]) == {"hole": [{}, {}, {"x": 5}]}


@every_row(
    "pairs",
    [
        [("plate", "5"), ("plate.bore", "3")],
        [("plate.bore", "3"), ("plate", "5")],
        [("a.b.c.d.e.f.g", "1"), ("..", "2"), ("", "3")],
        [("bolt_circle.99999999999999999999.diameter", "1")],
        [("bolt_circle.\u0663.diameter", "1"), ("bolt_circle.x.diameter", "1")],
        [("hole.1999.x", "9" * 5000)],
    ],
)
def test_no_key_or_value_is_too_odd_to_be_taken_in(pairs: list[tuple[str, str]]) -> None:
    assert isinstance(unflatten(pairs), dict)


def test_what_no_job_holds_is_refused() -> None:
    for value in ([[1, 2]], [{"x": 1}, 5], {"a.b": 1}):
        with pytest.raises(InputError):
            flatten({"plate": {"odd": value}})


def test_lengths_are_told_from_angles_and_counts() -> None:
    shapes = {
        "plate.bore": Shape.LENGTH,
        "bolt_circle.1.diameter": Shape.LENGTH,
        "bolt_circle.1.hole_count": Shape.NUMBER,
        "bolt_circle.1.start_angle": Shape.ANGLE,
        "bolt_circle.1.angles": Shape.NUMBERS,
        "job.notes": Shape.TEXTS,
        "machine.plates": Shape.ROWS,
        "survey.reading.1.value": Shape.LENGTH,
        "survey.reading.1.from": Shape.NUMBER,
    }
    assert {key: leaf.shape for key in shapes if (leaf := leaf_at(key))} == shapes
    assert leaf_at("plate.nothing") is None


def test_the_tree_of_keys_is_that_of_the_schema_and_leaves_the_page_its_own_names() -> None:
    assert list(job_keys().children) == list(JobFile.model_fields)
    assert set(job_keys().children).isdisjoint(
        {"step", "edit", "set", "show", "view", "find", "onto", "do", "n", "d", "c", "was"}
    )

"""Every key of a job file has a name of its own on the page, words and a place among the settings."""

from collections import Counter

from flangelayout.job.schema.tree import job_keys
from flangelayout.views.words.keys import key_words
from flangelayout.web.form.fields import Sheaf
from flangelayout.web.form.groups import groups_of
from flangelayout.web.form.names import every_pattern, full_name, row_words, tables
from flangelayout.web.form.state import State


def test_no_two_keys_have_one_name() -> None:
    names = Counter(full_name(pattern) for pattern in every_pattern())
    assert [name for name, count in names.items() if count > 1] == []
    assert len(names) == len(every_pattern())
    assert all(key_words(pattern) for pattern in every_pattern())


def test_every_key_has_its_place_among_the_settings() -> None:
    """Keys that belong to one choice only are shown where that choice is made, so every choice is gone through."""
    assert {*tables(), "units"} == set(job_keys().children)
    shown: set[str] = set()
    for choice in _choices():
        state = State(data={**{path: [{}] for path in row_words() if "." not in path}, **choice})
        for path in row_words():
            state = state.with_rows(path, [*state.rows_at(path)] or [{}])
        groups = groups_of(state, Sheaf(state))
        fields = [field for group in groups for field in group.fields]
        fields += [field for group in groups for row in group.rows for field in row.fields]
        shown |= {".".join(part for part in field.key.split(".") if not part.isdigit()) for field in fields}
        assert len({field.label for field in fields}) == len({_pattern(field.key) for field in fields})
    hidden = {pattern for pattern in every_pattern() if pattern not in shown}
    assert hidden == {"units"}  # it has buttons of its own, because what is written already keeps its unit


def _pattern(key: str) -> str:
    return ".".join(part for part in key.split(".") if not part.isdigit())


def _choices() -> list[dict[str, object]]:
    from flangelayout.job.schema.holes import KIND_KEYS
    from flangelayout.job.schema.job_file import pattern_tables
    from flangelayout.job.schema.plate import OPENING_KEYS, OUTLINE_KEYS

    holes = ("bolt_circle", "hole", *pattern_tables())
    found: list[dict[str, object]] = [{"plate": {"outline": outline}} for outline in OUTLINE_KEYS]
    found += [{"opening": [{"shape": shape}]} for shape in OPENING_KEYS]
    return found + [{table: [{"kind": kind}] for table in holes} for kind in KIND_KEYS]

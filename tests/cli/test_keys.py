"""``flangelayout keys``: the reference says what the schema reads, and every example in it can be drawn with."""

import json
import tomllib

import pytest
from pydantic import ValidationError

from flangelayout.cli import run
from flangelayout.cli.keys import every_key
from flangelayout.flange.cutting import MachineFile
from flangelayout.job.schema.job_file import JobFile
from flangelayout.job.schema.rates import RatesTable
from flangelayout.job.schema.tree import Branch, job_keys, shop_keys
from flangelayout.job.shop import ShopFile
from flangelayout.units import Unit
from flangelayout.views.words import keys
from flangelayout.views.words.keys import key_words

KEYS = dict(every_key())


def test_every_key_of_the_schema_has_words_and_no_word_is_of_a_key_that_is_gone() -> None:
    assert [key for key in KEYS if key_words(key) is None] == []
    assert sorted(set(keys._WORDS) - set(KEYS)) == []


def test_every_example_is_read_by_its_key() -> None:
    refused = {key: problem for key in KEYS for problem in _complaints(key)}
    assert refused == {}


def _complaints(key: str) -> list[str]:
    """What the schema says of the example of a key, where it stands alone in its table."""
    words = key_words(key)
    assert words is not None
    value: object = tomllib.loads(f"it = {words.example}")["it"]
    *tables, name = key.split(".")
    data: dict[str, object] = {name: value}
    node: object = shop_keys() if key.startswith("shop.") else job_keys()
    many = []
    for table in tables:
        assert isinstance(node, Branch)
        node = node.children[table]
        many.append(isinstance(node, Branch) and node.many)
    for table, is_list in zip(reversed(tables), reversed(many), strict=True):
        data = {table: [data] if is_list else data}
    try:
        if key.startswith("shop."):
            ShopFile.model_validate(data, context={"unit": Unit.MM})
        else:
            JobFile.model_validate({"plate": {}} | data, context={"unit": Unit.MM})
    except ValidationError as wrong:
        place = tuple(part for part in key.split("."))
        return [
            error["msg"]
            for error in wrong.errors()
            if tuple(str(part) for part in error["loc"] if not isinstance(part, int))[: len(place)] == place
        ]
    return []


def test_a_table_is_told_with_unit_choices_usual_value_and_example(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["keys", "[bolt_circle]"]) == 0
    told = capsys.readouterr().out
    assert 'bolt_circle.placement = "straddle"' in told
    assert '"straddle", "on-centerline"; taken as "straddle"' in told
    assert "bolt_circle.start_angle = 22.5" in told
    assert "degrees; taken as 0" in told
    assert "plate." not in told


def test_what_a_wrong_rate_points_to_says_every_rate_with_its_unit(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["keys", "shop.rates"]) == 0
    told = capsys.readouterr().out
    assert "seconds for each pierce" in told
    assert "length cut in a minute" in told
    assert {f"shop.rates.{key}" for key in RatesTable.model_fields} <= set(KEYS)


def test_lengths_and_plain_numbers_are_told_apart(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["keys", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert {told[key]["holds"] for key in ("cut.kerf", "template.roll_width", "plate.bore", "machine.feed")} == {
        "length"
    }
    assert {told[key]["holds"] for key in ("plate.density", "bolt_circle.hole_count", "cut.colors.bore")} == {"number"}
    assert {told[key]["holds"] for key in ("hole.angle", "opening.sweep", "plate.handle_angle")} == {"angle"}
    assert told["machine.files"]["choices"] == [each.value for each in MachineFile]
    assert told["hole_grid.columns"]["required"]
    assert told["cut.undersize"]["taken_as"] == 3.0


def test_a_key_that_is_not_there_gets_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["keys", "bolt_circle.hole_dia"]) == 2
    assert "did you mean bolt_circle.hole_diameter?" in capsys.readouterr().err


def test_without_a_table_it_lists_the_tables(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["keys"]) == 0
    told = capsys.readouterr().out
    tables = [name for name, node in job_keys().children.items() if isinstance(node, Branch)]
    assert [name for name in tables if f"[{name}]" not in told] == []

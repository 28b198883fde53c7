"""The address that carries the whole job."""

import pytest

from flangelayout.errors import InputError
from flangelayout.units import Unit, from_mm
from flangelayout.web.form.address import LONGEST, read_address, write_address
from flangelayout.web.form.state import Draft, Picture, Stage, State, job_tables
from flangelayout.web.serving.actions import apply
from web.served import query


def state(**fields: str) -> State:
    return read_address(query(**fields))[0]


def test_an_address_read_and_written_again_is_the_same_state() -> None:
    first = state(
        n__value="91.7",
        n__kind="far-edges",
        step="take",
        edit="plate.bore",
        view="cut",
        find="dn150 pn16",
        show="in",
        onto="2",
    )
    again, action = read_address(write_address(first))
    assert again == first
    assert action == ""
    assert (first.step, first.picture, first.show) == (Stage.TAKE, Picture.CUT, Unit.IN)
    assert first.draft == Draft("far-edges", value="91.7")
    assert first.edit == "plate.bore"


def test_what_goes_without_saying_is_not_said() -> None:
    said = write_address(state(bolt_circle__1__placement="straddle", view="flange", show="mm", plate__bore=""))
    assert not {"placement", "view=", "show=", "bore="} & set(said.replace("&", " ").replace("=", "= ").split())
    assert "placement" not in said


def test_a_length_shown_in_inches_keeps_its_master_until_it_is_changed() -> None:
    untouched = state(
        show="in", plate__bore="6.713 in", was__plate__bore="170.5", plate__thickness="", was__plate__thickness=""
    )
    assert job_tables(untouched)["plate"] == {"outside_diameter": 285, "bore": 170.5}
    changed = state(show="in", plate__bore="6 3/4", was__plate__bore="170.5")
    assert job_tables(changed)["plate"] == {"outside_diameter": 285, "bore": "6 3/4 in", "thickness": 22}
    named = state(show="in", plate__bore="171 mm", was__plate__bore="170.5")
    assert job_tables(named)["plate"] == {"outside_diameter": 285, "bore": "171 mm", "thickness": 22}


def test_another_master_unit_names_the_unit_of_what_is_written_already() -> None:
    turned, _ = apply(state(plate__bore="6 3/4 in"), "units:in")
    plate = job_tables(turned)["plate"]
    assert turned.unit is Unit.IN
    assert plate == {"outside_diameter": "285 mm", "bore": "6 3/4 in", "thickness": "22 mm"}
    assert job_tables(turned)["bolt_circle"] == [{"diameter": "240 mm", "hole_count": 8, "hole_diameter": "22 mm"}]
    assert from_mm(285, Unit.IN) > 11


def test_an_address_that_is_too_long_is_refused_with_the_way_out() -> None:
    with pytest.raises(InputError, match="flangelayout draw"):
        read_address("plate.bore=" + "1" * LONGEST)
    with pytest.raises(InputError, match="flangelayout draw"):
        write_address(State(data={"job": {"title": "魚" * LONGEST}}))
    with pytest.raises(InputError, match="fields"):
        read_address("&".join("a=1" for _ in range(3_500)))


def test_a_table_of_which_nothing_is_written_is_left_out() -> None:
    """The fields of every table are sent, filled in or not; a table that is named would ask for what it needs."""
    sent = state(derived__part="", derived__parent="", cut__layers__bore="", checks__edge="")
    assert set(job_tables(sent)) == {"units", "job", "plate", "bolt_circle"}

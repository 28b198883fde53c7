import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import gammaincc

from flangelayout.survey.fitting.goodness import chi_square_tail
from rows import every_row


@every_row(
    ("degrees", "value"),
    # Upper 5 % points: Abramowitz and Stegun, Handbook of Mathematical Functions, table 26.8.
    [(1, 3.84146), (2, 5.99147), (3, 7.81473), (4, 9.48773), (5, 11.0705), (10, 18.3070), (20, 31.4104), (30, 43.7729)],
)
def test_printed_five_percent_points(degrees: int, value: float) -> None:
    assert chi_square_tail(value, degrees) == pytest.approx(0.05, abs=2e-6)


@given(value=st.floats(0, 2000), degrees=st.integers(1, 200))
def test_tail_agrees_with_scipy(value: float, degrees: int) -> None:
    assert chi_square_tail(value, degrees) == pytest.approx(gammaincc(degrees / 2, value / 2), rel=1e-9, abs=1e-12)


def test_nothing_to_test_is_no_disagreement() -> None:
    assert chi_square_tail(5.0, 0) == 1.0

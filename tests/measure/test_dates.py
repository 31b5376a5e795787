"""Days of the year: examples and laws that hold for all dates."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.measure import dates

ANY_DATE = st.dates(dt.date(1990, 1, 1), dt.date(2090, 12, 31))
ANY_DAY = st.integers(1, 365)


@pytest.mark.parametrize(
    ("date", "day"),
    [
        (dt.date(2026, 1, 1), 1),
        (dt.date(2026, 12, 31), 365),
        (dt.date(2024, 2, 29), 59),
        (dt.date(2024, 3, 1), 60),
        (dt.date(2024, 12, 31), 365),
        (dt.date(2026, 7, 19), 200),
    ],
)
def test_day_of_year(date: dt.date, day: int) -> None:
    assert dates.day_of_year(date) == day


@given(ANY_DATE)
def test_a_date_comes_back(date: dt.date) -> None:
    back = dates.date_in_year(dates.day_of_year(date), date.year)
    assert back == (date if (date.month, date.day) != (2, 29) else dt.date(date.year, 2, 28))


@given(ANY_DAY, ANY_DATE)
def test_date_on_or_after(day: int, date: dt.date) -> None:
    found = dates.date_on_or_after(day, date)
    assert found >= date
    assert (found - date).days <= 366
    assert dates.day_of_year(found) == day


def test_leap_day_is_its_own_next_28_february() -> None:
    assert dates.date_on_or_after(59, dt.date(2024, 2, 29)) == dt.date(2024, 2, 29)


@given(ANY_DAY, ANY_DAY)
def test_ways_round_the_year(a: int, b: int) -> None:
    assert dates.wrap(a + dates.days_ahead(a, b)) == b
    assert dates.wrap(b + dates.days_apart(a, b)) == a
    assert -182 <= dates.days_apart(a, b) <= 182


@pytest.mark.parametrize(
    ("start", "end", "months"),
    [
        (dt.date(2026, 11, 20), dt.date(2027, 2, 1), (11, 12, 1, 2)),
        (dt.date(2026, 5, 1), dt.date(2026, 5, 31), (5,)),
        (dt.date(2026, 5, 2), dt.date(2026, 5, 1), ()),
        (dt.date(2026, 1, 1), dt.date(2029, 1, 1), (1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12)),
    ],
)
def test_months_between(start: dt.date, end: dt.date, months: tuple[int, ...]) -> None:
    assert dates.months_between(start, end) == months


@pytest.mark.parametrize(
    ("month", "middle", "code"), [(1, 16, "jan"), (2, 45, "feb"), (7, 197, "jul"), (12, 350, "dec")]
)
def test_middle_of_month(month: int, middle: int, code: str) -> None:
    assert dates.middle_of_month(month) == middle
    assert dates.month_code(middle) == code
    assert dates.month_of(dates.first_of_month(month)) == month


@pytest.mark.parametrize(
    ("opens", "closes", "inside", "outside"),
    [(350, 20, (350, 365, 1, 20), (21, 349)), (100, 120, (100, 120), (99, 121))],
)
def test_spans(opens: int, closes: int, inside: tuple[int, ...], outside: tuple[int, ...]) -> None:
    assert all(dates.in_span(d, opens, closes) for d in inside)
    assert not any(dates.in_span(d, opens, closes) for d in outside)


def test_months_of_a_span_over_new_year() -> None:
    assert dates.months_of_span(350, 35) == (12, 1, 2)
    assert dates.months_of_span(1, 365) == tuple(range(1, 13))


def test_days_between_is_signed() -> None:
    assert dates.days_between(dt.date(2026, 3, 1), dt.date(2026, 2, 27)) == -2
    assert dates.date_after(dt.date(2026, 2, 27), 2) == dt.date(2026, 3, 1)

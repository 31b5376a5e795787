"""Reading daily weather: the three layouts and their units, every refusal with its words, and what the years come to."""

import datetime as dt
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.measure import dates, weather_file
from decide.measure import weather as w
from decide.model.errors import SituationError


def table(
    days: int, first: dt.date = dt.date(2001, 1, 1), head: str = "date,min,max,rain", row: str = "5,15,1"
) -> bytes:
    return "\n".join([head, *(f"{first + dt.timedelta(days=n)},{row}" for n in range(days))]).encode()


# ---------- layouts and units ----------
def test_a_plain_table_is_celsius_and_millimetres() -> None:
    read = weather_file.read_weather(table(3), "mine.csv")
    assert (read.first, read.last, read.label) == (dt.date(2001, 1, 1), dt.date(2001, 1, 3), "mine.csv")
    assert list(read.low) == [5, 5, 5]
    assert list(read.high) == [15, 15, 15]
    assert list(read.rain) == [1, 1, 1]


@pytest.mark.parametrize(
    "head", ["Date,Tmin_F,Tmax_F,Prcp_in", "date,low (F),high (F),precip (in)", "date,min_f,max_f,rain_in"]
)
def test_units_are_declared_in_the_head(head: str) -> None:
    read = weather_file.read_weather(table(3, head=head, row="32,50,0.5"), "x")
    assert (read.low[0], read.high[0], read.rain[0]) == (
        pytest.approx(0),
        pytest.approx(10),
        pytest.approx(12.7),
    )  # 0.5 in of 25.4 mm


def test_columns_stand_in_any_order_with_others_between() -> None:
    read = weather_file.read_weather(
        b"# made by hand\nrain;wind;date;high;low\n2;9;2001-05-01;20;10\n\n3;9;2001-05-02;21;11\n", "x"
    )
    assert (list(read.low), list(read.high), list(read.rain)) == ([10, 11], [20, 21], [2, 3])


def test_rain_may_be_left_out() -> None:
    read = weather_file.read_weather(b"date,min,max\n2001-05-01,10,20\n", "x")
    assert np.isnan(read.rain).all()


def test_a_missing_day_is_a_gap() -> None:
    text = table(10).decode().splitlines()
    read = weather_file.read_weather("\n".join(text[:4] + text[5:]).encode(), "x")
    assert len(read.low) == 10
    assert list(np.flatnonzero(np.isnan(read.low))) == [3]


# the public archive's description of its daily files: tenths of a degree C and of a millimetre
LONG = """USC00380000,20010501,TMAX,211,,,7,0700
USC00380000,20010501,TMIN,100,,,7,0700
USC00380000,20010501,PRCP,25,,,7,0700
USC00380000,20010501,SNOW,0,,,7,0700
USC00380000,20010502,TMAX,222,,,7,0700
USC00380000,20010502,TMIN,-11,,,7,0700
USC00380000,20010502,PRCP,0,T,,7,0700
"""


def test_the_long_layout_is_in_tenths() -> None:
    read = weather_file.read_weather(LONG.encode(), "station.csv")
    assert read.label == "USC00380000"
    assert list(read.high) == pytest.approx([21.1, 22.2])
    assert list(read.low) == pytest.approx([10.0, -1.1])
    assert list(read.rain) == pytest.approx([2.5, 0.0])


def test_a_reading_that_failed_the_archives_check_is_missing() -> None:
    flagged = LONG.replace("PRCP,25,,,7", "PRCP,25,,G,7") + "".join(
        f"USC00380000,200105{d:02d},{e},{v},,,7,0700\n"
        for d in range(3, 9)
        for e, v in (("TMAX", 200), ("TMIN", 100), ("PRCP", 0))
    )
    assert math.isnan(weather_file.read_weather(flagged.encode(), "x").rain[0])


@pytest.mark.parametrize(("high", "low", "rain", "want"), [
    ("311", "100", "254", (10, 31.1, 25.4)),  # tenths: a summer day of 31 C
    ("88", "50", "1.00", (10, 31.1, 25.4)),  # F and inches
    ("31.1", "10", "25.4", (10, 31.1, 25.4)),
])  # fmt: skip
def test_the_wide_layout_tells_its_unit_by_a_year(
    high: str, low: str, rain: str, want: tuple[float, ...]
) -> None:
    rows = "\n".join(
        f'"USW00000001","{dt.date(2001, 1, 1) + dt.timedelta(days=n)}","{rain}","{high}","{low}"'
        for n in range(365)
    )
    read = weather_file.read_weather(f'"STATION","DATE","PRCP","TMAX","TMIN"\n{rows}\n'.encode(), "x")
    assert (read.low[0], read.high[0], read.rain[0]) == pytest.approx(want, abs=0.05)


def test_the_wide_layout_may_declare_its_unit() -> None:
    read = weather_file.read_weather(
        b"STATION,DATE,PRCP_tenths,TMAX_tenths,TMIN_tenths\nA,2001-05-01,20,55,-15\n", "x"
    )
    assert (read.low[0], read.high[0], read.rain[0]) == (-1.5, 5.5, 2.0)


# ---------- refusals ----------
@pytest.mark.parametrize(("data", "wrong", "instead"), [
    (b"", "this is empty", "date,min,max,rain"),
    (b"\n  \n", "this is empty", "date,min,max,rain"),
    (b"# notes only\n", "", "date,min,max,rain"),
    (b"PK\x03\x04\0\0", "not text", "comma-separated"),
    (b"date,min,max\n2001-05-01,\xff,3\n", "not UTF-8", "UTF-8"),
    (b"x" * (weather_file.MOST_BYTES + 1), "bytes", "at most"),
    (b"date,min,max,rain\n", "no days", "each day"),
    (b"date,min,rain\n2001-05-01,1,2\n", "line 1: there is no column 'max'", "date,min,max,rain"),
    (b"date,min,max\n01/05/2001,1,2\n", "line 2: '01/05/2001' is not a date", "2026-05-20"),
    (b"date,min,max\n2001-02-30,1,2\n", "line 2: '2001-02-30' is not a date", "2026-05-20"),
    (b"date,min,max\n2001-05-01,warm,2\n", "line 2: 'warm' is not a number", "leave the cell empty"),
    (b'date,min,max\n2001-05-01,"1,5",2\n', "line 2: '1,5' is not a number", "decimal point"),
    (b"date,min,max\n2001-05-01,9,2\n", "line 2: the high of 2001-05-01 (2.0 C) is under its low (9.0 C)", "Change them over"),
    (b"date,min,max\n2001-05-02,1,2\n2001-05-01,1,2\n", "line 3: 2001-05-01 comes after 2001-05-02", "oldest first"),
    (b"date,min,max\n2001-05-01,1,2\n2001-05-02,1,2\n2001-05-01,1,2\n", "line 4: 2001-05-01 stands twice, here and on line 2", "Keep one"),
    (b"date,min,max\n2001-05-01,40,95\n", "95.0 C, which no station reads", "_f"),
    (b"date,min,max,rain\n2001-05-01,1,2,-4\n", "the rain of 2001-05-01 comes to -4.0 mm", "unit"),
    (b"date,min,max,rain\n2001-05-01,1,2,2500\n", "the rain of 2001-05-01 comes to 2500.0 mm", "unit"),
    (b"STATION,DATE,TMIN,TMAX\nA,2001-05-01,1,2\nB,2001-05-02,1,2\n", "line 3: a second station", "nearest to the field"),
    (b"STATION,DATE,TMIN,TMAX\nA,2001-05-01,1,2\n", "less than a year", "TMAX_F"),
    (b"A,20010501,TMAX,100\nB,20010502,TMAX,100\n", "line 2: a second station", "nearest to the field"),
    (b"A,20010501,TMAX,100\nA,20010501,TMAX,110\n", "TMAX of 2001-05-01 stands twice", "Keep one"),
    (b"A,20010501,SNOW,100\n", "no TMIN", "lows and highs"),
    (b"date,min,max\n1700-05-01,1,2\n2001-05-01,1,2\n", "it runs from 1700-05-01", "latest years"),
    (b"date,min,max\n2001-05-01,1,2\n2001-05-02,,\n2001-05-03,1,\n2001-05-04,1,2\n", "missing on 50% of its days", "fewer gaps"),
    (b"date,min,max,rain\n2001-05-01,1,2,\n2001-05-02,1,2,3\n", "rain is missing on 50%", "write 0"),
])  # fmt: skip
def test_refused_with_what_is_wrong_and_what_to_write(data: bytes, wrong: str, instead: str) -> None:
    with pytest.raises(SituationError) as caught:
        weather_file.read_weather(data, "mine.csv")
    said = str(caught.value)
    assert said.startswith("mine.csv")
    assert wrong in said
    assert instead in said


@given(st.binary(max_size=300))
def test_no_bytes_give_a_traceback(data: bytes) -> None:
    for text in (data, b"date,min,max,rain\n" + data, b"STATION,DATE,TMIN,TMAX\n" + data):
        said = "told"
        try:
            weather_file.read_weather(text, "x")
        except SituationError as error:
            said = error.instead
        assert said


READINGS = st.lists(
    st.tuples(st.integers(-300, 300), st.integers(0, 250), st.integers(0, 800)), min_size=1, max_size=40
)


@given(READINGS)
def test_what_is_written_is_read_back(rows: list[tuple[int, int, int]]) -> None:
    first = dt.date(1999, 12, 20)
    lines = [
        f"{first + dt.timedelta(days=n)},{low / 10},{(low + more) / 10},{rain / 10}"
        for n, (low, more, rain) in enumerate(rows)
    ]
    read = weather_file.read_weather("\n".join(["date,min,max,rain", *lines]).encode(), "x")
    assert list(read.low) == pytest.approx([low / 10 for low, _, _ in rows])
    assert list(read.high - read.low) == pytest.approx([more / 10 for _, more, _ in rows])
    assert list(read.rain) == pytest.approx([rain / 10 for _, _, rain in rows])
    tenths = [
        f"S,{(first + dt.timedelta(days=n)).strftime('%Y%m%d')},{e},{v}"
        for n, (low, more, rain) in enumerate(rows)
        for e, v in (("TMIN", low), ("TMAX", low + more), ("PRCP", rain))
    ]
    assert weather_file.read_weather("\n".join(tenths).encode(), "y") == read


def test_what_a_file_holds_does_no_harm_where_it_is_shown() -> None:
    with pytest.raises(SituationError) as caught:
        weather_file.read_weather(b"date,\x1b[31mmin,x\n2001-05-01,1,2\n", "x")
    assert "\x1b" not in str(caught.value)
    assert (
        "\x1b"
        not in weather_file.read_weather(b"STATION,DATE,TMIN_C,TMAX_C\nA\x1b[31m,2001-05-01,1,2\n", "x").label
    )


# ---------- the object ----------
def test_weather_cannot_be_changed_and_equals_by_its_numbers() -> None:
    read = weather_file.read_weather(table(3), "a")
    assert read == weather_file.read_weather(table(3), "b")
    assert read != weather_file.read_weather(table(4), "a")
    assert hash(read) == hash(weather_file.read_weather(table(3), "b"))
    with pytest.raises(ValueError, match="read-only"):
        read.low[0] = 3


def test_arrays_of_two_lengths_are_refused() -> None:
    with pytest.raises(ValueError, match="give each day once"):
        w.DailyWeather(dt.date(2001, 1, 1), np.zeros(3), np.ones(4), np.zeros(3))
    with pytest.raises(ValueError, match="under its low"):
        w.DailyWeather(dt.date(2001, 1, 1), np.ones(3), np.zeros(3), np.zeros(3))


def test_a_day_may_be_no_warmer_than_its_night() -> None:
    assert w.DailyWeather(dt.date(2001, 1, 1), np.ones(3), np.ones(3), np.zeros(3)).on(
        dt.date(2001, 1, 1)
    ) == w.Day(dt.date(2001, 1, 1), 1.0, 1.0, 0.0)


def test_eighty_thousand_days_are_held_and_no_more() -> None:
    most, more = np.zeros(80_000), np.zeros(80_001)
    assert len(w.DailyWeather(dt.date(1801, 1, 1), most, most, most).low) == 80_000
    with pytest.raises(ValueError, match="from 1 to 80,000 days"):
        w.DailyWeather(dt.date(1801, 1, 1), more, more, more)


def test_two_hundred_thousand_lines_are_read_beside_the_first_and_no_more() -> None:
    head, tail = b"date,min,max\n2001-05-01,1,9\n", b"#\n" * 199_999
    assert len(weather_file.read_weather(head + tail, "x").low) == 1
    with pytest.raises(SituationError, match="more than 200,000 lines"):
        weather_file.read_weather(head + tail + b"#\n", "x")


def test_a_day_is_found_by_its_date() -> None:
    read = weather_file.read_weather(
        b"date,min,max,rain\n2001-05-01,1,9,4\n2001-05-02,2,9,0\n2001-05-03,2,9,0\n2001-05-04,2,9,0\n2001-05-05,3,,\n",
        "x",
    )
    assert read.on(dt.date(2001, 5, 1)) == w.Day(dt.date(2001, 5, 1), 1.0, 9.0, 4.0)
    assert read.on(dt.date(2001, 5, 5)) == w.Day(dt.date(2001, 5, 5), 3.0, None, None)
    assert read.on(dt.date(2001, 4, 30)) is None
    assert read.on(dt.date(2001, 5, 6)) is None


# ---------- what the years say ----------
def years(
    first: int, last: int, frosts: dict[int, tuple[int, int]], hemisphere: str = "north"
) -> w.DailyWeather:
    """Whole years of a wave with lows well above frost but on the days of the year given for each year."""
    opens, closes = dt.date(first, 1, 1), dt.date(last, 12, 31)
    days = [opens + dt.timedelta(days=n) for n in range((closes - opens).days + 1)]
    of_year = np.array([dates.day_of_year(d) for d in days])
    peak = 197 if hemisphere == "north" else 16
    mean = 15 + 8 * np.cos(2 * np.pi * (of_year - peak) / 365)
    low, high = mean - 4, mean + 4
    for n, d in enumerate(days):
        if of_year[n] in frosts.get(d.year, ()):
            low[n], high[n] = -1.0, 2 * mean[n] + 1
    return w.DailyWeather(opens, low, high, np.full(len(days), 2.0), "made")


def test_months_and_rain_are_those_of_the_years(numbers) -> None:
    # 2 mm a day is 62 mm in January and 56 in February, whatever the leap years say
    found = w.record(years(1991, 2004, {}), numbers.weather)
    assert found is not None
    assert (found.years, found.from_year, found.until_year) == (14, 1991, 2004)
    assert found.rain[0] == pytest.approx(62)
    assert found.rain[1] == pytest.approx(56)
    assert found.day_range == pytest.approx([8] * 12)
    # the middle month of a wave of 8 about 15 misses the peak by the cosine's mean over 31 days: 23 less 0.1
    assert found.means[6] == pytest.approx(22.9, abs=0.05)
    assert (found.first_frost, found.last_frost, found.frost_share) == (None, None, 0.0)


def test_frost_days_are_the_middle_years(numbers) -> None:
    # first frosts in thirteen seasons on days 281..293 and last ones on days 81..93: the middle ones are 287 and 87
    frosts = {1991 + n: (80 + n, 281 + n) for n in range(14)}
    found = w.record(years(1991, 2004, frosts), numbers.weather)
    assert found is not None
    assert (found.first_frost, found.last_frost) == (287, 87)
    assert found.frost_share == 1.0
    # the standard deviation of thirteen days in a row is sqrt((13**2 - 1) / 12) = 3.74
    assert found.frost_year_days == pytest.approx(3.74, abs=0.01)


def test_frost_in_few_years_gives_no_day(numbers) -> None:
    found = w.record(years(1991, 2004, {1993: (20, 350), 1999: (15, 351)}), numbers.weather)
    assert found is not None
    assert found.first_frost is None
    assert 0 < found.frost_share < 0.5


def test_the_south_is_read_from_its_own_hottest_day(numbers) -> None:
    frosts = dict.fromkeys(range(1991, 2005), (170, 230))
    found = w.record(years(1991, 2004, frosts, "south"), numbers.weather)
    assert found is not None
    assert (found.first_frost, found.last_frost) == (170, 230)


def test_fewer_years_than_needed_make_no_record(numbers) -> None:
    assert w.record(years(1991, 1999, {}), numbers.weather) is None
    assert w.record(years(1991, 2000, {}), numbers.weather) is not None


@pytest.mark.parametrize("month", range(1, 13))
def test_a_month_with_too_many_gaps_does_not_count(numbers, month: int) -> None:
    """Of ten years, which is as many as are needed, one lacks five days of a month, then six."""
    whole = years(1991, 2000, {})
    begins = (dt.date(1991, month, 1) - whole.first).days
    for gap, kept in ((5, True), (6, False)):
        low = np.array(whole.low)
        low[begins + 10 : begins + 10 + gap] = np.nan
        assert (
            w.record(w.DailyWeather(whole.first, low, whole.high, whole.rain), numbers.weather) is not None
        ) is kept


def test_a_site_takes_spread_and_frost_from_the_record(numbers) -> None:
    from decide.measure.climate import climate_from_means

    found = w.record(years(1991, 2004, {1991 + n: (80 + n, 281 + n) for n in range(14)}), numbers.weather)
    assert found is not None
    climate = climate_from_means(found.means, found.rain, 45.0)
    site = numbers.site(climate, None, None, found)
    assert (site.frost.first, site.frost.last, site.frost.kind, site.frost.doubt_days) == (
        287,
        87,
        "usual",
        0.0,
    )
    assert site.frost.year_days == found.frost_year_days
    assert site.year.spread == found.spread
    typed = numbers.site(climate, 300, None, found)
    assert (typed.frost.first, typed.frost.last) == (300, 87)

"""The windows of places, against what is printed of them; written from the statements before the first run."""

from __future__ import annotations

import datetime as dt
import functools
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from rich.cells import cell_len

from decide.answer.planting_calendar import PlantingCalendar, Row, planting_calendar
from decide.decision.diagnosis import diagnose
from decide.facts.complete import fill
from decide.facts.draft import can_be_had, lead_grass, planted
from decide.facts.library import Library
from decide.measure import dates
from decide.measure.numbers import EDGE_CODES
from decide.model.errors import SituationError
from decide.model.reading import read_situation
from decide.report.windows_text import render_windows
from tests.shared import adviser, knowledge

ROOT = Path(__file__).parents[2]
SCREENS = ROOT / "tests" / "screens"
YORK = 'name = "York"\ncountry = "gb"'
RICHMOND = 'name = "Richmond"\nregion = "Virginia"\ncountry = "us"'
PLACES = {
    "york": YORK, "melbourne": 'name = "Melbourne"\ncountry = "au"', "singapore": 'name = "Singapore"', "la-paz": 'name = "La Paz"\ncountry = "bo"',
    "fairbanks": 'name = "Fairbanks"\ncountry = "us"', "dubai": 'name = "Dubai"', "phoenix": 'name = "Phoenix"\nregion = "Arizona"\ncountry = "us"',
    "darwin": 'name = "Darwin"\ncountry = "au"', "pune": 'name = "Pune"\ncountry = "in"', "richmond": RICHMOND, "st-paul": "latitude = 44.95\nlongitude = -93.1",
    "johannesburg": 'name = "Johannesburg"', "spot": "latitude = -41.3\nlongitude = 174.8",
}  # fmt: skip
# The fast run takes four places, .ci/run all.
QUICK = ("york", "melbourne", "singapore", "phoenix")
SAMPLED = [pytest.param(place, marks=() if place in QUICK else pytest.mark.slow) for place in PLACES]


@functools.cache
def library() -> Library:
    return Library(knowledge())


@functools.cache
def at(place: str, today: str = "2026-05-20") -> PlantingCalendar:
    text = f"[place]\n{PLACES.get(place, place)}\n[dates]\ntoday = {today}\n"
    return planting_calendar(fill(read_situation(text), library()))


def row(place: str, grass: str, method: str) -> Row:
    return next(
        r
        for r in at(place).rows
        if r.variant == "plain"
        and any(
            grass in {g.code for g in w.grasses} and method in {m.code for m in w.methods} for w in r.ways
        )
    )


def day(text: str) -> int:
    month, _, of_month = text.partition("-")
    return dates.first_of_month(int(month)) + int(of_month) - 1


def quality(place: str, grass: str, method: str, on: str) -> str:
    for span in row(place, grass, method).spans:
        if dates.in_span(day(on), day(span.opens.day), day(span.closes.day)):
            return span.quality
    return "closed"


@pytest.mark.parametrize(
    ("place", "grass", "method", "on", "wanted", "source"),
    [
        (
            "york",
            "perennial-ryegrass",
            "broadcast-seed",
            "04-10",
            {"good"},
            "mid-March to early June, national advice as repeated",
        ),
        (
            "york",
            "perennial-ryegrass",
            "broadcast-seed",
            "05-15",
            {"good"},
            "mid-March to early June, national advice as repeated",
        ),
        (
            "york",
            "perennial-ryegrass",
            "broadcast-seed",
            "09-10",
            {"good"},
            "early or mid-September is best, a nursery's page, England",
        ),
        (
            "york",
            "perennial-ryegrass",
            "broadcast-seed",
            "07-15",
            {"fair"},
            "June to August only with steady watering, a landscaper's page, England",
        ),
        (
            "york",
            "perennial-ryegrass",
            "broadcast-seed",
            "01-10",
            {"closed"},
            "November to February is too cold, a landscaper's page, England",
        ),
        (
            "melbourne",
            "common-bermudagrass",
            "broadcast-seed",
            "11-05",
            {"good"},
            "early November is best, the water retailers' programme",
        ),
        (
            "melbourne",
            "common-bermudagrass",
            "broadcast-seed",
            "07-15",
            {"closed"},
            "patchy outside late October to early February, a grower's page",
        ),
        (
            "melbourne",
            "perennial-ryegrass",
            "broadcast-seed",
            "04-05",
            {"good"},
            "autumn is the time of cool-season seed, common practice",
        ),
        ("singapore", "manilagrass", "sprigs", "01-15", {"good"}, "no cold season, from memory"),
        ("singapore", "common-bermudagrass", "thin-sod", "08-15", {"good"}, "no cold season, from memory"),
        (
            "la-paz",
            "perennial-ryegrass",
            "broadcast-seed",
            "01-05",
            {"good", "fair"},
            "sown with the summer rains, from memory",
        ),
        (
            "la-paz",
            "perennial-ryegrass",
            "broadcast-seed",
            "07-01",
            {"closed"},
            "frost each night in winter, from memory",
        ),
        (
            "fairbanks",
            "kentucky-bluegrass",
            "broadcast-seed",
            "06-01",
            {"good", "fair"},
            "late May and June in the interior of Alaska, from memory",
        ),
        (
            "fairbanks",
            "kentucky-bluegrass",
            "broadcast-seed",
            "09-05",
            {"closed"},
            "not in September, from memory",
        ),
        (
            "fairbanks",
            "kentucky-bluegrass",
            "broadcast-seed",
            "11-01",
            {"dormant"},
            "frozen ground: seed sleeps",
        ),
        (
            "fairbanks",
            "perennial-ryegrass",
            "broadcast-seed",
            "11-01",
            {"closed"},
            "ryegrass is not sown dormant, HortScience 35, 2000",
        ),
        (
            "fairbanks",
            "kentucky-bluegrass",
            "broadcast-seed",
            "04-05",
            {"dormant", "closed"},
            "the ground is frozen in early April",
        ),
        (
            "dubai",
            "common-bermudagrass",
            "sprigs",
            "10-15",
            {"good"},
            "planted the year round under sprinklers, from memory",
        ),
        ("dubai", "tall-fescue", "broadcast-seed", "07-15", {"closed"}, "days over 40 C"),
        (
            "darwin",
            "common-bermudagrass",
            "sprigs",
            "01-05",
            {"good"},
            "the wet season waters new plants by itself, a garden service's page, Darwin",
        ),
        (
            "darwin",
            "common-bermudagrass",
            "sprigs",
            "08-01",
            {"fair"},
            "no rain to speak of in the dry season",
        ),
        (
            "pune",
            "common-bermudagrass",
            "sprigs",
            "06-25",
            {"good"},
            "roots are planted at the beginning of the monsoon, course of the Indian council of farm research",
        ),
        (
            "pune",
            "common-bermudagrass",
            "sprigs",
            "03-15",
            {"fair"},
            "with irrigation at any time of the year, the same course",
        ),
        (
            "richmond",
            "tall-fescue",
            "broadcast-seed",
            "09-15",
            {"good"},
            "September to mid-October, Virginia Cooperative Extension 426-718",
        ),
        (
            "st-paul",
            "kentucky-bluegrass",
            "broadcast-seed",
            "08-25",
            {"good"},
            "mid-August to mid-September, University of Minnesota, as repeated",
        ),
        (
            "st-paul",
            "kentucky-bluegrass",
            "broadcast-seed",
            "11-15",
            {"dormant"},
            "mid-November, Minnesota lawn care calendar, as repeated",
        ),
        (
            "johannesburg",
            "kikuyugrass",
            "thin-sod",
            "12-01",
            {"good", "fair"},
            "spring and summer in frosty places, South African turf growers' pages",
        ),
        (
            "johannesburg",
            "kikuyugrass",
            "thin-sod",
            "06-15",
            {"closed"},
            "spring and summer in frosty places, South African turf growers' pages",
        ),
    ],
)
def test_what_is_printed_of_a_day(
    place: str, grass: str, method: str, on: str, wanted: set[str], source: str
) -> None:
    assert quality(place, grass, method, on) in wanted, source


def test_the_monsoon_opens_the_window() -> None:
    """Pune: the monsoon comes in the second week of June, from memory; two weeks either way."""
    rains = next(s for s in row("pune", "common-bermudagrass", "sprigs").spans if s.quality == "good")
    assert abs(dates.days_apart(day(rains.opens.day), day("06-10"))) <= 14
    assert (rains.opens.code, rains.closes.code) == ("rains-begin", "rains-too-short")


@pytest.mark.parametrize(
    ("place", "grass", "method", "code"),
    [
        ("york", "common-bermudagrass", "broadcast-seed", "too-cold"),
        ("la-paz", "common-bermudagrass", "broadcast-seed", "too-cold"),
        ("york", "hybrid-bermudagrass", "thin-sod", "too-cold"),
    ],
)
def test_no_window_has_a_reason(place: str, grass: str, method: str, code: str) -> None:
    found = row(place, grass, method)
    assert found.spans == ()
    assert found.none_code == code
    assert found.none_why.endswith(".")


def test_grasses_that_do_not_fit_get_one_line() -> None:
    (gone,) = at("singapore").not_here
    assert "perennial-ryegrass" in {g.code for g in gone.grasses}
    assert gone.why.endswith(".")
    said = render_windows(at("singapore"))
    assert said.count("Not for this place") == 1


@pytest.mark.parametrize("place", SAMPLED)
def test_every_grass_and_method_stands_there_once(place: str) -> None:
    found, k = at(place), knowledge()
    pairs = [
        (g.code, m.code)
        for r in found.rows
        if r.variant == "plain"
        for w in r.ways
        for g in w.grasses
        for m in w.methods
    ]
    gone = {g.code for n in found.not_here for g in n.grasses}
    wanted = [
        (plant, method)
        for plant in (*k.grasses, *k.mixtures) if k.grasses[lead_grass(k, plant)].climates[found.climate] != "no"
        for method in k.methods if can_be_had(k, plant, method)
    ]  # fmt: skip
    assert sorted(pairs) == sorted(wanted)
    assert gone == {
        code for code, grass in k.grasses.items() if grass.made_by and grass.climates[found.climate] == "no"
    }
    for r in found.rows:
        assert bool(r.spans) != bool(r.none_why)
        for span in r.spans:
            assert span.opens.why
            assert span.closes.why
            assert "{" not in span.opens.why + span.closes.why


@pytest.mark.parametrize("place", SAMPLED)
def test_a_frost_date_never_stands_without_its_doubt(place: str) -> None:
    found = at(place)
    if found.frost.first:
        assert re.search(r"off by \d+ days on average", found.frost.says)
        assert re.search(r"Years differ by \d+ days", found.frost.says)
    frosts = {text for text in (found.frost.first, found.frost.last) if text}
    for r in found.rows:
        for edge in (edge for span in r.spans for edge in (span.opens, span.closes)):
            if re.search(r"frost", edge.why) and re.search(
                r"\d+ (January|February|March|April|May|June|July|August|September|October|November|December)",
                edge.why,
            ):
                assert re.search(r"about \d+ \w+, give or take \d+ days", edge.why)
                assert frosts


def test_a_told_frost_is_told_back_and_years_still_differ() -> None:
    found = at(f'{YORK}\nlast_frost = "04-25"')
    assert found.frost.last == "04-25"
    assert found.frost.doubt_days == 0
    assert "your word" in found.frost.says
    assert "Years differ" in found.frost.says
    spring = next(s for r in found.rows for s in r.spans if s.opens.code == "last-frost-near")
    assert "25 April, give or take 14 days" in spring.opens.why


def test_the_day_does_not_matter() -> None:
    assert at("richmond", "2026-01-02").as_json() == at("richmond", "2027-09-30").as_json()


def test_no_place_no_windows() -> None:
    with pytest.raises(SituationError, match="place is not known"):
        planting_calendar(fill(read_situation("[dates]\ntoday = 2026-05-20\n"), library()))


@pytest.mark.parametrize(
    ("place", "grass", "method", "window", "opens", "closes"),
    [
        ("phoenix", "common-bermudagrass", "broadcast-seed", "phoenix-bermudagrass", "05-01", "08-31"),
        ("richmond", "tall-fescue", "broadcast-seed", "virginia-south-fescue-spring", "02-01", "03-31"),
        ("darwin", "common-bermudagrass", "broadcast-seed", "darwin-lawns", "05-01", "07-31"),
        ("melbourne", "kikuyugrass", "thin-sod", "melbourne-turf", "09-01", "03-31"),
    ],
)
def test_the_printed_time_stands_beside_the_computed_one(
    place: str, grass: str, method: str, window: str, opens: str, closes: str
) -> None:
    found = row(place, grass, method)
    printed = next(p for p in found.printed if p.id == window)
    assert (printed.opens, printed.closes) == (opens, closes)
    assert printed.sources
    assert found.spans
    assert opens not in {s.opens.day for s in found.spans}, "never taken for the computed one"
    assert "In print for this region" in render_windows(at(place))


def test_warm_season_sod_is_given_more_weeks_to_root_than_cool_season_sod() -> None:
    """As the numbers say: that many weeks for each, and the sentence of a grass tells those of its own kind."""
    numbers, grasses = library().constants.windows, knowledge().grasses
    weeks = {"cool": numbers.sod_weeks, "warm": numbers.warm_sod_weeks_most}
    assert weeks["cool"] < weeks["warm"]
    said = {
        (grasses[lead_grass(knowledge(), grass.code)].season_type, found[1])
        for row in at("richmond").rows
        for way in row.ways
        for grass in way.grasses
        for span in row.spans
        if (found := re.search(r"within (\d+) weeks", span.opens.why))
    }
    assert said == {(kind, f"{weeks[kind]:g}") for kind in weeks}


def test_printed_times_hold_where_they_say() -> None:
    assert row("york", "perennial-ryegrass", "broadcast-seed").printed == ()
    tucson = at('name = "Tucson"\nregion = "Arizona"\ncountry = "us"')
    assert not [p for r in tucson.rows for p in r.printed]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("on", "wanted"), [("2026-04-05", "before"), ("2026-05-20", "inside"), ("2026-09-03", "after")]
)
def test_a_start_outside_the_printed_time_is_at_most_fair(on: str, wanted: str) -> None:
    """Phoenix: test plots say May to August; warmth says mid-March on."""
    situation = read_situation(
        f"[place]\n{PLACES['phoenix']}\n[dates]\ntoday = {on}\n[field]\nbare_percent = 60\n"
    )
    diagnosis = diagnose(adviser(), situation)
    draft = planted(
        diagnosis.knowledge,
        next(iter(diagnosis.zones)),
        "broadcast-seed",
        "common-bermudagrass",
        "plain",
        dt.date.fromisoformat(on),
        "earliest",
    )
    (weighed,) = diagnosis.weigh([draft]).values()
    assert weighed.facts["option.published-window"] == wanted
    fired = {rule.id for rule, _ in weighed.firings}
    assert ("outside-the-local-time" in fired) is (
        wanted != "inside" and weighed.facts["option.window"] == "good"
    )
    if wanted == "before":
        assert weighed.facts["option.window"] == "good"
        assert weighed.grades["risk"] in ("fair", "doubtful", "weak")


def test_where_a_day_lies_by_the_half_of_the_year() -> None:
    """A time printed for spring says nothing of autumn; the nearer edge says before or after."""
    filled = fill(read_situation(f"[place]\n{RICHMOND}\n[dates]\ntoday = 2026-05-20\n"), library())
    for on, wanted in (("02-15", "inside"), ("04-15", "after"), ("01-28", "before"), ("09-15", "none")):
        assert filled.published("tall-fescue/seed", day(on)) == wanted, on
    assert filled.published("tall-fescue/sod", day("04-15")) == "none"
    assert filled.published("tall-fescue-with-bluegrass/seed", day("02-15")) == "inside", (
        "a mixture goes by the grass that leads it"
    )


# ---------- texts ----------
def grade(text: str) -> float:
    """Flesch-Kincaid grade of a text, syllables counted by groups of vowels."""
    words = re.findall(r"[A-Za-z]+", text)
    ends = max(1, len(re.findall(r"[.!?;:](\s|$)", text)))
    beats = sum(max(1, len(re.findall(r"[aeiouy]+", re.sub(r"e$", "", w.lower())))) for w in words)
    return 0.39 * len(words) / ends + 11.8 * beats / len(words) - 15.59


def test_the_grade_is_that_of_known_sentences() -> None:
    assert grade("The cat sat on the mat.") < 2
    assert (
        grade("Agricultural institutions recommend establishing permanent vegetation considerably earlier.")
        > 15
    )


@pytest.mark.slow
def test_reasons_are_easy_to_read() -> None:
    k = knowledge()
    assert set(k.edges) == set(EDGE_CODES)
    for code, edge in k.edges.items():
        assert grade(re.sub(r"\{[^}]*\}", "ten", edge.says)) <= 8, code


@pytest.mark.slow
def test_notes_of_printed_times_are_easy_to_read() -> None:
    notes = " ".join(window.note for window in knowledge().windows.values())
    assert grade(notes) <= 8


# ---------- the page ----------
@pytest.mark.parametrize(
    ("name", "place", "width"), [("windows-80", "york", 80), ("windows-40", "richmond", 40)]
)
def test_screens(name: str, place: str, width: int) -> None:
    assert render_windows(at(place), width=width) == (SCREENS / f"{name}.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("width", [20, 40, 55, 80, 100, 300])
@pytest.mark.parametrize("place", SAMPLED)
def test_no_line_is_wider_than_the_page(place: str, width: int) -> None:
    page = min(100, max(40, width))
    for ascii_only in (False, True):
        said = render_windows(at(place), width=width, ascii_only=ascii_only)
        assert max(cell_len(line) for line in said.split("\n")) <= page
        assert said.isascii() or not ascii_only


def test_plain_lines_hold_no_picture() -> None:
    drawn, plain = render_windows(at("york")), render_windows(at("york"), plain=True)
    assert "J  F  M  A" in drawn
    assert "J  F  M  A" not in plain
    assert "GGG" not in plain
    assert "23 August to 26 September" in " ".join(plain.split())


def test_the_picture_is_the_window() -> None:
    """York, seed: good at the 5th, 15th and 25th from early April (it opens on 26 March) to late May, and from late August to late September."""
    lines = render_windows(at("york")).split("\n")
    months = next(n for n, line in enumerate(lines) if line.startswith("  J  F  M"))
    assert lines[months + 1].strip() == ".......ffGGGGGGffffffffGGGGff......."


# ---------- the command ----------
def decide(*words: str, data: str = "") -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "decide", *words],
        input=data.encode(),
        capture_output=True,
        cwd=ROOT,
        check=False,
    )


@pytest.mark.slow
def test_the_command_asks_for_no_day() -> None:
    done = decide("windows", "-", "--json", data=f"[place]\n{YORK}\n")
    assert done.returncode == 0, done.stderr
    assert done.stderr == b""
    assert PlantingCalendar.model_validate_json(done.stdout) == at("york")
    assert json.loads(done.stdout)["schema"] == "windows/1"
    assert (
        decide("windows", "-", data=f"[place]\n{YORK}\n")
        .stdout.decode()
        .startswith("When grass can be started: York")
    )


@pytest.mark.slow
def test_units_are_those_that_are_asked_for() -> None:
    us, metric = (
        decide("windows", "-", "--units", units, data=f"[place]\n{YORK}\n").stdout.decode()
        for units in ("us", "metric")
    )
    assert re.search(r"\d+ °F", us)
    assert not re.search(r"\d\.\d °F", us)
    assert "°F" not in metric


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "data", "code", "said"),
    [
        (["windows"], "", 2, "one situation file"), (["windows", "-", "--jsn"], "", 2, "--json"), (["windows", "no-such-file.toml"], "", 1, "No such file"),
        (["windows", "-"], "[dates]\ntoday = 2026-05-20\n", 1, "place.name"), (["windows", "-", "--width", "9"], "", 2, "20 to 400"),
        (["windows", "-"], '[place]\nname = "Yorkk"\n', 1, "Yorkk"),
    ],
)  # fmt: skip
def test_wrong_use(words: list[str], data: str, code: int, said: str) -> None:
    done = decide(*words, data=data)
    assert done.returncode == code
    assert done.stdout == b""
    assert said in done.stderr.decode()
    assert "Traceback" not in done.stderr.decode()

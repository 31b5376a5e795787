"""Published statements about decisions in Britain, Ireland, northern Europe and the south, held against whole consultations."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import pytest

from decide.answer.assemble import advice_of
from decide.cases.signed import Picks
from decide.decision.consultation import Consultation
from decide.model.reading import situation_from_dict
from tests.shared import adviser, sampled

GOOD = {"advised", "sound"}
POOR = {"risky", "not-advised", "ruled-out"}
COOL = "perennial ryegrass"


def verdicts(c: Consultation, **picks: Any) -> set[str]:
    """The verdicts of all options that match, at least one."""
    found = {w.verdict for w in c.ranked if Picks.model_validate(picks).match(w)}
    assert found, f"no option matches {picks}"
    return found


def choice(c: Consultation) -> tuple[str, str, str, str]:
    """Remedy, method, plant and variant chosen for the only zone."""
    (chosen,) = c.chosen.values()
    if chosen.option is None:
        return "none sound" if chosen.least_bad else "nothing to do", "", "", ""
    d = chosen.option.draft
    return d.remedy, d.method, d.plant, d.variant


def found(c: Consultation, fact: str) -> bool:
    """Whether the only zone has a diagnosis."""
    (facts,) = c.zone_facts.values()
    return facts.get(f"zone.{fact}") is True


def field(place: Mapping[str, Any], today: str, grass: str, bare: float, **more: Any) -> dict[str, Any]:
    """A field of one zone with sprinklers, machines and nobody on it; `more` replaces whole tables or adds to them."""
    situation: dict[str, Any] = {
        "place": dict(place),
        "dates": {"today": today, "can_close": "locked"},
        "site": {"goals_anchored": True, "services_marked": True, "dangers": ["none"]},
        "field": {
            "length_m": 100, "width_m": 60, "soil": "loam", "drainage": "good", "bare_percent": bare, "sun_hours": 9,
            "bare_pattern": "scattered", "grass": [{"grass": grass, "state": "green"}],
        },
        "means": {"water": "in-ground sprinklers", "wettings_weekday": 3, "contractor": True, "equipment_own": ["mower", "spreader"]},
        "history": {"herbicides": []},
    }  # fmt: skip
    for table, rows in more.items():
        if isinstance(rows, dict):
            situation[table] = {**situation.get(table, {}), **rows}
        else:
            situation[table] = rows
    return situation


def play(months: str, hours: float, players: str = "adult") -> list[dict[str, Any]]:
    return [{"sport": "football", "months": months.split(), "hours_per_week": hours, "players": players}]


WINTER_NORTH = "sep oct nov dec jan feb mar apr"
WINTER_SOUTH = "apr may jun jul aug"
YORK = {"name": "York", "country": "gb"}
EDINBURGH = {"name": "Edinburgh", "country": "gb"}
BELFAST = {"name": "Belfast", "country": "gb"}
COLOGNE = {"latitude": 50.94, "longitude": 6.96, "country": "de"}
MELBOURNE = {"name": "Melbourne", "country": "au"}
SYDNEY = {"name": "Sydney", "country": "au"}
GEELONG = {"name": "Geelong", "country": "au"}
PERTH = {"name": "Perth", "country": "au"}
AUCKLAND = {"name": "Auckland", "country": "nz"}
QUEENSTOWN = {"latitude": -45.03, "longitude": 168.66, "country": "nz"}
CORDOBA = {"name": "Córdoba", "country": "ar"}
HIGHVELD = {"name": "Johannesburg", "country": "za"}


@dataclass(frozen=True)
class Statement:
    """What one source says, in our words; a situation; and the check that agrees with it."""

    id: str
    source: str
    says: str
    situation: dict[str, Any]
    holds: Callable[[Consultation], bool]


STATEMENTS = [
    Statement(
        "british-close-season",
        "Ready to renovate?, Grounds Management Association magazine, April 2020",
        "Pitches are renovated in the close season and rested for four to six weeks at least: seed sown in mid May plays in August.",
        field(YORK, "2026-05-12", COOL, 60, dates={"play_by": "2026-08-15", "first_use": "matches"}, use=play(WINTER_NORTH, 4)),
        lambda c: choice(c)[0] == "establish" and choice(c)[2] in ("perennial-ryegrass", "ryegrass-with-bluegrass"),
    ),
    Statement(
        "bluegrass-only-as-turf",
        "Football pitch maintenance guide, a British seed trade guide",
        "In a close season of ten to twelve weeks bluegrass comes as turf only, never as seed.",
        field(YORK, "2026-05-20", COOL, 60, dates={"play_by": "2026-08-12", "play_by_firm": True, "first_use": "matches"}, use=play(WINTER_NORTH, 4)),
        lambda c: verdicts(c, method="broadcast-seed", plant="kentucky-bluegrass") <= {"ruled-out", "not-advised"}
        and "ruled-out" not in verdicts(c, method="thin-sod", plant="kentucky-bluegrass", **{"from": "2026-05-20", "until": "2026-05-31"}),
    ),
    Statement(
        "no-turf-on-frozen-ground",
        "When to lay turf and sow, British general pages",
        "Turf is laid from autumn to February, but never onto frozen ground.",
        field(YORK, "2026-01-20", COOL, 90, field={"bare_pattern": "solid"}, now={"ground": "frozen"}),
        lambda c: verdicts(c, method="thin-sod", **{"from": "2026-01-20", "until": "2026-01-27"}) <= POOR,
    ),
    Statement(
        "winter-hours-of-a-drained-pitch",
        "Natural Turf for Sport, second edition, Sport England, 2011",
        "An English pitch with pipe drains alone stands two to three hours a week in winter; six are too many, and two are not.",
        field(YORK, "2026-05-12", COOL, 40, field={"drainage": "slow"}, use=play(WINTER_NORTH, 6)),
        lambda c: found(c, "use-above-ground") and "advised" not in verdicts(c, remedy="establish"),
    ),
    Statement(
        "winter-hours-that-are-borne",
        "Natural Turf for Sport, second edition, Sport England, 2011",
        "Two hours a week in winter are within what a pipe drained pitch stands.",
        field(YORK, "2026-05-12", COOL, 40, field={"drainage": "slow"}, use=play(WINTER_NORTH, 2)),
        lambda c: not found(c, "use-above-ground"),
    ),
    Statement(
        "scottish-school-pitch",
        "School playing fields: planning and design guidance, sportscotland, 2006",
        "Eight adult hours a week is what a good school pitch stands; twelve on slow ground are too many.",
        field(EDINBURGH, "2026-06-15", COOL, 20, field={"drainage": "slow"}, use=play("apr may jun aug sep oct", 12)),
        lambda c: found(c, "use-above-ground"),
    ),
    Statement(
        "gaelic-eight-hours",
        "Advice note 20, The GAA Pitch, Ulster Council GAA",
        "A pitch stands about eight hours a week from February to October; ten are too many.",
        field(BELFAST, "2026-06-15", COOL, 20, field={"drainage": "slow"}, use=play("mar apr may jun jul aug sep oct", 10)),
        lambda c: found(c, "use-above-ground"),
    ),
    Statement(
        "german-twenty-hours",
        "Anlage und Pflege von Sportrasenflächen, Deutsche Rasengesellschaft",
        "More than 20 hours a week are borne on sand only; 18 on soil are more than low use.",
        field(COLOGNE, "2026-06-15", COOL, 20, use=play("apr may jun jul aug sep oct", 18)),
        lambda c: found(c, "use-above-ground"),
    ),
    Statement(
        "german-twenty-hours-on-sand",
        "Anlage und Pflege von Sportrasenflächen, Deutsche Rasengesellschaft",
        "18 hours a week of the growing season are borne on a sand root zone.",
        field(COLOGNE, "2026-06-15", COOL, 20, field={"rootzone": "sand built"}, use=play("apr may jun jul aug sep oct", 18)),
        lambda c: not found(c, "use-above-ground"),
    ),
    Statement(
        "german-thick-patches",
        "Rasenthema April 2011: Fertigrasen, Deutsche Rasengesellschaft, 2011",
        "Thick turf in goalmouths can be played on the next day; ordinary turf must root first.",
        field(
            COLOGNE, "2026-09-14", COOL, 90, dates={"play_by": "2026-09-23", "play_by_firm": True, "first_use": "matches"},
            field={"bare_pattern": "solid", "length_m": 20, "width_m": 10}, use=play(WINTER_NORTH, 6),
        ),
        lambda c: "ruled-out" not in verdicts(c, method="thick-sod", plant="perennial-ryegrass", **{"from": "2026-09-14", "until": "2026-09-22"})
        and verdicts(c, method="thin-sod", plant="perennial-ryegrass", **{"from": "2026-09-14", "until": "2026-09-22"}) <= POOR,
    ),
    Statement(
        "melbourne-couch-seed-not-in-september",
        "Frequently asked questions, warm season grass programme, Melbourne's water retailers, about 2009",
        "Couch is best sown in early November, not in early September.",
        field(MELBOURNE, "2026-09-04", "couch", 70, dates={"play_by": "2027-04-01"}, use=play(WINTER_SOUTH, 4)),
        lambda c: verdicts(c, method="broadcast-seed", plant="common-bermudagrass", **{"from": "2026-09-04", "until": "2026-09-30"}) <= POOR
        and bool(verdicts(c, method="broadcast-seed", plant="common-bermudagrass", **{"from": "2026-10-15", "until": "2026-11-30"}) & GOOD),
    ),
    Statement(
        "sydney-two-weeks",
        "Change of season, Sutherland Shire Council, New South Wales",
        "Grounds rest for two weeks between the seasons: too short for any seed, long enough for thick turf only.",
        field(
            SYDNEY, "2026-09-07", "couch", 80, dates={"play_by": "2026-09-21", "play_by_firm": True, "first_use": "matches"},
            field={"bare_pattern": "solid", "length_m": 20, "width_m": 10}, use=play("sep oct nov dec jan feb mar", 6),
        ),
        lambda c: verdicts(c, method=["broadcast-seed", "slit-seed", "hydromulch", "sprigs"]) <= {"ruled-out", "not-advised"}
        and choice(c)[1] == "thick-sod",
    ),
    Statement(
        "geelong-brown-couch",
        "Oversowing warm season turf, City of Greater Geelong, Victoria",
        "Dense couch that is brown for some months is safe to play on; the city advises against oversowing it.",
        field(GEELONG, "2026-06-15", "couch", 8, field={"grass": [{"grass": "couch", "state": "dormant"}]}, use=play("may jun jul aug", 3)),
        lambda c: choice(c)[0] in ("wait", "nothing to do"),
    ),
    Statement(
        "perth-september",
        "Spring turf renovation, City of Gosnells, Western Australia",
        "Couch reserves are renovated in spring by scarifying, coring and feeding what stands, not by sowing.",
        field(PERTH, "2026-09-28", "couch", 45, dates={"play_by": "2027-02-15"}, use=play(WINTER_SOUTH, 5)),
        lambda c: choice(c)[0] == "recover",
    ),
    Statement(
        "auckland-april",
        "A maintenance contractor's page on preparing rugby fields in South Auckland",
        "In early April a worn field is cored, oversown with ryegrass and sanded before the rugby season.",
        field(
            AUCKLAND, "2026-04-06", "kikuyu", 40, dates={"play_by": "2026-06-06", "play_by_firm": True, "first_use": "matches"},
            field={"drainage": "slow"}, use=play("jun jul aug sep", 6),
        ),
        lambda c: choice(c) == ("establish", "broadcast-seed", "perennial-ryegrass", "winter-overseed"),
    ),
    Statement(
        "kikuyu-spreads-back",
        "Case study: establishing the best grass species, New Zealand Sports Turf Institute, 2022",
        "Kikuyu bore double use and spread back over its gaps in the growing season.",
        field(AUCKLAND, "2026-12-01", "kikuyu", 50, dates={"play_by": "2027-04-01"}, use=play("may jun jul aug", 3)),
        lambda c: choice(c)[0] == "recover",
    ),
    Statement(
        "queenstown-winter",
        "Spring turf renovations underway, Queenstown Lakes District Council, 2010",
        "For three winter months nothing grows, so damage waits for spring.",
        field(QUEENSTOWN, "2026-07-01", COOL, 25, use=play(WINTER_SOUTH, 3)),
        lambda c: choice(c)[0] == "wait",
    ),
    Statement(
        "cordoba-oversowing-dates",
        "Temperaturas óptimas para resembrar especies mesotérmicas sobre céspedes de Cynodon dactylon, Universidad Nacional de Cuyo, 2013",
        "At Cordoba bermudagrass is oversown from mid March to early April.",
        field(
            CORDOBA, "2026-03-20", "bermudagrass", 35, dates={"play_by": "2026-05-20", "play_by_firm": True, "first_use": "matches"},
            field={"drainage": "slow"}, use=play("may jun jul aug sep", 7),
        ),
        lambda c: choice(c) == ("establish", "broadcast-seed", "perennial-ryegrass", "winter-overseed")
        and not verdicts(c, variant="winter-overseed", plant="perennial-ryegrass", **{"from": "2026-03-20", "until": "2026-04-10"}) & POOR,
    ),
    Statement(
        "highveld-runners",
        "Growers' kikuyu pages, South Africa",
        "Where it freezes kikuyu runners are set in spring and summer, not in winter.",
        field(HIGHVELD, "2026-07-06", "kikuyu", 80, dates={"play_by": "2027-04-01"}, field={"bare_pattern": "solid"}, use=play(WINTER_SOUTH, 3)),
        lambda c: verdicts(c, method="sprigs", plant="kikuyugrass", **{"from": "2026-07-06", "until": "2026-07-31"}) <= POOR
        and bool(verdicts(c, method="sprigs", plant="kikuyugrass", **{"from": "2026-09-15", "until": "2026-12-31"}) & GOOD),
    ),
    Statement(
        "sydney-closes-wet-grounds",
        "Oval closures and wet weather ground inspection guide, Sutherland Shire Council, New South Wales",
        "Ground with water standing on it is closed.",
        field(SYDNEY, "2026-06-15", "couch", 10, now={"ground": "waterlogged"}, use=play(WINTER_SOUTH, 5)),
        lambda c: any(doing.code == "close-today" for doing in advice_of(c).today),
    ),
]  # fmt: skip


@pytest.mark.parametrize("statement", sampled(STATEMENTS, 5, lambda s: s.id))
def test_decision_agrees_with_its_source(statement: Statement) -> None:
    consultation = adviser().consult(situation_from_dict(statement.situation))
    chosen = {zone: (c.option.draft.code if c.option else None) for zone, c in consultation.chosen.items()}
    assert statement.holds(consultation), f"{statement.source}: {statement.says} (chosen: {chosen})"

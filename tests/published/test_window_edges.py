"""Computed windows against every published edge that was found: a table of each with its days off, and the shares within 14 days.

None is left out because it misses. The share of all edges, unweighted, is said first, then the weighted ones, then the places
that took no part in any fit, then each kind. `python tests/bench/fit_windows.py` makes the fitted numbers anew.
"""

import dataclasses
from collections.abc import Iterable, Sequence

import pytest

from decide.knowledge.schema import RegionalWindow
from decide.measure import dates, windows
from tests.bench.fit_windows import FITS, Fit
from tests.published.edges import (
    CLOSE,
    FAR,
    Edge,
    constants,
    edges_of,
    published,
    share,
    written,
)
from tests.shared import knowledge

AIM = 0.85
CUSTOM = "custom, carried as regional knowledge"
SAME = "another page of the same place or region says otherwise"
MONTH = "bare months or seasons"
WHY = {
    f"{CUSTOM}: the upper South sows cool-season grass early in spring and stops early": "va_n_tf_spring opens, va_n_tf_spring closes, va_s_tf_spring opens, va_s_tf_spring closes, nc_tf_spring closes",
    f"{CUSTOM}: buffalograss burs are sown before they can sprout; its heat need is known from one place only": "co_buffalo opens, co_buffalo closes, co_buffalo_seed opens",
    f"{CUSTOM}: winters are so mild that grass could be sown earlier": "ca_cool_spring opens",
    f"{CUSTOM}: the page does not say why it begins late and stops soon": "ca_warm opens, ca_warm closes",
    f"{CUSTOM}: a month and a half later than any warmth explains, and to the last of August": "az_bermuda opens, az_bermuda closes",
    f"{CUSTOM}: the page does not say why; the soils may be too wet sooner": "or_w_spring opens",
    f"{CUSTOM}: a grower's page; the water retailers stop at the end of November": "vic_couch_seed closes",
    f"{CUSTOM}: garden pages sow until late autumn": "de_autumn closes",
    f"{CUSTOM}: the page does not say why it begins so late; sod is laid into early summer and late autumn": "mn_sod_spring opens, mn_sod_spring closes, mn_sod_autumn closes",
    f"{CUSTOM}: sown in the dry season under sprinklers, before storms can wash it out": "nt_bahia opens, nt_bahia closes",
    "for fields that must carry play in their first autumn; warmth would do from April to September": "la_field opens, la_field closes, la_sprigs opens, la_sod closes",
    f"{MONTH}: the page names the month and not the day": "va_s_bermuda closes, nc_bermuda opens, nc_bermuda closes, nc_centipede opens, oh_c opens, oh_c_spring opens, ks_cool_spring opens, ks_jc_spring opens, ks_s_tf_spring opens, de_spring opens, nh_s_spring opens, ga_overseed opens, pl opens, be opens, uk_m_spring opens, az_sod opens, az_sod closes, tr_inland_spring opens, tr_coast_spring opens, tr_coast opens",
    f"{MONTH}: March and April are named as best of spring, whatever the day": "ie_spring closes, ie_mag_spring closes",
    f"{SAME}: Virginia's north and Maryland differ by a month at the same warmth": "va_n_kbg closes",
    f"{SAME}: the state's low-input page goes to early October": "or_w closes",
    f"{SAME}: a county's best fortnight; the state page goes to mid-October": "nc_p_tf closes",
    f"{SAME}: pasture advice; a newspaper's lawn page goes to the end of May": "nz_n_rye closes",
    f"{SAME}: two Dutch pages are a month apart at each end, two Belgian ones at the opening": "nl_spring opens, nl_spring closes, nl opens, nl_pro closes, be_w_spring opens",
    f"{SAME}: Phoenix is told from late September, from 1 October and from mid-October": "az_tucson opens, az_over_answer closes",
    f"{SAME}: Georgia is told from September in the north-east and from mid-October in the east": "ga_over_e opens, ga_over_e closes",
    f"{SAME}: Kansas is told to the end of April and to 10 April": "ks_jc_spring closes, ok_tf_spring closes",
    f"{SAME}: Oklahoma's pages name 1 July for most bermudagrass; trials farther north go to mid-July": "ok_sprigs closes",
    "remembered: three months of growth before October, by a rule of thumb; 40 days after the last frost is in mid-April": "cut_la_b closes, tx_bermuda opens, tx_bermuda closes",
    "a last date, or the whole time in which it can be done, not the end of its best part": "mi_spring closes, mn_tf_spring closes, co_spring opens, uk_m closes, vic_over closes, cn_mid closes, fr_n_spring closes",
    "mid-March is named for the rain that comes with it; autumn sowing goes on, slowly, in the fair part": "vic_cool opens, vic_cool closes",
    "pasture sprigs go in dormant, weeks before they grow": "tx_sprigs opens",
    "a page says later than the safe heat of colder winters, or than the heat at which other pages close": "nh_s closes, mn_c closes, nd closes, es closes, fr_n closes, fr_s closes, be_w closes, be closes, pl closes, ro closes, cn_n closes, ar_nqn closes, tr_coast closes",
    "a page keeps further from summer than heat explains": "es_spring closes, cn_e_spring closes, cn_e closes, tr_coast_spring closes",
    "a page waits for more warmth than others of like places": "fr_n_spring opens, it_s_bermuda opens, ok_sod opens, co_buffalo_sod opens, jp_sod_spring opens, cn_s opens",
    "a page begins before the heat is past, or before the frost is": "kr opens, on_spring opens, ar_ros_over opens, sc_bermuda opens",
    "a page speaks of the best time for covering in the first year; the computed window is that of living on": "kr_zoysia closes, jp_manila closes, sc_bermuda closes, br_s closes, cn_s closes",
    "the season in which turf is laid, though it roots only in spring": "sa_sod closes, nsw_sod closes",
    "no cold season is computed here: turf may be laid all year": "qld_sod opens",
    "a short time is named; warmth for overseeding lasts longer": "ca_desert closes, ca_coast_over closes",
}  # fmt: skip
WHY_OFF = {name: why for why, names in WHY.items() for name in names.split(", ")}
# The rows collected first: the checks that were made for them stay as they were.
FIRST, SECOND = 40, 78


def why(edge: Edge) -> str:
    return "" if edge.close else WHY_OFF.get(edge.name, "")


def custom(edge: Edge) -> bool:
    return why(edge).startswith(CUSTOM)


@pytest.fixture(scope="module")
def edges() -> tuple[Edge, ...]:
    return edges_of(published(), constants())


@pytest.fixture(scope="module")
def earlier(edges: tuple[Edge, ...]) -> tuple[Edge, ...]:
    keys = {row.key for row in published()[:SECOND]}
    return tuple(e for e in edges if e.row.key in keys)


def plain(of: Iterable[Edge]) -> float:
    """Share of the edges within CLOSE days, each counted once."""
    rows = list(of)
    return sum(e.close for e in rows) / len(rows)


def row_for(e: Edge) -> RegionalWindow | None:
    """The local row of the knowledge that is shown beside this edge, if there is one: local print beats the sum."""
    season = "year" if e.row.season in ("warm", "overseed") else e.row.season.removeprefix("sod-")
    for row in knowledge().windows.values():
        if (
            e.row.grass in row.grasses
            and e.row.start in row.starts
            and (row.variant == "winter-overseed") == (e.row.season == "overseed")
            and row.part in ("year", season)
            and row.radius_km is not None
            and windows.km_apart(*e.row.at, *row.centre) <= row.radius_km
        ):
            return row
    return None


def told(e: Edge) -> Edge:
    """The edge as the reader is told it: by the local row where one stands beside it."""
    row = row_for(e)
    if row is None:
        return e
    month, of_month = map(int, getattr(row, e.which).split("-"))
    return dataclasses.replace(e, computed=dates.first_of_month(month) + of_month - 1)


def show(edges: Sequence[Edge]) -> None:
    """The table: each edge, published, computed, days off, how much it counts, held out or not, and the reason."""
    print()
    for e in edges:
        mark = "held out" if e.row.held_out else "fit"
        off = "-" if e.off is None else f"{e.off:+d}"
        print(
            f"{e.name:24} {e.kind:12} {e.row.grass:20} {written(e.published):5} {written(e.computed):5} {off:>5} "
            f"{e.counts:.2f} {mark:8} {why(e)}"
        )
    held = [e for e in edges if e.row.held_out]
    fit = [e for e in edges if not e.row.held_out]
    print(f"\nwithin {CLOSE} days, each edge counted once (aim {AIM:.0%}); then by weight")
    groups = [("all", list(edges)), ("took part in fits", fit), ("held out", held)]
    groups += [(kind, [e for e in edges if e.kind == kind]) for kind in sorted({e.kind for e in edges})]
    groups += [
        ("all, as told with local rows", [told(e) for e in edges]),
        ("held out, as told with local rows", [told(e) for e in held]),
        ("not carried as custom", [e for e in edges if not custom(e)]),
    ]
    for name, rows in groups:
        print(
            f"{name:34} {sum(e.close for e in rows):3} of {len(rows):3} {plain(rows):4.0%} {share(rows):4.0%}"
        )


@pytest.mark.slow
def test_published_edges(edges: tuple[Edge, ...]) -> None:
    """All edges, each counted once, and those of places that took no part in any fit; the aim of 85 in 100 is not reached.

    The shares may not fall under what they were when the windows were fitted (67 and 68), less what a change of the climate
    table could shift.
    """
    show(edges)
    assert plain(edges) >= 0.64
    assert plain(e for e in edges if e.row.held_out) >= 0.64


@pytest.mark.slow
def test_published_edges_of_the_second_rows(earlier: tuple[Edge, ...]) -> None:
    """Of the first 78 windows at least 85 in 100 of what climate can explain, by weight; and no less than before of the rest.

    Counting the customs too the share is lower: it may not fall under what it was when they were fitted (76, of it held out
    69), less what a change of the climate table could shift.
    """
    assert share(e for e in earlier if not custom(e)) >= 0.85
    assert share(earlier) >= 0.73
    assert share(e for e in earlier if e.row.held_out) >= 0.65


def narrower(e: Edge) -> bool:
    """Whether the published window stops short at this edge of what climate explains, and is carried as regional knowledge."""
    return custom(e) and e.off is not None and (e.off < 0 if e.which == "opens" else e.off > 0)


def test_published_edges_of_the_first_rows(edges: tuple[Edge, ...]) -> None:
    """Of the forty windows collected first, at least 85 in 100 edges by weight; only what is published as narrower, and carried so, is left out."""
    first = {row.key for row in published()[:FIRST]}
    assert share(e for e in edges if e.row.key in first and not narrower(e)) >= 0.85


@pytest.mark.slow
def test_every_edge_far_off_has_its_reason(edges: tuple[Edge, ...]) -> None:
    off = {e.name for e in edges if not e.close}
    assert off - set(WHY_OFF) == set(), "no reason is given"
    assert set(WHY_OFF) - off == set(), "the reason is no longer needed"


def test_a_custom_is_carried_as_regional_knowledge(edges: tuple[Edge, ...]) -> None:
    """Each edge that is put down to custom is shown to the user from knowledge/windows.toml, with the same dates."""
    rows = list(knowledge().windows.values())
    for e in edges:
        if custom(e):
            named = [
                r
                for r in rows
                if e.row.grass in r.grasses
                and e.row.start in r.starts
                and written(e.published) in (r.opens, r.closes)
            ]
            assert any(
                r.radius_km is not None and windows.km_apart(*e.row.at, *r.centre) <= r.radius_km
                for r in named
            ), e.name


@pytest.mark.slow
@pytest.mark.parametrize("fit", FITS, ids=[fit.name for fit in FITS])
def test_fitted_numbers_leaving_one_place_out(fit: Fit) -> None:
    """Each number in use costs at most a day and a half more than the best of its fit (the costs are flat), and holds when any one place is left out.

    Cost: mean days off, each counted as at most 30. Leaving a place out, the number that is best for the others predicts the
    place; its mean miss is printed beside the miss in the fit, and may be at most a week more.
    """
    table = fit.table()
    best = min(fit.values, key=table.cost)
    nearest = min(fit.values, key=lambda v: abs(v - fit.used))
    miss = table.left_out()
    print(
        f"\n{fit.name}: in use {fit.used:g}, best {best:g}; mean days off {table.cost(nearest):.1f} in the fit, "
        f"{miss:.1f} leaving a place out ({len(table.rows)} edges, each at most {FAR})"
    )
    assert table.cost(nearest) <= table.cost(best) + 1.5
    assert miss <= table.cost(best) + 7

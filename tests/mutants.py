"""Wrong judgements to plant: each is one that a reader could write by mistake, and that some test must notice."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Mutant:
    """A wrong judgement: the text that is right, which stands once in `decide` or `knowledge`, the text that is wrong,
    and the tests of which one must fail.
    """

    name: str
    right: str
    wrong: str
    tests: tuple[str, ...]


MUTANTS = (
    Mutant(
        "the risk is not looked at where lasting grass is taken",
        """"option.else-essential in {good, soft, open}", "option.risk-end in {good, soft, open}"]
then = { conclude = "option.role-lasting" }""",
        """"option.else-essential in {good, soft, open}"]
then = { conclude = "option.role-lasting" }""",
        ("tests/decision/test_roles.py",),
    ),
    Mutant(
        "the best end of a grade is taken for its worst",
        "criterion: worst([*sure[criterion], *maybe[criterion]",
        "criterion: best([*sure[criterion], *maybe[criterion]",
        ("tests/decision/test_rank.py",),
    ),
    Mutant(
        "what can hardly be done counts as good as what can",
        "_ends(w, [criterion for criterion in CRITERIA if criterion in essential and criterion != TIME])",
        "_ends(w, [criterion for criterion in CRITERIA if criterion in essential and criterion not in "
        '(TIME, "can-be-done")])',
        ("tests/decision/test_rank.py",),
    ),
    Mutant(
        "in columns what can hardly be done counts as good as what can",
        "            [criterion for criterion in CRITERIA if criterion in essential and criterion != TIME]\n",
        "            [criterion for criterion in CRITERIA if criterion in essential and criterion not in "
        '(TIME, "can-be-done")]\n',
        ("tests/decision/test_grades.py",),
    ),
    Mutant(
        "what is late stands before what is risky",
        '("advised", "sound", "risky", "late", "not-advised", "ruled-out")\nLIKE',
        '("advised", "sound", "late", "risky", "not-advised", "ruled-out")\nLIKE',
        ("tests/decision/test_rank.py",),
    ),
    Mutant(
        "the free days are counted from today, not from the start",
        "is_free(filled, zone, start + dt.timedelta(days=step))",
        "is_free(filled, zone, filled.today + dt.timedelta(days=step))",
        ("tests/test_judgements.py",),
    ),
    Mutant(
        "an answer that could rule the choice out leaves the advice likely",
        '[sure.could-be-ruled-out]\norder = 3\nlevel = "open"',
        '[sure.could-be-ruled-out]\norder = 3\nlevel = "likely"',
        ("tests/cases/test_bank.py::test_signed[all-but-sprays-muncie]",),
    ),
    Mutant(
        "a machine to be hired counts as farther than a contractor",
        '"own", "hire", "contractor", "missing"',
        '"own", "contractor", "hire", "missing"',
        ("tests/test_judgements.py::test_machines_are_as_far_as_the_farthest",),
    ),
    Mutant(
        "only the worse of sun and rain slows growth",
        "share *= 1 - short / (7 * need)",
        "share = min(share, 1 - short / (7 * need))",
        ("tests/test_judgements.py::test_too_little_sun_and_too_little_rain_slow_growth_together",),
    ),
    Mutant(
        "a sand cap plays as the soil under it",
        '[sand-cap]\nsoil = "sand"\nground = "sand"',
        '[sand-cap]\nsoil = "sand"\nground = "poor"',
        ("tests/test_judgements.py::test_a_sand_cap_plays_as_sand_whatever_is_under_it",),
    ),
    Mutant(
        "a year's nitrogen is counted over half a year",
        'says = [{ value = 365, source = "calculated", note = "a year back',
        'says = [{ value = 180, source = "calculated", note = "a year back',
        ("tests/test_judgements.py::test_a_feed_of_ten_months_ago_counts_for_the_year",),
    ),
    Mutant(
        "of two sellers the faster says by when to decide",
        "lead = max((told[n].lead_days",
        "lead = min((told[n].lead_days",
        ("tests/test_judgements.py::test_of_two_sellers_the_slower_says_by_when_to_decide",),
    ),
    Mutant(
        "whether a contractor can be had is not among what moves the cost",
        '"option.cost", keys=COST_KEYS, also=["today", "means.contractor"]',
        '"option.cost", keys=COST_KEYS, also=["today"]',
        ("tests/facts/test_declared.py",),
    ),
    Mutant(
        "the stated slope itself counts as level",
        "slope >= steep",
        "slope > steep",
        ("tests/test_judgements.py::test_from_the_slope_that_is_stated_on_a_wetting_is_halved",),
    ),
    Mutant(
        "steep ground is warned of everywhere",
        "site.slope-percent > value:slope-mower",
        "site.slope-percent >= 0 percent",
        ("tests/test_judgements.py::test_a_caution_for_steep_ground_is_given_on_steep_ground_alone",),
    ),
)

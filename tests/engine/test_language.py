"""The grammar of conditions and templates, and the laws that a rule must keep."""

from __future__ import annotations

from dataclasses import replace

import pytest
from small import FACTS, NUMBERS, base, caution, concludes, names, rule

from decide.engine.language import ADVERSE, GRADES, SOFT, Conclusion, rounded
from decide.engine.written import parse_condition, parse_template
from decide.model.errors import KnowledgeError


def parse(text):
    return parse_condition(text, FACTS, NUMBERS)


def refused(text):
    with pytest.raises(KnowledgeError) as caught:
        parse(text)
    return str(caught.value)


def test_a_level_condition():
    condition = parse("site.water is hand-hose")
    assert (condition.fact, condition.op, condition.levels) == ("site.water", "is", ("hand-hose",))
    assert parse("site.water is not can").op == "is not"
    assert parse("site.water in {none, can}").levels == ("none", "can")
    assert parse("site.place is anything-at-all").levels == ("anything-at-all",)


def test_a_truth_condition_has_no_levels():
    assert parse("zone.sunny is true").levels == ()
    assert parse("zone.sunny is not true").op == "is not"


def test_numbers_are_converted_to_the_unit_of_the_fact():
    assert parse("site.cold < 32 F").number == 0
    assert parse("option.weeks > 14 day").number == 2
    assert parse("option.weeks < 1 day").number == rounded(1 / 7) == 0.143
    assert parse("site.cold > -3.5 C").number == -3.5


def test_zero_needs_no_unit_and_is_never_negative():
    assert str(parse("site.cold < 0").number) == "0.0"
    assert str(parse("site.cold < -0.0 C").number) == "0.0"


def test_a_value_comes_with_its_number_and_its_name():
    condition = parse("zone.bare >= value:much-bare")
    assert (condition.number, condition.value, condition.index) == (40.0, "much-bare", "")


def test_an_indexed_value_comes_as_a_table_in_the_unit_of_the_fact():
    condition = parse("option.weeks < value:time[option.grass]")
    assert condition.number is None
    assert condition.table == {"rye": 3.0, "blue": 8.0}
    assert condition.facts == ("option.weeks", "option.grass")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("zone.bare", "'zone.bare' is not a condition. Write: fact is level, fact in {a, b}, or fact < number unit"),
        ("zone.bear < 3 percent", "there is no fact 'zone.bear'. Write 'zone.bare'?"),
        ("zone.bare < 3", "in 'zone.bare < 3': a number needs its unit. Write: 3 percent"),
        ("zone.bare < 3 parsec", "in 'zone.bare < 3 parsec': 'parsec' is not a unit. Write: 3 percent"),
        ("zone.bare is rye", "in 'zone.bare is rye': zone.bare is a number. Compare it with <, <=, > or >="),
        ("zone.grass < 3 day", "in 'zone.grass < 3 day': zone.grass is not a number. Compare it with is, is not or in"),
        ("zone.grass is ryee", "in 'zone.grass is ryee': zone.grass is never 'ryee'. Write 'rye'?"),
        ("zone.grass in rye", "in 'zone.grass in rye': the levels of `in` stand in braces. Write: fact in {a, b}"),
        ("zone.grass in {rye, rye}", "in 'zone.grass in {rye, rye}': a level stands twice"),
        ("zone.sunny is false", "in 'zone.sunny is false': zone.sunny is true or not. Write: zone.sunny is true"),
        ("zone.bare < value:much-bear", "in 'zone.bare < value:much-bear': there is no value 'much-bear'. Write 'much-bare'?"),
        ("option.weeks < value:time", "in 'option.weeks < value:time': value 'time' is a family. Write value:time[fact] with the fact that holds its key"),
        ("zone.bare < value:much-bare[zone.grass]", "in 'zone.bare < value:much-bare[zone.grass]': value 'much-bare' is a single number. Write value:much-bare without [zone.grass]"),
        ("option.weeks < value:time[site.water]", "in 'option.weeks < value:time[site.water]': value 'time' has key 'rye', which site.water never is. Write one of: can, hand-hose, none"),
        ("option.weeks < value:time[option.weeks]", "in 'option.weeks < value:time[option.weeks]': option.weeks cannot index a value: it is not a level"),
    ],
)  # fmt: skip
def test_a_wrong_condition_says_what_to_write(text, message):
    assert refused(text) == message


def test_a_number_in_the_wrong_kind_of_unit_is_refused():
    assert "zone.bare < 3 week" in refused("zone.bare < 3 week")


def test_a_template_knows_its_holes():
    template = parse_template(
        "{option.grass} needs {value:time[option.grass]}.", FACTS, NUMBERS, ("site", "zone", "option")
    )
    assert template.parts == (("fact", "option.grass", ""), " needs ", ("value", "time", "option.grass"), ".")
    assert template.facts == ("option.grass", "option.grass")
    assert template.values == ("time",)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("{zone.bear}", "the text names fact 'zone.bear', which there is not. Write 'zone.bare'?"),
        (
            "{value:time}",
            "the text names value 'time' without a key. Families need [fact], single values do not",
        ),
        (
            "{option.weeks}",
            "the text names option.weeks, which this rule cannot read. It may read: site, zone",
        ),
        ("a } b", "the text has a brace that opens or closes nothing"),
    ],
)
def test_a_wrong_template_says_what_to_write(text, message):
    with pytest.raises(KnowledgeError) as caught:
        parse_template(text, FACTS, NUMBERS, ("site", "zone"))
    assert str(caught.value) == message


def wrong(*rules):
    with pytest.raises(KnowledgeError) as caught:
        base(*rules)
    return str(caught.value)


def test_a_rule_reads_only_its_own_scopes():
    assert (
        wrong(caution("far", "zone", "option.weeks > 0"))
        == "rule 'far': reads option.weeks, but a rule about zone reads only site, zone"
    )


def test_derived_facts_are_negated_only_in_exceptions():
    assert "negates the derived fact zone.worn in `when`" in wrong(
        caution("not-worn", "zone", "zone.worn is not true")
    )
    assert names(
        base(caution("worn", "zone", "zone.sunny is true", unless={"new": ["zone.worn is not true"]})).rules
    ) == ["worn"]


def test_exceptions_never_make_advice_bolder():
    bold = rule(
        "bold",
        "option",
        ["option.weeks > 0"],
        Conclusion("mark", "money", "strong"),
        {"x": ["option.grass is rye"]},
    )
    assert "an exception that could make advice bolder" in wrong(bold)
    assert "an exception that could make advice bolder" in wrong(
        concludes("plain", "site.dry", "site.cold > 0", unless={"x": ["site.water is can"]})
    )
    mild = rule(
        "mild",
        "option",
        ["option.weeks > 0"],
        Conclusion("mark", "money", "weak"),
        {"x": ["option.grass is rye"]},
    )
    cause = concludes("cause", "zone.cause-overuse", "zone.bare > 0", unless={"x": ["zone.sunny is true"]})
    assert names(base(mild, cause).rules) == ["mild", "cause"]


@pytest.mark.parametrize("grade", [*ADVERSE, *SOFT])
def test_exceptions_lift_only_what_speaks_against_or_doubts(grade):
    one = rule(
        "one",
        "option",
        ["option.weeks > 0"],
        Conclusion("mark", "money", grade),
        {"x": ["option.grass is rye"]},
    )
    if grade in ("fair", "strong"):
        assert "an exception that could make advice bolder" in wrong(one)
    else:
        assert names(base(one).rules) == ["one"]


@pytest.mark.parametrize("grade", [*ADVERSE, *SOFT])
def test_only_what_speaks_against_or_doubts_says_when_it_is_sound(grade):
    one = replace(
        rule("one", "option", ["option.weeks > 0"], Conclusion("mark", "money", grade)),
        sound_if=parse_template("it is cheap", FACTS, NUMBERS, ("option",)),
    )
    assert one.adverse is (grade in ADVERSE)
    if grade in ("fair", "strong"):
        assert (
            wrong(one)
            == "rule 'one': says when it is sound, but speaks against nothing. Only rule-outs and marks below fair have `sound-if`"
        )
    else:
        assert names(base(one).rules) == ["one"]


def test_unknown_is_no_grade_that_a_rule_gives():
    assert wrong(
        rule("one", "option", ["option.weeks > 0"], Conclusion("mark", "money", "unknown"))
    ).startswith("rule 'one': 'unknown' is not a grade.")
    assert list(GRADES) == [*ADVERSE, "unknown", *SOFT]


def test_twins_and_double_ids_are_found():
    assert wrong(caution("one", "zone", "zone.bare > 0"), caution("one", "zone", "zone.bare < 0")).startswith(
        "rule 'one' stands twice"
    )
    first = rule("first", "zone", ["zone.bare > 0", "zone.sunny is true"], Conclusion("caution", "same"))
    second = rule("second", "zone", ["zone.sunny is true", "zone.bare > 0"], Conclusion("caution", "same"))
    assert wrong(first, second) == "rules 'first' and 'second' are twins. Keep one"


def test_a_circle_is_named():
    message = wrong(
        concludes("a", "site.dry", "site.harsh is true"), concludes("b", "site.harsh", "site.dry is true")
    )
    assert message.startswith("a derived fact rests on itself: ")
    assert message.count("site.dry") + message.count("site.harsh") == 3


def test_a_circle_through_an_exception_is_found_too():
    rests = concludes("a", "site.cause-frost", "site.cold < 0", unless={"x": ["site.harsh is not true"]})
    assert "rests on itself" in wrong(rests, concludes("b", "site.harsh", "site.cause-frost is true"))


def test_too_many_conditions_are_refused():
    many = caution("many", "zone", *(f"zone.bare > {number}.5 percent" for number in range(15)))
    assert wrong(many) == "rule 'many': has 15 conditions. At most 14; derive a fact from some of them"


def test_strata_put_givers_below_readers():
    made = base(
        caution("reads", "site", "site.harsh is true"),
        concludes("gives-harsh", "site.harsh", "site.dry is true"),
        concludes("gives-dry", "site.dry", "site.water is none"),
    )
    assert [names(stratum) for stratum in made.strata["site"]] == [["gives-dry"], ["gives-harsh"], ["reads"]]


def test_tracked_facts_are_those_negated_and_all_below_them():
    made = base(
        concludes("gives-harsh", "site.harsh", "site.dry is true"),
        concludes("gives-dry", "site.dry", "site.water is none"),
        concludes("gives-worn", "zone.worn", "zone.bare > 0"),
        caution("reads", "zone", "zone.worn is true", unless={"mild": ["site.harsh is not true"]}),
    )
    assert made.tracked == {"site.harsh", "site.dry"}

"""What moves with the years is told once its day has passed, and nothing of it is without a day."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from decide.knowledge.audit_review import check_reviewed, check_reviews
from decide.knowledge.compile import compile_rules
from decide.knowledge.schema_audit import ReviewRow
from tests.shared import knowledge

BY = "2028-01-01"
DAY = dt.date(2028, 1, 1)
LATE = DAY + dt.timedelta(days=1)


def told(row: ReviewRow) -> str:
    """What is told of a review the day after."""
    k = replace(knowledge(), reviews={"it": row}, where={})
    assert [*check_reviews(k, DAY)] == []
    (late,) = check_reviews(k, LATE)
    return late.wrong


def test_a_number_past_its_review_is_told_by_the_day():
    assert told(ReviewRow(values=("sun-hours-any",), by=BY, because="It moves.")) == (
        "1 number was to be looked at again by 2028-01-01: sun-hours-any"
    )


def test_numbers_of_one_year_and_laws_are_told_like_prices():
    said = told(ReviewRow(dated=True, by=BY, because="It moves."))
    assert "currency-per-dollar" in said
    assert "price-" not in said
    laws = told(ReviewRow(laws=True, by=BY, because="It moves."))
    assert "pesticides-barred-ontario" in laws
    local = [
        r for r in compile_rules(knowledge()).rules if any("site.region" in c.facts for c in r.conditions)
    ]
    assert laws.startswith(f"{len(local) + len(knowledge().feed_laws)} laws were to be looked at again")
    assert "worms-ask-first" not in laws


def test_all_that_moves_with_the_years_has_its_day():
    assert [*check_reviewed(knowledge(), compile_rules(knowledge()).rules)] == []
    three = {"prices", "of-one-year", "laws"}
    assert three <= knowledge().reviews.keys()
    for gone in three:
        rest = {code: row for code, row in knowledge().reviews.items() if code != gone}
        left = replace(knowledge(), reviews=rest)
        assert [*check_reviewed(left, compile_rules(knowledge()).rules)], gone

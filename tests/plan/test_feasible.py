"""The starts that a person reads of leave room for all that must come before them."""

from __future__ import annotations

import datetime as dt
from types import SimpleNamespace

import pytest

from decide.decision.programme import Chosen
from decide.decision.rank import Weighed
from decide.engine.language import ADVERSE
from decide.plan import feasible
from decide.plan.starts import first_start
from tests.decision.fields import shut, weedy
from tests.decision.made import DAY, made


def told(c) -> list[Weighed]:
    return [
        w
        for chosen in c.chosen.values()
        for w in chosen.told
        if w.draft.remedy == "establish" and w.draft.start is not None
    ]


@pytest.mark.parametrize("field", [lambda: shut("2026-09-20"), weedy], ids=["at-once", "weeds-first"])
def test_every_start_that_is_told_leaves_room_for_what_comes_before(field):
    c = field()
    assert told(c)
    for w in told(c):
        assert c.measures.start_short[w.draft.code] == 0
        assert first_start(c, w) == w.draft.start


def test_where_nothing_must_come_before_no_start_is_moved():
    assert set(shut("2026-09-20").measures.start_short.values()) == {0}


def test_a_start_that_comes_too_soon_is_marked_and_the_first_that_fits_stands_beside_it():
    c = weedy()
    late = {code: days for code, days in c.measures.start_short.items() if days}
    assert late
    for code, days in late.items():
        soon = c.weighed[code]
        assert soon.facts["option.start-short"] == days
        assert soon.grades["can-be-done"] in ADVERSE
        assert "start-too-soon" in {rule.id for rule, _ in soon.firings}
        fits = [
            w
            for w in c.ranked
            if w.way == soon.way
            and w.draft.zone == soon.draft.zone
            and w.draft.start == soon.draft.start + dt.timedelta(days=days)
        ]
        assert [c.measures.start_short.get(w.draft.code) for w in fits] == [0]
        assert c.ranked.index(fits[0]) < c.ranked.index(soon)


class Pushed:
    """A consultation whose one option is always told, and which counts how often it is put in order."""

    def __init__(self) -> None:
        self.measures = SimpleNamespace(start_short={})
        self.drafts = [made().draft]
        self.weighed = {self.drafts[0].code: made()}
        self.turns = 0
        self.rank()

    def weigh(self, drafts):
        return {draft.code: Weighed(draft, {}) for draft in drafts}

    def rank(self) -> None:
        self.turns += 1
        self.chosen = {"a": Chosen(max(self.weighed.values(), key=lambda w: w.draft.start))}


def later(_, w: Weighed) -> dt.date:
    return w.draft.start + dt.timedelta(days=3)


def test_options_that_are_always_pushed_on_end_after_some_rounds(monkeypatch):
    """Each start that fits is known to fit; what it brings to the front is measured anew, and that ends."""
    c = Pushed()
    feasible.fitted(c, later)
    assert (c.measures.start_short, [draft.start for draft in c.drafts]) == (
        {c.drafts[0].code: 3, c.drafts[1].code: 0},
        [DAY, DAY + dt.timedelta(days=3)],
    )
    c = Pushed()
    others = iter(made(f"grass-{n}") for n in range(99))

    def another(self) -> None:
        self.turns += 1
        w = next(others)
        self.weighed[w.draft.code] = w
        self.chosen = {"a": Chosen(w)}

    monkeypatch.setattr(Pushed, "rank", another)
    feasible.fitted(c, later)
    assert c.turns == 1 + feasible.ROUNDS


def test_a_start_is_never_moved_forward():
    c = Pushed()
    feasible.fitted(c, lambda _, w: w.draft.start - dt.timedelta(days=3))
    assert (set(c.measures.start_short.values()), len(c.drafts), c.turns) == ({0}, 1, 1)

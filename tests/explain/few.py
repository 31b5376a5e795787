"""Situations made from the case bank by changing told answers over their declared levels, judged with a few options each."""

from __future__ import annotations

import random
from collections.abc import Iterator

from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.engine.language import FactType
from decide.explain.changes import KEYS, plain_key, with_changes
from decide.facts.complete import fill
from decide.facts.draft import Draft
from decide.model.errors import DecideError, SituationError
from decide.model.reading import situation_from_dict
from decide.questions.answers import as_answers
from tests.shared import case_codes, case_of

MOST = 8
# Another place is another season of weather, which takes long to work out; the case bank has places enough.
KEPT = ("place", "proposal", "record")


class Few(Consultation):
    """A consultation with at most a few options: those that are no new grass, and new grass spread over the list."""

    def options(self) -> list[Draft]:
        every = super().options()
        kept = [draft for draft in every if draft.remedy != "establish"]
        new = [draft for draft in every if draft.remedy == "establish"]
        room = max(2, MOST - len(kept))
        return [*kept, *(new[:: max(1, len(new) // room)][:room])]


def values_of(kind: FactType) -> list[object]:
    """Values of a told fact: each level, yes and no, or the ends and the middle of its range."""
    if kind.type == "true":
        return [True, False]
    if kind.levels:
        return list(kind.levels)
    if kind.low is None or kind.high is None:
        return []
    step = kind.step or 1
    return [kind.low, kind.low + step, (kind.low + kind.high) / 2, kind.high]


def few(adviser: Adviser, answers: dict) -> Few | None:
    """The consultation on some answers; None where they contradict each other."""
    try:
        situation = situation_from_dict(answers)
        return Few(adviser, fill(situation, adviser.library), "metric", frozenset())
    except SituationError:
        return None


def mutants(adviser: Adviser, each: int, seed: int, cases: slice = slice(None)) -> Iterator[tuple[str, Few]]:
    """So many situations from each case, each with one to four told answers changed; they are the same for a seed."""
    rng = random.Random(seed)
    told = {}
    for kind in adviser.base.facts.values():
        key = kind.told
        if (
            kind.kind == "told"
            and key in KEYS
            and key.partition(".")[0] not in KEPT
            and kind.name.count(".") == 1
            and plain_key(key) == key
            and values_of(kind)
        ):
            told[key] = kind
    keys = sorted(told)
    for case in map(case_of, case_codes()[cases]):
        answers = as_answers(case.situation)
        answers.pop("proposal", None)
        if case.situation.place.weather_file is not None:
            continue
        made = tries = 0
        while made < each and tries < 4 * each:
            tries += 1
            changes = {key: rng.choice(values_of(told[key])) for key in rng.sample(keys, rng.randint(1, 4))}
            try:
                c = few(adviser, with_changes(answers, changes))
            except DecideError:
                c = None
            if c is not None:
                made += 1
                yield f"{case.code} {changes}", c

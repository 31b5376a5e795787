"""Which planted mistakes some case notices: each case is judged once as it is, and again only for the mistakes that
bear on it and that no case before it noticed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence

from decide.cases.decided import Looked
from decide.cases.signed import Case
from decide.cases.spoken import Heard, Listener
from decide.decision.rulebook import Rulebook
from decide.knowledge.tables import Knowledge
from tests.mutation.planted import Planted
from tests.published.figures import figures, unmet


def by_figures(knowledge: Knowledge, planted: Iterable[Planted]) -> dict[str, str]:
    """Of the mistakes in numbers of which something is published, the source that they would not meet; "" where all
    is met.
    """
    found: dict[str, str] = {}
    for each in planted:
        if (number := each.number) and (known := figures().get((number.value, number.key))):
            used = knowledge.statement(number.value, number.key)
            missed = {
                unmet(known, amount, unit, used.source if used else "") for amount, unit in number.amounts
            }
            found[each.name] = "" if "" in missed else f"published: {min(missed)}"
    return found


def by_rules(book: Rulebook, rows: Iterable[Heard], planted: Sequence[Planted]) -> dict[str, str]:
    """Of the mistakes in rules that are signed on both sides, where that is not met with them; "" where it is."""
    listener, about = Listener(book), dict[str, list[Planted]]()
    for each in planted:
        for id in each.edited.ids:
            about.setdefault(id, []).append(each)
    found: dict[str, str] = {}
    for row in rows:
        for each in about.get(row.row.rule, ()):
            if not found.get(each.name):
                found[each.name] = row.where if listener.notices(row, each.edited) else ""
    return found


def survey(
    book: Rulebook,
    cases: Sequence[Case],
    planted: Sequence[Planted],
    known: Mapping[str, str] | None = None,
    tries: int | None = None,
    tell: Callable[[str, Mapping[str, str]], None] = lambda case, found: None,
) -> dict[str, str]:
    """The first case that notices each mistake, "" for those that none does; `known` says which case noticed it
    before, and is asked first. With `tries` no more than so many cases on which a mistake bears are judged again
    for it, so that some count as not noticed that a later case would notice: never the other way round.
    """
    known = known or {}
    left = {each.name: each for each in planted}
    found, judged = dict.fromkeys(left, ""), Counter[str]()

    def ask(case: Case, names: Sequence[str]) -> None:
        looked = Looked(book, case)
        if not looked.met:
            return
        for name in names:
            bears, notices = looked.answer(left[name].edited)
            judged[name] += bears
            if notices:
                found[name] = case.code
            if notices or judged[name] == tries:
                del left[name]
        tell(case.code, found)

    for case in cases:
        if mine := [name for name in left if known.get(name) == case.code]:
            ask(case, mine)
    for case in cases:
        if rest := [name for name in left if known.get(name) != case.code]:
            ask(case, rest)
    return found

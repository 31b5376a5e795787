"""What is asked in one breath as one question of the talk: its words, and what is still open of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

from decide.knowledge.wording import ENGLISH
from decide.parse.question import SEVERAL, Question

if TYPE_CHECKING:
    from decide.questions.open import Group

_PARTS: Final = "zone"


def question_of(group: Group, by_key: Mapping[str, Question]) -> Question:
    """The question for a group: its own words where all of it is open, those of its questions where only some
    is.
    """
    row, keys = group.row, {asked.key for asked in group.asked}
    # Before the parts are named nothing is asked of one that is called the whole field.
    unnamed = _PARTS in keys
    asked = group.asked
    asks = tuple(by_key[each.key].at(None if unnamed else each.zone) for each in asked)
    words = row.ask if row is not None and group.whole else ""
    if len(asks) == 1:
        [only] = asks
        return only if not words or row is None else only.put(words, row.help)
    zones = list(dict.fromkeys(each.zone for each in asks if each.zone is not None))
    if row is not None and len(zones) > 1 and row.ask_parts and (group.whole or _all_of_parts(group)):
        words = row.ask_parts.replace("{parts}", ENGLISH.listed(zones))
    if not words:
        words = " ".join(dict.fromkeys(each.ask for each in asks))
        words += f" For each part: {ENGLISH.listed(zones)}." if len(zones) > 1 else ""
    no = {} if row is None else row.no
    return Question(
        "",
        group.code.replace(".", "-").replace("_", "-"),
        words,
        asks[0].why if row is None or not row.why else row.why,
        SEVERAL,
        asks[0].choices if unnamed else (),
        help=asks[0].help if row is None or not row.help else row.help,
        always=group.core,
        asks=tuple(each.with_no(no.get(each.key)) for each in asks),
    )


def _all_of_parts(group: Group) -> bool:
    """Whether all that is asked of the parts is open, and nothing else."""
    assert group.row is not None
    left = {asked.key for asked in group.asked}
    return left == {key for key in group.row.asks if key.startswith("zone.")} and _PARTS in group.row.asks

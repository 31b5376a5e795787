"""Guards a bold answer to a question of safety, law or plan against what the rest of its line says."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from decide.parse.answer_rows import about, by_rows, shown
from decide.parse.mending import clauses
from decide.parse.plain import words
from decide.parse.question import Question
from decide.parse.results import AskBack, Reading, Result, Setting, Sum, Understood
from decide.parse.vocabulary import found, pattern_of, rows, said_plainly

_NEVER: Final = r"(?!)"
# Of more words than these a yes must say what it rests on, where the table has what proves it.
_PLAIN: Final = 5


def guarded(question: Question, result: Result, text: str, setting: Setting) -> Result:
    """A bold answer ("nobody plays", "locked"), unless the line takes it back: another clause of it answers
    the other way, or it is bounded, rounded, of the past or of hearsay. Then the cautious answer is taken
    where the other clause gives it, else it is asked back.
    """
    table = about(setting, question.id)
    bold = table.get("bold")
    both = isinstance(result, AskBack) and result.text == rows(setting, "miss").get("both")
    if both and bold is not None and "hedge" in table:
        return Understood(table["hedge"], rows(setting, "hedge").get("note-against", ""))
    if bold is None or not isinstance(result, Understood) or not _is_bold(result.value, bold):
        return result
    other = _elsewhere(question, text, bold, setting)
    if other is not None and "hedge" in table:
        return Understood(table["hedge"], rows(setting, "hedge").get("note-against", ""))
    said = said_plainly(text)
    if other is None and not _takes_back(table, said, text, setting):
        return result
    if "else" not in table and other is None:
        return AskBack(str(table.get("ask", "")), ())
    values = [result.value, other] if other is not None else [result.value, *table.get("else", ())]
    return AskBack(
        str(table.get("ask") or rows(setting, "hedge").get("back", "")), _readings(question, values)
    )


def _is_bold(value: Any, bold: Sequence[Any]) -> bool:
    """Whether a value is one of those; of a list, whether it is that one alone."""
    value = value.amount if isinstance(value, Sum) else value
    return (value[0] if isinstance(value, list) and len(value) == 1 else value) in bold


def _elsewhere(question: Question, text: str, bold: Sequence[Any], setting: Setting) -> Any:
    """What another clause of the line answers that is not bold; None where none does."""
    for clause in clauses(text):
        one = by_rows(question.id, said_plainly(clause), setting, question.choices, question.unit)
        if isinstance(one, Understood) and not _is_bold(one.value, bold):
            return one.value
    return None


def _takes_back(table: Any, said: str, text: str, setting: Setting) -> bool:
    """Whether the line bounds or doubts its own answer, or has a clause more about what is asked."""
    if found(table.get("fits", _NEVER), said):
        return False
    if "proof" in table and len(words(said)) > _PLAIN and not found(table["proof"], said):
        return True
    if "only-doubt" in table:
        return found(table["only-doubt"], said) is not None
    if pattern_of(setting, "taken-back").search(said) is not None or found(table.get("doubt", _NEVER), said):
        return True
    more = rows(setting, "taken-back").get("more", _NEVER)
    return any(found(more, said_plainly(clause)) for clause in clauses(text)[1:]) and len(words(said)) > 1


def _readings(question: Question, values: Sequence[Any]) -> tuple[Reading, ...]:
    return tuple(Reading(shown(one, question.choices, question.unit), one) for one in values)

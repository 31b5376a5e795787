"""What is signed of a step that somebody means to do: its verdict and what stands behind it, in one line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from decide.decision.rank import UNKNOWN, worst
from decide.decision.steps import JudgedStep
from decide.engine.language import CRITERIA, GRADES, VERDICTS
from decide.model.errors import nearest

# What stands in place of a grade where no rule marks a criterion.
NO_GRADE: Final = "none"
# What stands in place of a verdict that is not looked at: of a sowing it hangs on the place too.
ANY: Final = "any"
_RULED_OUT: Final = "ruled-out"
_CODES: Final = ("needs", "warns", "no")


@dataclass(frozen=True)
class StepSigned:
    """A verdict, and what of its reasons is signed: the worst grade by criterion, "ruled-out" where a rule
    rules it out by it, "none" where none speaks of it; the needs and cautions that stand with it, and those
    that do not.
    """

    verdict: str
    grades: tuple[tuple[str, str], ...] = ()
    needs: frozenset[str] = frozenset()
    warns: frozenset[str] = frozenset()
    no: frozenset[str] = frozenset()

    @property
    def codes(self) -> frozenset[str]:
        """The needs and cautions that are looked at."""
        return self.needs | self.warns | self.no

    def unmet(self, step: JudgedStep) -> Iterator[str]:
        """What of it a judged step does not meet, in words; its verdict aside."""
        then = [rule.then for rule, _ in step.firings]
        for criterion, grade in self.grades:
            out = any(one.act == "rule-out" and one.target == criterion for one in then)
            marks = [one.grade for one in then if one.act == "mark" and one.target == criterion]
            held = _RULED_OUT if out else worst(marks) if marks else NO_GRADE
            if held != grade:
                yield f"{criterion} is {held!r}, signed {grade!r}"
        given = {one.target for one in then if one.act in ("need", "caution")}
        yield from (f"{code!r} is missing" for code in sorted((self.needs | self.warns) - given))
        yield from (f"{code!r} is given" for code in sorted(self.no & given))


def step_signed(text: str) -> StepSigned:
    """What a text signs; ValueError says what of it cannot be read."""
    verdict, *terms = (part.strip() for part in text.split(";"))
    _known(verdict, (*VERDICTS["step"], ANY))
    grades: list[tuple[str, str]] = []
    codes: dict[str, frozenset[str]] = dict.fromkeys(_CODES, frozenset())
    for term in terms:
        word, *rest = term.split()
        if word in codes:
            codes[word] |= frozenset(rest)
            continue
        _known(word, (*CRITERIA, *_CODES))
        if len(rest) != 1:
            raise ValueError(f"{term!r} is no criterion with its grade")
        _known(rest[0], (*(grade for grade in GRADES if grade != UNKNOWN), NO_GRADE, _RULED_OUT))
        grades.append((word, rest[0]))
    return StepSigned(verdict, tuple(grades), codes["needs"], codes["warns"], codes["no"])


def _known(word: str, words: tuple[str, ...]) -> None:
    if word not in words:
        raise ValueError(f"{word!r} is not known here; {nearest(word, words)}")

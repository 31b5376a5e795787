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
        "[criterion for criterion in CRITERIA if criterion in essential and criterion != TIME]",
        '[criterion for criterion in CRITERIA if criterion in essential and criterion not in (TIME, "can-be-done")]',
        ("tests/decision/test_rank.py",),
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
)

"""What the audit finds: a problem with its kind, what it is of, and the proof or an example."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from decide.engine.language import Fact, FactType
from decide.knowledge.schema_audit import Kind
from decide.model.errors import KnowledgeError


class Finding(KnowledgeError):  # noqa: N818 – found, and let stand where there is a reason
    """A problem of one kind; `of` is by what name it may be let stand, `proof` why it is so."""

    def __init__(
        self, kind: Kind, of: str, wrong: str, *, proof: str = "", where: str = "", instead: str = ""
    ) -> None:
        super().__init__(wrong, where=where, instead=instead)
        self.kind: Kind = kind
        self.of = of
        self.proof = proof


Findings = Iterator[Finding]


def example_in_words(example: Mapping[str, Fact], facts: Mapping[str, FactType]) -> str:
    """Facts of an example as they would be told."""
    return (
        "; ".join(f"{name} {_held(value, facts[name])}" for name, value in example.items()) or "no fact known"
    )


def _held(value: Fact, kind: FactType) -> str:
    if isinstance(value, bool):
        return "is true" if value else "is not true"
    return f"is {value}" if isinstance(value, str) else f"is {value:g} {kind.unit}".rstrip()


def listed(words: Sequence[str]) -> str:
    """Words as a list in a sentence."""
    return " and ".join(words) if len(words) < 3 else f"{', '.join(words[:-1])} and {words[-1]}"  # noqa: PLR2004

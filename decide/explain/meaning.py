"""What a word of the trade means, by its own name, another name, or a near spelling."""

from __future__ import annotations

from decide.explain.found import near
from decide.knowledge.tables import Knowledge
from decide.model.written import clean


def meaning(knowledge: Knowledge, word: str) -> str | None:
    """The word with its meaning and its other names; None where no word is near."""
    wanted = " ".join(clean(word).lower().replace("-", " ").split()).strip(" '\"?.!")
    names: dict[str, str] = {}
    for code, row in knowledge.words.items():
        for name in (code, *row.also):
            names.setdefault(name.lower().replace("-", " "), code)
    found = names.get(wanted) or names.get(wanted.removesuffix("s")) or names.get(wanted.removesuffix("es"))
    if found is None and len(wanted) > 3:
        close = near(wanted, names)
        found = names[close] if close else None
    if found is None:
        return None
    row = knowledge.words[found]
    also = f" Also: {', '.join(row.also)}." if row.also else ""
    return f"{found.replace('-', ' ').capitalize()}: {row.meaning}{also}"

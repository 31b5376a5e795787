"""Where several sources stand behind a sentence, those of the reader's country first."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import cache
from typing import Final

from decide.knowledge.schema import Source, SourceCountry

# An ending of an address, ".uk", as the sources write it after their words.
_ADDRESS: Final = re.compile(r"https?://([^/\s]+)")


def of_country(
    sources: Mapping[str, Source], countries: Mapping[str, SourceCountry], country: str
) -> Callable[[str], bool]:
    """What says whether the source of a key is of a country: by its publisher, title or address. Of no
    country where the table does not have it.
    """
    words = countries[country].words if country in countries else ()
    named = [re.escape(word) for word in words if not word.startswith(".")]
    found = re.compile(rf"\b(?:{'|'.join(named)})\b") if named else None
    ends = tuple(word for word in words if word.startswith("."))

    def own(key: str) -> bool:
        row = sources.get(key)
        if row is None or found is None:
            return False
        hosts = _ADDRESS.findall(row.where)
        return bool(found.search(f"{row.publisher} {row.title}")) or any(
            host.endswith(ends) for host in hosts
        )

    return cache(own)

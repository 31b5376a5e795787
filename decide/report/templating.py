"""The one place where templates are filled: every word that is put in is escaped, and acts on no screen."""

from __future__ import annotations

import re
from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from decide.model.words import printable
from decide.report.words import say


@cache
def environment() -> Environment:
    """The templates of the report, with automatic escaping."""
    made = Environment(
        loader=PackageLoader("decide.report"),
        autoescape=True,
        finalize=_shown,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
    )
    made.filters["slug"] = _slug
    made.globals["words"] = say
    return made


def _slug(text: str) -> str:
    return re.sub(r"[^A-Za-z0-9.-]+", "-", text) or "part"


def _shown(value: object) -> object:
    """What is put into a page: markup as it stands, words without what would act on a screen."""
    return printable(value) if isinstance(value, str) and not isinstance(value, Markup) else value

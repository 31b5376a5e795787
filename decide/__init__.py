"""Bring a worn sports field back to dense, safe, playable turf by a date.

    >>> from decide import Adviser, read_knowledge, read_situation
    >>> adviser = Adviser(read_knowledge())
    >>> situation = read_situation('''
    ... place = { name = "York", country = "gb" }
    ... dates = { today = 2026-05-12, play_by = 2026-09-12 }
    ... field = { bare_percent = 60 }
    ... ''')
    >>> advice = adviser.advise(situation)
    >>> choice = advice.choice()
    >>> choice.decision
    'repair'
    >>> advice.option(choice.option).date("start")
    datetime.date(2026, 5, 15)

A situation: `read_situation` takes TOML or JSON text, `situation_from_dict` a nested dict,
`situation_from_objects` your own objects; SituationError holds all that is wrong as `problems`. Advice:
`Adviser` keeps what many fields share, `advise` does one field in one call; `advice.choice(zone)` is the
answer for a zone, `advice.plan` what to do when, and `row.date(name)` gives a date where the JSON has ISO
text. Beyond it: `next_question` and `put_answer`, `ask` for explanations in plain words, `paper` for what is
printed or handed on, `open_talk` for the talk without a terminal. `read_weather` reads daily weather of the
place, for weather=.

Nothing is read from clock, environment or network, and nothing is kept outside the objects.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from decide.model.version import VERSION as __version__  # noqa: N811 – the name that Python asks for

if TYPE_CHECKING:
    from decide.consult import Adviser as Adviser
    from decide.consult import advise as advise
    from decide.explain.asked import ask as ask
    from decide.knowledge.load import read_knowledge as read_knowledge
    from decide.knowledge.tables import Knowledge as Knowledge
    from decide.measure.weather import DailyWeather as DailyWeather
    from decide.measure.weather_file import read_weather as read_weather
    from decide.model.advice import Advice as Advice
    from decide.model.errors import DecideError as DecideError
    from decide.model.errors import EngineError as EngineError
    from decide.model.errors import KnowledgeError as KnowledgeError
    from decide.model.errors import SituationError as SituationError
    from decide.model.reading import read_situation as read_situation
    from decide.model.reading import situation_from_dict as situation_from_dict
    from decide.model.reading import situation_from_objects as situation_from_objects
    from decide.model.situation import Situation as Situation
    from decide.questions.next import next_question as next_question
    from decide.questions.open import put_answer as put_answer
    from decide.report.papers import paper as paper
    from decide.shell.embedded import open_talk as open_talk

# Looked up when first asked for, so that `decide --version` loads nothing that it does not need.
_HOMES = {
    name: home
    for home, names in {
        "consult": ("Adviser", "advise"),
        "explain.asked": ("ask",),
        "knowledge.load": ("read_knowledge",),
        "knowledge.tables": ("Knowledge",),
        "measure.weather": ("DailyWeather",),
        "measure.weather_file": ("read_weather",),
        "model.advice": ("Advice",),
        "model.errors": ("DecideError", "EngineError", "KnowledgeError", "SituationError"),
        "model.reading": ("read_situation", "situation_from_dict", "situation_from_objects"),
        "model.situation": ("Situation",),
        "questions.next": ("next_question", "put_answer"),
        "report.papers": ("paper",),
        "shell.embedded": ("open_talk",),
    }.items()
    for name in names
}
__all__ = ["__version__", *sorted(_HOMES)]  # noqa: PLE0604 – the names stand in the table above


if not TYPE_CHECKING:
    # A checker of types would take any name for one of ours if it saw this.
    def __getattr__(name: str) -> Any:
        if name not in _HOMES:
            raise AttributeError(f"module 'decide' has no attribute {name!r}")
        return getattr(import_module(f"decide.{_HOMES[name]}"), name)

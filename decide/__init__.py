"""Bring a worn sports field back to dense, safe, playable turf by a date.

    from decide import Adviser, read_knowledge, read_situation

    adviser = Adviser(read_knowledge())
    advice = adviser.advise(read_situation(text))

`read_situation` takes TOML or JSON text, `situation_from_dict` a nested dict; both raise SituationError. `advise` does
the whole in one call, and takes daily weather of the place, read with `read_weather(data, name)`, as weather=. Nothing is read from clock, environment or network, and nothing is kept outside the objects.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from decide.model.version import VERSION as __version__  # noqa: N811 – the name that Python asks for

if TYPE_CHECKING:
    from decide.consult import Adviser as Adviser
    from decide.consult import advise as advise
    from decide.knowledge.load import read_knowledge as read_knowledge
    from decide.knowledge.tables import Knowledge as Knowledge
    from decide.measure.weather import DailyWeather as DailyWeather
    from decide.measure.weather import read_weather as read_weather
    from decide.model.advice import Advice as Advice
    from decide.model.errors import DecideError as DecideError
    from decide.model.errors import EngineError as EngineError
    from decide.model.errors import KnowledgeError as KnowledgeError
    from decide.model.errors import SituationError as SituationError
    from decide.model.reading import read_situation as read_situation
    from decide.model.reading import situation_from_dict as situation_from_dict
    from decide.model.situation import Situation as Situation

# Looked up when first asked for, so that `decide --version` loads nothing that it does not need.
_HOMES = {
    "Advice": "model.advice", "Adviser": "consult", "advise": "consult", "DecideError": "model.errors", "EngineError": "model.errors",
    "KnowledgeError": "model.errors", "SituationError": "model.errors", "Knowledge": "knowledge.tables", "read_knowledge": "knowledge.load",
    "DailyWeather": "measure.weather", "read_weather": "measure.weather", "Situation": "model.situation", "read_situation": "model.reading", "situation_from_dict": "model.reading",
}  # fmt: skip
__all__ = ["__version__", *sorted(_HOMES)]  # noqa: PLE0604


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'decide' has no attribute {name!r}")
    return getattr(import_module(f"decide.{_HOMES[name]}"), name)

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

__version__ = "0.1.0"

if TYPE_CHECKING:
    from decide.advice import Advice as Advice
    from decide.consult import Adviser as Adviser
    from decide.consult import advise as advise
    from decide.errors import DecideError as DecideError
    from decide.errors import EngineError as EngineError
    from decide.errors import KnowledgeError as KnowledgeError
    from decide.errors import SituationError as SituationError
    from decide.measure.weather import DailyWeather as DailyWeather
    from decide.measure.weather import read_weather as read_weather
    from decide.read import Knowledge as Knowledge
    from decide.read import read_knowledge as read_knowledge
    from decide.situation import Situation as Situation
    from decide.situation import read_situation as read_situation
    from decide.situation import situation_from_dict as situation_from_dict

# Looked up when first asked for, so that `decide --version` loads nothing that it does not need.
_HOMES = {
    "Advice": "advice", "Adviser": "consult", "advise": "consult", "DecideError": "errors", "EngineError": "errors",
    "KnowledgeError": "errors", "SituationError": "errors", "Knowledge": "read", "read_knowledge": "read",
    "DailyWeather": "measure.weather", "read_weather": "measure.weather", "Situation": "situation", "read_situation": "situation", "situation_from_dict": "situation",
}  # fmt: skip
__all__ = ["__version__", *sorted(_HOMES)]  # noqa: PLE0604


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'decide' has no attribute {name!r}")
    return getattr(import_module(f"decide.{_HOMES[name]}"), name)

"""Situation → advice on one page: filled in, judged, fitted to what can be done, assembled, and asked what it
leaves open.
"""

from __future__ import annotations

from decide.decision.consultation import Consultation
from decide.decision.rulebook import Rulebook
from decide.engine.judge import Engines
from decide.knowledge.tables import Knowledge
from decide.measure.weather import DailyWeather
from decide.model import advice as out
from decide.model.situation import Situation
from decide.model.units import System
from decide.plan.feasible import consult
from decide.questions.unknown import tried


class Adviser(Rulebook):
    """Knowledge made ready for many consultations: compiled rules, engines, numbers, climate tables. Holds no
    situation.
    """

    def advise(
        self,
        situation: Situation,
        *,
        system: System | None = None,
        without: frozenset[str] = frozenset(),
        today_computed: bool = False,
        weather: DailyWeather | None = None,
    ) -> out.Advice:
        """The advice on a situation; rules named in `without` are switched off. SituationError where it
        cannot be read.

        `today_computed` says that `dates.today` was filled in by the caller, not told by the person.
        `weather` is what
        `read_weather` made of the file that `place.weather_file` names, or of any other daily weather of the
        place.
        """
        consultation = self.consult(situation, system=system, without=without, weather=weather)
        consultation.filled.today_computed = today_computed
        return self.advice(consultation)

    @staticmethod
    def advice(consultation: Consultation) -> out.Advice:
        """The advice of a consultation, with what it leaves open."""
        return tried(consultation)

    def consult(
        self,
        situation: Situation,
        *,
        system: System | None = None,
        without: frozenset[str] = frozenset(),
        weather: DailyWeather | None = None,
    ) -> Consultation:
        """Everything that leads to the advice on a situation: what `ask` explains and `advice` puts into
        words.
        """
        return consult(self, situation, system=system, without=without, weather=weather)


def advise(
    situation: Situation,
    knowledge: Knowledge,
    engines: Engines = "both",
    system: System | None = None,
    weather: DailyWeather | None = None,
) -> out.Advice:
    """The advice on one situation. With `engines` "both" a second engine, where it can be had, checks
    what is shown; "plain" does without. `system` is "metric" or "us" (by place if left out).

    `weather` is daily weather of the place, read with `read_weather`.
    """
    adviser = Adviser(knowledge, engines)
    try:
        return adviser.advise(situation, system=system, weather=weather)
    finally:
        adviser.close()

"""The library as the talk sees it: knowledge read once, questions in order, advice, words, places."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal

from decide.errors import nearest
from decide.shell.results import Choice
from decide.shell.tools import Answers, Question, Tools, View

if TYPE_CHECKING:
    from decide.advice import Advice
    from decide.read import Knowledge
    from decide.read import Question as Row

_AREAS = (("goalmouth", "goal-area"), ("goal area", "goal-area"), ("penalty area", "penalty-area"), ("centre circle", "centre-circle-area"),
          ("center circle", "centre-circle-area"))  # fmt: skip


def make_tools(today: dt.date) -> Tools:
    """The installed library, for a talk held on a day."""
    from decide.read import read_knowledge

    return tools_of(read_knowledge(), today)


def tools_of(knowledge: Knowledge, today: dt.date) -> Tools:
    """The library on some knowledge."""
    inside = _Inside(knowledge, today)
    return Tools(
        questions=inside.questions,
        ask_next=inside.ask_next,
        left=inside.left,
        advise=inside.advise,
        show=_show,
        this_week=_this_week,
        why=_why,
        why_not=_why_not,
        meaning=inside.meaning,
        find_place=inside.find_place,
        named_areas=inside.named_areas(),
        grasses={code: (grass.name, *grass.also) for code, grass in knowledge.grasses.items()},
        methods={code: (method.name, *method.also) for code, method in knowledge.methods.items()},
    )


def _question(row: Row, knowledge: Knowledge) -> Question:
    choices = tuple(Choice(choice.value, choice.say) for choice in row.choices)
    offered = {choice.value for choice in choices if isinstance(choice.value, str)}
    more: list[Choice] = []
    tables: Mapping[str, Mapping[str, Any]] = {
        "zone.grass": knowledge.grasses, "means.equipment_own": knowledge.equipment, "means.equipment_hire": knowledge.equipment,
    }  # fmt: skip
    for code, named in tables.get(row.key, {}).items():
        if code not in offered:
            more.append(Choice(code, (named.name, *named.also)))
    return Question(
        row.key, row.id or row.key.replace(".", "-"), row.ask, row.why, row.kind, choices, tuple(more), row.unit, row.help, row.always, row.details
    )  # fmt: skip


class _Inside:
    def __init__(self, knowledge: Knowledge, today: dt.date) -> None:
        from decide.consult import Adviser
        from decide.questions import Asker

        self.knowledge = knowledge
        self.questions = tuple(_question(row, knowledge) for row in sorted(knowledge.questions, key=lambda row: row.order))
        self._questions = {question.key: question for question in self.questions}
        self._adviser = Adviser(knowledge, "both")
        self._asker = Asker(self._adviser, today)

    def advise(self, answers: Answers, units: str | None) -> Advice:
        """The advice on the answers; DecideError where they cannot be advised on."""
        from decide.situation import situation_from_dict

        situation = situation_from_dict(answers, name="your answers")
        system: Literal["metric", "us"] | None = "metric" if units == "metric" else "us" if units == "us" else None
        return self._adviser.advise(situation, system=system, today_computed=True)

    def find_place(self, name: str) -> Sequence[Mapping[str, Any]]:
        """Places of a name as tables for [place], with the words to show."""
        tables = self._adviser.library.tables
        return [
            {
                "name": place.name, "country": place.country.lower(), "region": place.region_name or place.region,
                "latitude": round(place.latitude, 2), "longitude": round(place.longitude, 2), "say": place.label, "near": place.near,
            }
            for place in tables.find_places(name, most=6)
        ]  # fmt: skip

    def named_areas(self) -> dict[str, float]:
        """Areas that go by a name."""
        found = {word: self.knowledge.value(value) for word, value in _AREAS if value in self.knowledge.values}
        return {word: area for word, area in found.items() if area is not None}

    def meaning(self, word: str) -> str | None:
        """What a word of the trade means."""
        wanted = " ".join(word.lower().replace("-", " ").split())
        names: dict[str, str] = {}
        for code, row in self.knowledge.words.items():
            for name in (code.replace("-", " "), *row.also):
                names.setdefault(name.lower(), code)
        found = names.get(wanted) or names.get(wanted.removesuffix("s")) or names.get(nearest(wanted, names))
        if found is None:
            return None
        row = self.knowledge.words[found]
        also = f" Also: {', '.join(row.also)}." if row.also else ""
        return f"{found.replace('-', ' ')}: {row.meaning}{also}"

    def ask_next(self, answers: Answers, details: bool) -> Question | None:
        """The next question that matters; with `details` also those that cannot change the choice."""
        asked = self._asker.next_question(answers, details)
        return None if asked is None else self._questions[asked.key].at(asked.zone)

    def left(self, answers: Answers, details: bool) -> int:
        """How many questions are left at most."""
        return self._asker.left_at_most(answers, details)


_DEPTHS: tuple[Literal["short", "full", "reasons"], ...] = ("short", "full", "reasons")


def _show(advice: Advice, depth: int, view: View) -> str:
    from decide.report.text import render

    return render(advice, width=view.width, depth=_DEPTHS[min(depth, 2)], colour=view.colour, ascii_only=False, plain=not view.colour)


def _this_week(advice: Any, view: View) -> str:
    return this_week(advice.as_dict())


def this_week(advice: Mapping[str, Any]) -> str:
    """What must be done in the seven days from the advice's own day, dangers first."""
    lines = [f"- Today: {row['text']}" for row in advice.get("today", [])]
    today = next((str(row["value"]) for row in advice.get("situation", []) if row.get("key") == "dates.today"), "")
    try:
        first = dt.date.fromisoformat(today)
    except ValueError:
        first = None
    for task in advice.get("plan", []):
        start, until = str(task.get("from") or ""), str(task.get("until") or task.get("from") or "")
        if first is not None and start <= (first + dt.timedelta(days=6)).isoformat() and until >= first.isoformat():
            where = f" ({task['zone']})" if task.get("zone") else ""
            lines.append(f"- {task.get('text') or task.get('task')}{where}")
    return "\n".join(lines) if lines else "Nothing has to be done this week."


def _why(advice: Any, about: str) -> str:
    from decide.explain import why

    return why(advice, about)


def _why_not(advice: Any, about: str) -> str:
    from decide.explain import why_not

    return why_not(advice, about)


"""The library as the talk sees it: questions at once, all that is slow to import loaded behind the first question."""

from __future__ import annotations

import datetime as dt
import importlib
import re
import threading
import tomllib
from collections.abc import Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Literal

from decide.model.errors import DecideError, KnowledgeError
from decide.model.files import data_folder
from decide.parse.results import AnswerChoice
from decide.shell.tools import Answers, Question, Tools, View

if TYPE_CHECKING:
    from decide.consult import Adviser
    from decide.decision.consultation import Consultation
    from decide.explain import Level
    from decide.questions.next import Asker

_AREAS: Final = (
    ("goalmouth", "goal-area"), ("goal area", "goal-area"), ("penalty area", "penalty-area"),
    ("centre circle", "centre-circle-area"), ("center circle", "centre-circle-area"),
)  # fmt: skip
# Asked first, whatever is answered: the library is not needed for them, and loads meanwhile.
_OPENING: Final = ("site.dangers", "site.goals_anchored", "site.in_use_now")
_PATIENCE_S: Final = 0.5
_NAMED_IN: Final = {
    "zone.grass": "grasses",
    "means.equipment_own": "equipment",
    "means.equipment_hire": "equipment",
}
_DEPTH_WORDS: Final = frozenset({"with", "rules", "rule", "facts", "conditions", "and", "all", "the", "show"})
_DEEPER: Final = re.compile(
    r"\s*,?\s*(?:with|and show|show) (?:all |the )*(?:rules?|facts|conditions|sources?)(?:(?:,| and) (?:rules?|facts|conditions|sources?))*\W*$",
    re.IGNORECASE,
)
_DEPTHS: Final[tuple[Literal["short", "full", "reasons"], ...]] = ("short", "full", "reasons")


def make_tools(today: dt.date, more: Sequence[Path | str] = ()) -> Tools:
    """The installed library with `more` folders of knowledge on top, for a talk held on a day."""
    return tools_of(data_folder(), today, more)


def tools_of(folder: Path, today: dt.date, more: Sequence[Path | str] = ()) -> Tools:
    """The library on a knowledge folder with `more` folders on top."""
    inside = _Inside(folder, today, more)
    return Tools(
        questions=inside.questions,
        ask_next=inside.ask_next,
        left=inside.left,
        advise=inside.advise,
        show=_show,
        this_week=_this_week,
        why=_why,
        why_not=_why_not,
        judgement=_judgement,
        explain=inside.explain,
        check=inside.check,
        write_paper=_write_paper,
        meaning=inside.meaning,
        find_place=inside.find_place,
        named_areas=inside.named_areas,
        grasses=inside.names("grasses"),
        methods=inside.names("methods"),
    )


class _Inside:
    def __init__(self, folder: Path, today: dt.date, more: Sequence[Path | str]) -> None:
        self.folder = folder
        self.more = more
        self.today = today
        self._tables: dict[str, Mapping[str, Any]] = {}
        rows = self._table("questions").get("question", [])
        self.questions = tuple(self._question(row) for row in sorted(rows, key=lambda row: row["order"]))
        self._by_key = {question.key: question for question in self.questions}
        self._without_library = sum(1 for row in rows if not row.get("details") and not row.get("only-if"))
        # Not at once: the first question comes up and is answered sooner when nothing else runs beside it.
        self._loader = threading.Timer(_PATIENCE_S, _import_all)
        self._loader.daemon = True
        self._loader.start()

    def _table(self, name: str) -> Mapping[str, Any]:
        if name not in self._tables:
            path = self.folder / f"{name}.toml"
            try:
                self._tables[name] = tomllib.loads(path.read_text(encoding="utf-8"))
            except (OSError, ValueError) as error:
                raise KnowledgeError(f"it cannot be read: {error}", where=str(path)) from None
        return self._tables[name]

    def _loaded(self) -> None:
        """Waits for the library where it is being loaded, and does not wait for a start that is still to come."""
        self._loader.cancel()
        self._loader.join()

    def names(self, table: str) -> dict[str, tuple[str, ...]]:
        """Codes of a table with the names they go by."""
        rows = self._table(table)
        return {
            code: (row["name"], *row.get("also", ()))
            for code, row in rows.items()
            if isinstance(row.get("name"), str)
        }

    def _question(self, row: Mapping[str, Any]) -> Question:
        listed = [choice for choice in row.get("choices", ()) if not choice.get("name")]
        unlisted = [choice for choice in row.get("choices", ()) if choice.get("name")]
        choices, more = (
            tuple(AnswerChoice(choice["value"], tuple(choice.get("say", ()))) for choice in some)
            for some in (listed, unlisted)
        )
        offered = {choice.value for choice in choices if isinstance(choice.value, str)}
        table = _NAMED_IN.get(row["key"])
        if table:
            more += tuple(
                AnswerChoice(code, names) for code, names in self.names(table).items() if code not in offered
            )
        return Question(
            row["key"],
            row.get("id") or row["key"].replace(".", "-").replace("_", "-"),
            row["ask"],
            row["why"],
            row["kind"],
            choices,
            more,
            row.get("unit", ""),
            row.get("help", ""),
            row.get("always", False),
            row.get("details", False),
        )

    @cached_property
    def adviser(self) -> Adviser:
        """The adviser, made when first needed."""
        self._loaded()
        from decide.consult import Adviser
        from decide.knowledge.load import read_knowledge

        return Adviser(read_knowledge(self.folder, *self.more), "both")

    @cached_property
    def _asker(self) -> Asker:
        adviser = self.adviser
        from decide.questions.next import Asker

        return Asker(adviser, self.today)

    def _opening(self, answers: Answers, details: bool) -> list[Question]:
        """The opening questions that are still open; none as soon as anything else is answered."""
        site = answers.get("site", {})
        known = [key for key in _OPENING if key in self._by_key]
        told = {f"site.{key}" for key in site}
        if (
            details
            or not set(answers) <= {"site"}
            or not told <= set(known)
            or "site.dangers" not in self._by_key
        ):
            return []
        return [self._by_key[key] for key in known if key not in told]

    def ask_next(self, answers: Answers, details: bool) -> Question | None:
        """The next question that matters; with `details` also those that cannot change the choice."""
        opening = self._opening(answers, details)
        if opening:
            return opening[0]
        asked = self._asker.next_question(answers, details)
        return None if asked is None else self._by_key[asked.key].at(asked.zone)

    def left(self, answers: Answers, details: bool) -> int:
        """How many questions are left at most."""
        opening = self._opening(answers, details)
        if opening:
            return self._without_library - (sum(key in self._by_key for key in _OPENING) - len(opening))
        return self._asker.left_at_most(answers, details)

    def advise(self, answers: Answers, units: str | None) -> Consultation:
        """The consultation on the answers; DecideError where they cannot be advised on."""
        adviser = self.adviser
        from decide.model.reading import situation_from_dict

        situation = situation_from_dict(answers, name="your answers")
        system: Literal["metric", "us"] | None = (
            "metric" if units == "metric" else "us" if units == "us" else None
        )
        consultation = adviser.consult(situation, system=system)
        consultation.filled.today_computed = True
        from decide.questions.next import tried

        consultation.made = tried(consultation, self._asker)
        return consultation

    def check(self, answers: Answers) -> None:
        """Raises SituationError where an answer is out of its range."""
        if self._opening(answers, False) or set(answers) <= {"site"}:
            # Choices and yes or no: nothing that could be out of range.
            return
        self._loaded()
        from decide.model.reading import situation_from_dict

        situation_from_dict(answers, name="your answer")

    def find_place(self, name: str) -> Sequence[Mapping[str, Any]]:
        """Places of a name as tables for [place], with the words to show."""
        return [
            {
                "name": place.name,
                "country": place.country.lower(),
                "region": place.region_name or place.region,
                "latitude": round(place.latitude, 2),
                "longitude": round(place.longitude, 2),
                "say": place.label,
                "near": place.near,
            }
            for place in self.adviser.library.tables.find_places(name, most=6)
        ]

    def named_areas(self) -> dict[str, float]:
        """Areas that go by a name, in m²."""
        knowledge = self.adviser.knowledge
        found = {word: knowledge.value(value) for word, value in _AREAS if value in knowledge.values}
        return {word: area for word, area in found.items() if area is not None}

    def explain(self, judged: Consultation, words: str) -> str:
        """The answer to a question about the advice: what if, what would it take, how sure, what matters next, says who."""
        from decide.explain import ask

        found = _DEEPER.search(words)
        level: Level = 1 if found is None else 3 if "source" in found[0].lower() else 2
        return ask(judged, _DEEPER.sub("", words), level, self._asker).text

    def meaning(self, word: str) -> str | None:
        """What a word of the trade means."""
        knowledge = self.adviser.knowledge
        from decide.explain import meaning

        return meaning(knowledge, word)


def _import_all() -> None:
    """Imports what is slow while the person reads the first question; trouble shows when it is needed in earnest."""
    try:
        importlib.import_module("decide.consult")
    except Exception:
        return


def _show(judged: Consultation, depth: int, view: View) -> str:
    from decide.answer.assemble import advice_of
    from decide.report.text import render

    return render(
        advice_of(judged),
        width=view.width,
        depth=_DEPTHS[min(depth, 2)],
        colour=view.colour,
        plain=view.plain,
        system="us" if view.units == "us" else "metric" if view.units == "metric" else None,
    )


def _this_week(judged: Consultation, view: View) -> str:
    from decide.answer.assemble import advice_of
    from decide.report.text import render_week

    return render_week(
        advice_of(judged), judged.filled.today, width=view.width, plain=view.plain, system=judged.system
    )


def _write_paper(judged: Consultation, kind: str, path: str, new: bool) -> str:
    from decide.answer.assemble import advice_of
    from decide.report.papers import PAPERS, shown, write_papers

    place = Path(path).expanduser()
    if new and (place.exists() or place.is_symlink()):
        raise DecideError(f"{shown(path)} is already there", instead="Say another name")
    return write_papers(
        advice_of(judged), judged.system, {named: str(place) for named in PAPERS if named == kind}
    )[0]


def this_week(advice: Mapping[str, Any]) -> str:
    """What must be done in the seven days from the advice's own day, dangers first."""
    lines = [f"- Today: {row['text']}" for row in advice.get("today", [])]
    today = next(
        (str(row["value"]) for row in advice.get("situation", []) if row.get("key") == "dates.today"), ""
    )
    try:
        last = (dt.date.fromisoformat(today) + dt.timedelta(days=6)).isoformat()
    except ValueError:
        last = ""
    for task in advice.get("plan", []):
        start, until = str(task.get("from") or ""), str(task.get("until") or task.get("from") or "")
        if last and start <= last and until >= today:
            where = f" ({task['zone']})" if task.get("zone") else ""
            lines.append(f"- {task.get('text') or task.get('task')}{where}")
    return "\n".join(lines) if lines else "Nothing has to be done this week."


def _level(about: str) -> tuple[Level, str]:
    """How deep an explanation is to go, and the words without what says so."""
    row = about.lower().split()
    level: Level = (
        3
        if any(word.startswith("source") for word in row)
        else 2
        if {"rules", "rule", "facts", "conditions"} & set(row)
        else 1
    )
    return level, " ".join(word for word in row if not word.startswith("source") and word not in _DEPTH_WORDS)


def _why(judged: Consultation, about: str) -> str:
    from decide.explain import say_why

    level, words = _level(about)
    return say_why(judged, words, level)


def _why_not(judged: Consultation, about: str) -> str:
    from decide.explain import say_why_not

    level, words = _level(about)
    return say_why_not(judged, words, level)


def _judgement(judged: Consultation) -> str:
    from decide.answer.assemble import advice_of
    from decide.explain.judgement import say_judgement

    return "\n".join(say_judgement(advice_of(judged).as_dict()))

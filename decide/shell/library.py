"""The library as the talk sees it: questions at once, all that is slow to import loaded behind the first
question.
"""

from __future__ import annotations

import datetime as dt
import importlib
import threading
from collections.abc import Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from decide.model.files import data_folder
from decide.parse.heard import Ask
from decide.parse.question import Question
from decide.parse.speech import Speech, read_lands, read_talk
from decide.shell import outputs
from decide.shell.question_rows import QuestionRows
from decide.shell.tools import Answers, Tools

if TYPE_CHECKING:
    from decide.consult import Adviser
    from decide.decision.consultation import Consultation
    from decide.questions.next import Asker

# Asked first, whatever is answered: the library is not needed for them, and loads meanwhile.
_OPENING: Final = ("site.dangers", "site.goals_anchored", "site.in_use_now")
_PATIENCE_S: Final = 0.5


def make_tools(today: dt.date, more: Sequence[Path | str] = ()) -> Tools:
    """The installed library with `more` folders of knowledge on top, for a talk held on a day."""
    return tools_of(data_folder(), today, more)


def tools_of(folder: Path, today: dt.date, more: Sequence[Path | str] = ()) -> Tools:
    """The library on a knowledge folder with `more` folders on top."""
    library = Library(folder, today, more)
    rows = library.rows
    return Tools(
        questions=rows.questions,
        ask_next=library.ask_next,
        left=library.left,
        advise=library.advise,
        show=outputs.show,
        moved=outputs.moved,
        there=_there,
        record_row=library.record_row,
        reply=library.reply,
        reply_early=library.reply_early,
        check=library.check,
        write_paper=outputs.write_paper,
        find_place=library.find_place,
        named_areas=library.named_areas,
        other_names=rows.other_names,
        speech=Speech(
            rows.questions,
            rows.names("grasses"),
            rows.names("methods"),
            rows.names("equipment"),
            read_talk([folder, *map(Path, more)]),
            read_lands([folder, *map(Path, more)]),
        ),
    )


class Library:
    """A knowledge folder with more on top, and the adviser and the asker on it, each made when first
    needed.
    """

    def __init__(self, folder: Path, today: dt.date, more: Sequence[Path | str]) -> None:
        self.folder = folder
        self.more = more
        self.today = today
        self.rows = QuestionRows([folder, *map(Path, more)])
        self._by_key = {question.key: question for question in self.rows.questions}
        self._first = [self._by_key[key] for key in _OPENING if key in self._by_key]
        # Not at once: the first question comes up and is answered sooner when nothing else runs beside it.
        self._loader = threading.Timer(_PATIENCE_S, _import_all)
        self._loader.daemon = True
        self._loader.start()

    def _loaded(self) -> None:
        """Waits for the library where it is being loaded, and does not wait for a start that is still to
        come.
        """
        self._loader.cancel()
        self._loader.join()

    @cached_property
    def adviser(self) -> Adviser:
        """The adviser on the knowledge."""
        self._loaded()
        from decide.consult import Adviser
        from decide.knowledge.load import read_knowledge

        return Adviser(read_knowledge(self.folder, *self.more), "both")

    @cached_property
    def asker(self) -> Asker:
        """What asks the next question that matters."""
        adviser = self.adviser
        from decide.questions.next import Asker

        return Asker(adviser, self.today)

    def _opening(self, answers: Answers, details: bool = False) -> list[Question]:
        """The opening questions that are still open; none as soon as anything else is answered."""
        told = {f"site.{key}" for key in answers.get("site", {})}
        if details or not set(answers) <= {"site"} or not told <= {question.key for question in self._first}:
            return []
        return [question for question in self._first if question.key not in told]

    def ask_next(self, answers: Answers, details: bool) -> Question | None:
        """The next question that matters; with `details` also those that cannot change the choice."""
        opening = self._opening(answers, details)
        if opening:
            return opening[0]
        asked = self.asker.next_question(answers, details)
        return None if asked is None else self._by_key[asked.key].at(asked.zone)

    def left(self, answers: Answers, details: bool) -> int:
        """How many questions are left at most."""
        opening = self._opening(answers, details)
        if opening:
            return self.rows.always_open - (len(self._first) - len(opening))
        return self.asker.left_at_most(answers, details)

    def advise(self, answers: Answers, units: str | None) -> Consultation:
        """The consultation on the answers; DecideError where they cannot be advised on."""
        adviser = self.adviser
        from decide.model.reading import situation_from_dict
        from decide.questions.unknown import tried

        situation = situation_from_dict(answers, name="your answers")
        consultation = adviser.consult(situation, system=outputs.system_of(units))
        consultation.filled.today_computed = True
        consultation.made = tried(consultation, self.asker)
        return consultation

    def check(self, answers: Answers) -> None:
        """Raises SituationError where an answer is out of its range."""
        if self._opening(answers) or set(answers) <= {"site"}:
            # Choices and yes or no: nothing that could be out of range.
            return
        self._loaded()
        from decide.model.reading import situation_from_dict

        situation_from_dict(answers, name="your answer")

    def record_row(self, judged: Consultation | None, told: Mapping[str, Any]) -> tuple[str, dict[str, Any]]:
        """The row of the record for what a person says was done."""
        knowledge = self.adviser.knowledge
        from decide.shell.diary import record_row

        return record_row(knowledge, judged, told)

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
        found = {word: knowledge.value(value) for word, value in self.rows.areas.items()}
        return {word: area for word, area in found.items() if area is not None}

    def reply(self, judged: Consultation, ask: Ask) -> str:
        """The answer to what is asked of the advice."""
        from decide.explain.reply import reply

        return reply(judged, ask, asker=self.asker).text

    def reply_early(self, ask: Ask) -> str:
        """What can be said of a question before there is any advice."""
        knowledge = self.adviser.knowledge
        from decide.explain.reply import reply_early

        return reply_early(knowledge, ask)


def _there(path: str) -> bool:
    """Whether there is a file of that name, or a link."""
    place = Path(path).expanduser()
    return place.exists() or place.is_symlink()


def _import_all() -> None:
    """Imports what is slow while the person reads the first question; trouble shows when it is needed in
    earnest.
    """
    try:
        importlib.import_module("decide.consult")
    except Exception:
        return

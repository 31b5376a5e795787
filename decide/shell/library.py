"""The library as the talk sees it: questions at once, all that is slow to import loaded behind the first
question.
"""

from __future__ import annotations

import contextlib
import copy
import datetime as dt
import gc
import threading
from collections.abc import Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from decide.knowledge.bounds import check_folders
from decide.model.files import data_folder
from decide.parse.heard import Ask
from decide.parse.local import read_local
from decide.parse.question import Question
from decide.parse.results import Setting
from decide.parse.speech import Speech, read_lands, read_talk
from decide.shell import outputs
from decide.shell.breath import question_of
from decide.shell.question_rows import QuestionRows
from decide.shell.tools import EXAMPLE, Answers, Tools

if TYPE_CHECKING:
    from decide.consult import Adviser
    from decide.decision.consultation import Consultation
    from decide.questions.next import Asker

# Asked first: the library is not needed for it, and loads meanwhile.
_OPENING: Final = "place.name"
_PATIENCE_S: Final = 0.5
_TRIES: Final = 2


def make_tools(today: dt.date, more: Sequence[Path | str] = (), kept: Path | None = None) -> Tools:
    """The installed library with `more` folders of knowledge on top, for a talk held on a day; what is read
    is kept in the folder `kept`.
    """
    return tools_of(data_folder(), today, more, kept)


def tools_of(
    folder: Path, today: dt.date, more: Sequence[Path | str] = (), kept: Path | None = None
) -> Tools:
    """The library on a knowledge folder with `more` folders on top."""
    check_folders([Path(each) for each in more])
    library = Library(folder, today, more, kept)
    rows = library.rows
    return Tools(
        questions=rows.questions,
        ask_next=library.ask_next,
        left=library.left,
        advise=library.advise,
        show=outputs.show,
        moved=outputs.moved,
        there=_there,
        ahead=library.look_ahead,
        record_row=library.record_row,
        reply=library.reply,
        reply_early=library.reply_early,
        check=library.check,
        write_paper=outputs.write_paper,
        in_words=library.in_words,
        find_place=library.find_place,
        named_areas=library.named_areas,
        breaths=rows.breaths,
        other_names=rows.other_names,
        speech=library.speech,
    )


def _speech(rows: QuestionRows, folders: Sequence[Path]) -> Speech:
    return Speech(
        rows.questions,
        rows.names("grasses"),
        rows.names("methods"),
        rows.names("equipment"),
        rows.names("words"),
        read_talk(folders),
        read_lands(folders),
        read_local(folders),
    )


class Library:
    """A knowledge folder with more on top, and the adviser and the asker on it, each made when first
    needed.
    """

    def __init__(
        self, folder: Path, today: dt.date, more: Sequence[Path | str], kept: Path | None = None
    ) -> None:
        self.folder = folder
        self.more = more
        self.kept = kept
        self.today = today
        folders = [folder, *map(Path, more)]
        self.rows = QuestionRows(folders)
        self.speech = _speech(self.rows, folders)
        self._by_key = {question.key: question for question in self.rows.questions}
        self._made: list[Adviser] = []
        self._turn = threading.Lock()
        self._ahead = 0
        # Not at once: the first question comes up and is answered sooner when nothing else runs beside it.
        self._loader = threading.Timer(_PATIENCE_S, self._load)
        self._loader.daemon = True
        self._loader.start()

    def _load(self) -> None:
        """Makes the adviser while the person reads the first question; trouble shows when it is needed in
        earnest.
        """
        with contextlib.suppress(Exception):
            self._made.append(self._make())
            # Nobody who answers meanwhile waits for it.
            threading.Thread(target=self._listen, daemon=True).start()

    def _listen(self) -> None:
        """Reads a line as it may be said first: patterns and tables of places are made when first used, and
        the person's own first line is to be heard at once.
        """
        from decide.parse.hear import hear

        setting = Setting(self.today, find_place=self.find_place)
        with contextlib.suppress(Exception):
            hear(EXAMPLE, setting, self.speech, answers={})

    def _make(self) -> Adviser:
        from decide.consult import Adviser
        from decide.knowledge.load import read_knowledge

        found = Adviser(read_knowledge(self.folder, *self.more, kept=self.kept), "both")
        # The knowledge stays as long as the talk: nobody is to wait while it is searched for what can go.
        gc.freeze()
        return found

    @cached_property
    def adviser(self) -> Adviser:
        """The adviser on the knowledge; one in the making is waited for, a start still to come is not."""
        self._loader.cancel()
        self._loader.join()
        return self._made[0] if self._made else self._make()

    @cached_property
    def asker(self) -> Asker:
        """What asks the next question that matters."""
        adviser = self.adviser
        from decide.questions.next import Asker

        return Asker(adviser, self.today)

    def ask_next(self, answers: Answers, details: bool) -> Question | None:
        """What is asked next: one question, or several in one breath; None where enough is told. With
        `details` what cannot change the choice is asked too.
        """
        if not answers and not details and _OPENING in self._by_key:
            return self._by_key[_OPENING]
        # What looks ahead stops after the trial that it is at.
        self._ahead += 1
        with self._turn:
            group = self.asker.next_group(answers, details)
        return None if group is None else question_of(group, self._by_key)

    def left(self, answers: Answers, details: bool) -> int:
        """How many questions are left at most, what is asked in one breath counted once."""
        if not answers and not details:
            return self.rows.asked_at_most
        with self._turn:
            return self.asker.left_at_most(answers, details)

    def look_ahead(self, answers: Answers) -> None:
        """Weighs what would be asked next while the person reads, in steps that let the talk go first.

        The talk asks the same with it and without it, only later.
        """
        self._ahead += 1
        if "asker" in self.__dict__:
            mine, held = self._ahead, copy.deepcopy(answers)
            threading.Thread(target=lambda: self._steps(mine, held), daemon=True).start()

    def _steps(self, mine: int, answers: Answers) -> None:
        # Trouble shows when the question is chosen in earnest.
        with contextlib.suppress(Exception):
            steps = self.asker.steps(answers)
            while self._ahead == mine:
                with self._turn:
                    if self._ahead != mine or next(steps, False) is False:
                        return

    def advise(self, answers: Answers, units: str | None) -> Consultation:
        """The consultation on the answers; DecideError where they cannot be advised on."""
        # What looks ahead stops: the person waits, and it tries on the same asker.
        self._ahead += 1
        adviser = self.adviser
        from decide.model.reading import situation_from_dict
        from decide.questions.unknown import tried

        situation = situation_from_dict(answers, name="your answers")
        consultation = adviser.consult(situation, system=outputs.system_of(units))
        consultation.filled.today_computed = True
        # More are tried when somebody asks what matters next.
        with self._turn:
            consultation.made = tried(consultation, self.asker, _TRIES)
        return consultation

    def check(self, answers: Answers) -> None:
        """Raises SituationError where an answer is out of its range."""
        from decide.model.reading import situation_from_dict

        situation_from_dict(answers, name="your answer")

    def record_row(self, judged: Consultation | None, told: Mapping[str, Any]) -> tuple[str, dict[str, Any]]:
        """The row of the record for what a person says was done."""
        knowledge = self.adviser.knowledge
        from decide.shell.diary import record_row

        return record_row(knowledge, judged, told)

    def in_words(self, text: str, answers: Answers) -> str:
        """A text in the words of the country of the field, the names of its parts left as told."""
        place = answers.get("place")
        country = place.get("country") if isinstance(place, dict) else None
        if not isinstance(country, str):
            return text
        rows = self.adviser.knowledge.local_words.values()
        from decide.answer.local_words import in_words_of

        names = [str(zone.get("name")) for zone in answers.get("zone", []) if isinstance(zone, dict)]
        return in_words_of(rows, country.lower(), names)(text)

    def find_place(self, name: str) -> Sequence[Mapping[str, Any]]:
        """Places of a name as tables for [place], with the words to show."""
        return [place.table() for place in self.adviser.library.tables.find_places(name, most=6)]

    def named_areas(self) -> dict[str, float]:
        """Areas that go by a name, in m²."""
        knowledge = self.adviser.knowledge
        found = {word: knowledge.value(value) for word, value in self.rows.areas.items()}
        return {word: area for word, area in found.items() if area is not None}

    def reply(self, judged: Consultation, ask: Ask) -> str:
        """The answer to what is asked of the advice."""
        from decide.explain.reply import reply

        self._ahead += 1
        with self._turn:
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

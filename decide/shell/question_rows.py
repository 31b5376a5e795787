"""The questions of the talk and the names of what they ask for, read from the tables alone: nothing slow
is imported.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from decide.model.toml_file import toml_file
from decide.parse.question import SEVERAL, Question
from decide.parse.results import AnswerChoice


class QuestionRows:
    """What the tables of some folders of knowledge say of the questions, the last folder first heard.

    `questions` come in their order; `asked_at_most` is how many of them are asked
    of somebody with one worn part; `breaths` are those that are asked in one breath; `other_names`
    gives the id of the question that a word names, `areas` the value that holds the area of a word in m².
    """

    def __init__(self, folders: Sequence[Path]) -> None:
        self._folders = folders
        self._names: dict[str, dict[str, tuple[str, ...]]] = {}
        rows = sorted(_table(folders[0], "questions").get("question", []), key=lambda row: row["order"])
        self.questions = tuple(self._question(row) for row in rows)
        together = _table(folders[0], "together")
        # The town, and what is asked after it of a field in one part.
        self.asked_at_most: int = 1 + together.get("limit", {}).get("most", 0)
        by_key = {question.key: question for question in self.questions}
        self.breaths = tuple(
            Question(
                "", code, row["ask"], row.get("why", ""), SEVERAL, help=row.get("help", ""),
                asks=tuple(by_key[key].with_no(row.get("no", {}).get(key)) for key in row["asks"]),
            )
            for code, row in together.get("group", {}).items()
            if row.get("ask") and all(key in by_key for key in row["asks"])
        )  # fmt: skip
        self.other_names = {
            word: question.id
            for row, question in zip(rows, self.questions, strict=True)
            for word in row.get("words", ())
        }
        self.areas: dict[str, str] = {
            word: value for row in rows for word, value in row.get("areas", {}).items()
        }

    def names(self, table: str) -> dict[str, tuple[str, ...]]:
        """Codes of a table with the names they go by."""
        if table not in self._names:
            self._names[table] = self._read_names(table)
        return self._names[table]

    def _read_names(self, table: str) -> dict[str, tuple[str, ...]]:
        rows: dict[str, dict[str, Any]] = {}
        for folder in self._folders:
            for code, row in _table(folder, table).items():
                rows[code] = {**rows.get(code, {}), **row} if isinstance(row, dict) else {}
        return {
            code: (row.get("name", code.replace("-", " ")), *row.get("also", ()))
            for code, row in rows.items()
            if isinstance(row.get("name", ""), str)
        }

    def _question(self, row: Mapping[str, Any]) -> Question:
        # A choice with a name stands only on labels: it is understood, but not listed.
        choices, more = (
            tuple(
                AnswerChoice(choice["value"], tuple(choice.get("say", ())))
                for choice in row.get("choices", ())
                if bool(choice.get("name")) == unlisted
            )
            for unlisted in (False, True)
        )
        offered = {choice.value for choice in choices if isinstance(choice.value, str)}
        if row.get("choices-from"):
            named = self.names(row["choices-from"])
            more += tuple(AnswerChoice(code, names) for code, names in named.items() if code not in offered)
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


def _table(folder: Path, name: str) -> Mapping[str, Any]:
    """A table of a folder, empty where a folder that is laid over another has none."""
    path = folder / f"{name}.toml"
    return toml_file(path)[1] if path.exists() else {}

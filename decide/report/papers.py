"""The advice as files: which papers there are, and writing them whole or not at all."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal

from decide.model.advice import Advice
from decide.model.errors import DecideError
from decide.model.files import write_whole
from decide.model.units import System
from decide.report.words import spoken

if TYPE_CHECKING:
    from decide.knowledge.tables import Knowledge

Kind = Literal["page", "notes", "calendar", "tasks", "shopping"]


class PaperError(DecideError):
    """A paper that cannot be written where it was wanted."""


def _page(advice: Advice, system: System | None) -> str:
    from decide.report.html import render_html

    return render_html(advice, system)


def _whole_page(advice: Advice, system: System | None) -> str:
    from decide.report.html import render_html

    return render_html(advice, system, full=True)


def _notes(advice: Advice, system: System | None) -> str:
    from decide.report.markdown import render_minutes

    return render_minutes(advice, system)


def _whole_notes(advice: Advice, system: System | None) -> str:
    from decide.report.markdown import render_markdown

    return render_markdown(advice, system=system)


def _calendar(advice: Advice, system: System | None, name: str = "") -> str:
    from decide.report.ics import calendar_file

    return calendar_file(advice, system, name)


def _tasks(advice: Advice, system: System | None) -> str:
    from decide.report.csv_tables import tasks_csv

    return tasks_csv(advice, system)


def _shopping(advice: Advice, system: System | None) -> str:
    from decide.report.csv_tables import shopping_csv

    return shopping_csv(advice, system)


Maker = Callable[[Advice, System | None], str]
PAPERS: Final[Mapping[Kind, Maker]] = {
    "page": _page, "notes": _notes, "calendar": _calendar, "tasks": _tasks, "shopping": _shopping,
}  # fmt: skip
# Those of which there is a longer form, with all of the advice.
LONGER: Final[Mapping[Kind, Maker]] = {"page": _whole_page, "notes": _whole_notes}


def paper(
    kind: Kind,
    advice: Advice,
    system: System | None = None,
    *,
    full: bool = False,
    name: str = "",
    knowledge: Knowledge | None = None,
) -> str:
    """The text of a paper: "page" (HTML), "notes" (Markdown), "calendar", "tasks" or "shopping" (CSV).

    `full` is for those that have a longer form: all of the advice, not only what fits on a page. `name` is
    for the calendar: what its file is called, which keeps apart the events of two fields of one town.
    `knowledge` is wanted where a folder has headings and labels of its own.

    PaperError for the page and the notes of an advice that was read from its short JSON: they tell of every
    option.
    """
    if kind in LONGER and advice.is_short:
        raise PaperError(
            "this advice was read from its short form, without most of its options",
            where=f"the {kind}",
            instead="Make the advice again from its situation, or keep `decide advise FILE --json --all`",
        )
    with spoken(knowledge):
        if kind == "calendar":
            return _calendar(advice, system, name)
        return (LONGER.get(kind, PAPERS[kind]) if full else PAPERS[kind])(advice, system)


def write_papers(
    advice: Advice,
    system: System | None,
    paths: Mapping[Kind, str],
    *,
    full: bool = False,
    knowledge: Knowledge | None = None,
) -> list[str]:
    """Write each paper to its path, `full` and `knowledge` as in `paper`, and give the paths as they can be
    shown.

    PaperError where one cannot be written.

    All texts are made and all places looked at before the first file changes, and each file is replaced at
    once: what stood there before stays whole until its new text is whole.
    """
    check_places(paths)
    texts = {
        kind: paper(kind, advice, system, full=full, name=Path(path).stem, knowledge=knowledge).encode(
            "utf-8", "replace"
        )
        for kind, path in paths.items()
    }
    for kind, path in paths.items():
        _write(path, texts[kind])
    return [shown(path) for path in paths.values()]


def check_places(paths: Mapping[Kind, str], taken: str | None = None) -> None:
    """PaperError where a path names no file that may be written, one file twice, or `taken` itself."""
    seen: dict[str, str] = {} if taken is None else {os.path.realpath(taken): "the situation file"}
    for kind, path in paths.items():
        if not path or "\0" in path:
            raise PaperError(
                f"'{shown(path)}' is not a file's name",
                where=f"--{kind}",
                instead="Name a file in a folder of yours",
            )
        target = os.path.realpath(path)
        if target in seen:
            raise PaperError(
                f"this is {seen[target]} already",
                where=shown(path),
                instead=f"Name another file for the {kind}",
            )
        seen[target] = f"the file of the {kind}"
        wrong = _wrong(target)
        if wrong:
            raise PaperError(wrong, where=shown(path), instead="Name a file in a folder of yours")


def _wrong(target: str) -> str:
    folder = os.path.dirname(target)
    try:
        mode = os.stat(target).st_mode
    except FileNotFoundError:
        mode = 0
    except (OSError, ValueError) as error:
        return f"it cannot be written: {(getattr(error, 'strerror', None) or 'not a name of a file').lower()}"
    if stat.S_ISDIR(mode):
        return "this is a folder"
    if mode and not stat.S_ISREG(mode):
        return "this is not a plain file"
    if mode and not os.access(target, os.W_OK):
        return "this file may not be written"
    if not os.path.isdir(folder):
        return f"there is no folder {shown(folder)}"
    return "" if os.access(folder, os.W_OK) else f"nothing may be written in {shown(folder)}"


def _write(path: str, data: bytes) -> None:
    target = Path(os.path.realpath(path))
    try:
        write_whole(
            target, data, stat.S_IMODE(target.stat().st_mode) if target.exists() else 0o666 & ~_umask()
        )
    except OSError as error:
        raise PaperError(
            f"it cannot be written: {(error.strerror or 'unknown trouble').lower()}",
            where=shown(path),
            instead="Name a file in a folder of yours",
        ) from None


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def shown(path: str) -> str:
    """A path as it can be printed: what would act on a screen, or is no letter, stands as an escape."""
    return "".join(
        letter if letter.isprintable() else letter.encode("unicode_escape", "surrogatepass").decode("ascii")
        for letter in path
    )

"""What is fed: each target takes a source of chance, makes an input, and has it read as people would."""

from __future__ import annotations

import contextlib
import copy
import datetime as dt
import io
import json
import random
import shutil
import tempfile
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from decide.facts.record import Entry, appended, merged
from decide.knowledge.load import knowledge_folder, read_knowledge
from decide.many.line import LineJudge, Setting
from decide.many.records import records
from decide.measure.weather_file import read_weather
from decide.model.errors import DecideError
from decide.model.reading import read_situation
from decide.model.toml_lines import plain_tables
from decide.parse.question import Question
from decide.shell import table
from decide.shell.keep import load
from decide.shell.library import tools_of
from decide.shell.state import Say
from decide.shell.talk import Talk
from decide.shell.tools import Answers, Tools
from tests.fuzz import mutate

ROOT = Path(__file__).parents[2]
GOOD = ROOT / "tests" / "mistakes" / "good"
TODAY = dt.date(2026, 5, 20)
MOST_READINGS = 6
STEERING = (
    "1", "2", "yes", "no", "back", "don't know", "help", "what did I say", "same", "change the date", "start again", "save", "details",
)  # fmt: skip


class FoundError(Exception):
    """Something that must not be, and is no exception of the program's own."""


# ---------- corpora ----------
@cache
def said() -> tuple[str, ...]:
    """What people said, in the sets of lines, the vocabulary and the choices."""
    rows = [
        json.loads(line)
        for path in sorted((ROOT / "tests" / "said").rglob("*.jsonl"))
        for line in path.open(encoding="utf-8")
    ]
    lines = {row["text"] for row in rows if "text" in row}
    lines |= {word for question in tools().questions for choice in question.choices for word in choice.say}
    return tuple(sorted(lines))


@cache
def situations() -> tuple[bytes, ...]:
    """Situation files as people write them: the demo's, and those of the cases."""
    cases = sorted((knowledge_folder() / "cases").glob("*.toml"))[::6]
    made = [(knowledge_folder() / "demo.toml").read_bytes()]
    for path in cases:
        text = path.read_text(encoding="utf-8")
        inside = [
            line
            for line in text.split("[expect]")[0].splitlines()
            if not line.startswith(("title", "signed", "sources"))
        ]
        made.append("\n".join(inside).replace("[situation.", "[").encode())
    return tuple(made)


@cache
def tables() -> tuple[dict[str, Any], ...]:
    """The situations as nested tables."""
    return tuple(plain_tables(tomllib.loads(each.decode())) for each in situations())


@cache
def weathers() -> tuple[bytes, ...]:
    first = dt.date(2023, 1, 1)
    days = [(first + dt.timedelta(n), n % 20, n % 20 + 9, n % 7) for n in range(400)]
    wide = "date,min,max,rain\n" + "".join(f"{day},{low},{high},{rain}\n" for day, low, high, rain in days)
    us = "STATION,DATE,PRCP,TMAX,TMIN\n" + "".join(
        f"USW1,{d},{r},{h * 10},{low * 10}\n" for d, low, h, r in days
    )
    long = "".join(
        f"USW1,{d:%Y%m%d},TMAX,{h * 10},,,\nUSW1,{d:%Y%m%d},TMIN,{low * 10},,,\n"
        for d, low, h, _ in days[:200]
    )
    return wide.encode(), us.encode(), long.encode(), wide.replace(",", ";").encode(), wide[:200].encode()


@cache
def knowledge_files() -> tuple[tuple[str, bytes], ...]:
    """Files of knowledge by their names in a folder."""
    folders = (GOOD, ROOT / "tests" / "examples" / "overlay")
    return tuple(
        (path.relative_to(folder).as_posix(), path.read_bytes())
        for folder in folders
        for path in sorted(folder.rglob("*.toml"))
    )


@cache
def batches() -> tuple[bytes, ...]:
    lines = [json.dumps({"id": f"f{n}", **each}, ensure_ascii=False) for n, each in enumerate(tables()[:12])]
    csv = "id,place.name,place.country,dates.play_by,zone[1].name,zone[1].bare_percent,means.helpers\nf1,Dayton,us,2027-04-01,goalmouths,60,4\nf2,Leeds,gb,,middle,30,\n"
    return (
        ("\n".join(lines[:3])).encode(),
        *(line.encode() for line in lines),
        csv.encode(),
        csv.replace(",", ";").encode(),
    )


# ---------- a talk that asks at once ----------
@cache
def tools() -> Tools:
    """The library as the talk sees it; the next question is the next open one, and advice is not made."""
    made = tools_of(knowledge_folder(), TODAY)
    return replace(
        made,
        ask_next=lambda answers, details: next(_open(made, answers), None),
        left=lambda *_: 0,
        ahead=lambda _: None,
        advise=_no_advice,
    )


def _no_advice(answers: Answers, units: str | None) -> Any:
    raise DecideError("no advice is made here")


def _open(made: Tools, answers: Answers) -> Iterator[Question]:
    for question in made.questions:
        zones: list[str | None] = [str(zone["name"]) for zone in table.zones(answers)] or [None]
        for zone in zones[:1] if question.key.startswith("zone.") else [None]:
            if table.get(answers, question.at(zone)) is None:
                yield question.at(zone)


def talk(answers: Answers, question: Question | None) -> Talk:
    made = Talk(tools(), TODAY, answers)
    if question is not None:
        made.state.ask_again(question)
    return made


def checked(lines: list[Say], by: str) -> None:
    """What is said is fit to be shown."""
    for one in lines:
        if any(not line.isprintable() for line in one.text.split("\n")):
            raise FoundError(f"said to {by[:80]!r} is what no terminal shows: {one.text[:200]!r}")


def asked(held: Talk) -> None:
    """What is asked is fit to be shown."""
    prompt = held.prompt()
    checked([Say(each) for each in (prompt.text, *prompt.choices, prompt.hint)], "asked")


# ---------- targets ----------
def grammar(draw: random.Random) -> str:
    """An answer to a question, and each reading of what is asked back picked."""
    line = mutate.text(draw, said())
    asked = draw.choice(tools().questions)
    answers = (
        copy.deepcopy(draw.choice(tables()))
        if draw.random() < 0.5
        else {"place": {"name": "Dayton", "country": "us"}}
    )
    zones = [str(zone.get("name")) for zone in answers.get("zone", [])]
    question = asked.at(zones[0]) if zones and asked.key.startswith("zone.") else asked
    first = talk(copy.deepcopy(answers), question)
    checked(first.hear(line), line)
    pending = first.state.pending
    for number, reading in enumerate(pending.readings[:MOST_READINGS] if pending else (), 1):
        again = talk(copy.deepcopy(answers), question)
        again.hear(line)
        heard = again.hear(str(number))
        checked(heard, line)
        wrong = [
            one.text for one in heard if one.role == "error" and "no advice is made here" not in one.text
        ]
        if wrong:
            raise FoundError(
                f"reading {number} ({reading.say!r}) of {line!r} to {question.id} cannot be picked: {wrong[0]}"
            )
    return line


def whole_talk(draw: random.Random) -> str:
    """Some lines of one talk, from its opening or from answers."""
    held = talk(copy.deepcopy(draw.choice(tables())) if draw.random() < 0.4 else {}, None)
    lines = [
        draw.choice(STEERING) if draw.random() < 0.15 else mutate.text(draw, said())
        for _ in range(draw.randint(1, 5))
    ]
    for line in lines:
        asked(held)
        held.vocabulary()
        checked(held.hear(line), line)
        json.dumps(held.answers, allow_nan=False)
    return " / ".join(lines)


def situation(draw: random.Random) -> str:
    """A situation file, as TOML or JSON."""
    if draw.random() < 0.7:
        raw = mutate.data(draw, situations())
    else:
        raw = mutate.data(
            draw,
            [json.dumps(each, ensure_ascii=False, indent=1).encode() for each in draw.sample(tables(), 2)],
        )
    with contextlib.suppress(DecideError):
        read_situation(raw, "x.toml")
    return repr(raw[-300:])


def saved(draw: random.Random) -> str:
    """A talk that was kept, gone on from with a line."""
    table_ = draw.choice(tables())
    raw = (
        json.dumps(table_, ensure_ascii=False, indent=1).encode()
        if draw.random() < 0.6
        else draw.choice(situations())
    )
    raw = mutate.data(draw, [raw])
    with tempfile.NamedTemporaryFile(suffix=".json", delete=True) as file:
        file.write(raw)
        file.flush()
        try:
            answers = load(Path(file.name))
        except DecideError:
            return repr(raw[-300:])
    held = Talk(tools(), TODAY, answers, resumed=True)
    for line in ("yes", mutate.text(draw, said()), "what did I say"):
        asked(held)
        checked(held.hear(line), line)
    return repr(raw[-300:])


def record(draw: random.Random) -> str:
    """A row for the record of a field, and a record beside it."""
    word = lambda: mutate.text(draw, (*_steps(), *said()[:50]), 300)  # noqa: E731 – said at each place anew
    some = lambda make: make() if draw.random() < 0.3 else None  # noqa: E731
    entry = Entry(
        draw.choice(_steps()) if draw.random() < 0.7 else word(), TODAY - dt.timedelta(draw.randrange(400)), some(word),
        some(lambda: draw.choice((0.0, -1.0, 1e308, 5.0, 1e-300))), some(word), some(lambda: True), some(word), some(word), some(word), some(word),
    )  # fmt: skip
    raw = draw.choice(situations()) if draw.random() < 0.6 else mutate.data(draw, situations())
    with contextlib.suppress(DecideError):
        made = appended(raw, _knowledge(), entry, "x.toml", TODAY)
        if not made.startswith(raw):
            raise FoundError("a row changed what stood before it")
    rows = [
        b'[[done]]\ntask = "mow"\ndate = 2026-05-01\n',
        b'[[check]]\ncheck = "cover-count"\ndate = 2026-05-01\nvalue = 60\n',
        b'[[ongoing]]\nmethod = "broadcast-seed"\ngrass = "tall-fescue"\nstart = 2026-04-01\n',
    ]
    beside = mutate.data(draw, rows)
    with contextlib.suppress(DecideError):
        merged(_demo(), beside, "record.toml")
    return repr((entry, beside[-200:]))


def weather(draw: random.Random) -> str:
    """A file of daily weather."""
    raw = mutate.data(draw, weathers())
    with contextlib.suppress(DecideError):
        read_weather(raw, "weather.csv")
    return repr(raw[-200:])


def overlay(draw: random.Random) -> str:
    """A folder laid over a small knowledge, one to three of its files spoiled."""
    folder = Path(tempfile.mkdtemp(prefix="fuzz-"))
    names = []
    try:
        for _ in range(draw.randint(1, 3)):
            name, text = draw.choice(knowledge_files())
            if draw.random() < 0.05:
                name = (
                    mutate.text(draw, [name], 60).replace("/", "_").replace("\0", "").replace("\udcff", "")
                    or "x.toml"
                )
            path, spoiled = folder / name, mutate.data(draw, [text])
            # A file may have the name of the folder of the one after it.
            with contextlib.suppress(FileExistsError, NotADirectoryError, IsADirectoryError):
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(spoiled)
            names.append(name)
        with contextlib.suppress(DecideError):
            read_knowledge(GOOD, folder)
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    return repr(names)


def many(draw: random.Random) -> str:
    """Lines of a batch, read and answered; advice is made of one in a thousand."""
    raw = mutate.data(draw, batches())
    form = "csv" if raw.startswith((b"id,", b"id;")) else draw.choice(("jsonl", "jsonl", "csv"))
    judge = _judge()
    try:
        rows = list(records(io.BytesIO(raw), form, "x"))
    except DecideError:
        return repr(raw[-300:])
    for row in rows[:5]:
        line = judge(row)
        told = json.loads(line)
        if not line.endswith(b"\n") or line.count(b"\n") != 1 or "ok" not in told:
            raise FoundError("a line is not one whole line")
        if "the program failed here" in line.decode():
            raise FoundError(f"the program failed: {line[:300]!r}")
    return repr(raw[-300:])


class _Read(LineJudge):
    """Reads a line and advises on it now and then."""

    count = 0

    def _advised(self, line: int, name: str | None, table: dict[str, Any], where: str) -> bytes:
        self.count += 1
        if self.count % 1000:
            self._situation(table, where)
            return b'{"ok":true}\n'
        return super()._advised(line, name, table, where)


@cache
def _judge() -> LineJudge:
    return _Read(Setting(TODAY, engines="plain", weather_folder="/nowhere"))


@cache
def _knowledge() -> Any:
    return read_knowledge()


@cache
def _demo() -> Any:
    return read_situation(situations()[0])


@cache
def _steps() -> tuple[str, ...]:
    k = _knowledge()
    return (*k.tasks, *k.opening, *k.rescue, *k.usual_methods)


TARGETS: dict[str, Callable[[random.Random], str]] = {
    "grammar": grammar, "talk": whole_talk, "situation": situation, "saved": saved, "record": record,
    "weather": weather, "overlay": overlay, "many": many,
}  # fmt: skip

"""Commands: the talk, `advise FILE`, `--version`, `--sources`."""

from __future__ import annotations

import datetime as dt
import os
import sys
from typing import TYPE_CHECKING, Final, Literal, TextIO

from decide.model.errors import DecideError, EngineError, SituationError, meant
from decide.model.version import VERSION

if TYPE_CHECKING:
    from decide.measure.weather import DailyWeather
    from decide.model.situation import Situation
    from decide.model.units import System

USAGE: Final = """\
decide                        talk about a field: questions, a choice, the reasons
decide --talk FILE            the same, answers kept in FILE
decide advise FILE            advice from a situation file ("-" reads standard input)
       --json                 the advice as JSON, for programs
       --full, --reasons      all options, checks and sources; or every grade with its reason
       --season               the year at the place: warmth, frost, windows, dates
       --page FILE            one HTML page, with a sheet to print and hang up
       --notes FILE           Markdown, for a committee's minutes
       --calendar FILE        the plan for a calendar (.ics)
       --tasks FILE, --shopping FILE   the plan and what to buy, for a spreadsheet (.csv)
                              any of the five together; "-" instead of a file is standard output
       --quick                do not try whether missing answers could change the choice
       --width N              width of the page
       --units metric|us      units of the page
       --engine both|plain|durable
       --record FILE          a record kept beside it: done, checks, signs, what was begun
decide record FILE WHAT       write down what was done, checked or seen, at the end of a situation file
       --grass G, --method M  what was sown, laid or planted, as: record FILE sow --grass "perennial ryegrass"
       --zone Z, --on DATE, --amount N, --unit U, --passed yes|no, --note TEXT, --by ROLE
decide explain FILE "question"  why, why not, better, what if, what would it take, how sure, what matters next, a word, says who
       --level 1|2|3          words; the conditions too; rules and sources too
       --json, --width N, --units metric|us
decide windows FILE           when each grass can be started at the place of a situation file, and why
       --json, --width N, --units metric|us
decide lesson FILE            how the advice follows, rule by rule; in a terminal step by step (next, back, guess, jump N)
       --guess, --seed N      each conclusion kept back, with choices; --all prints every step, --walk reads commands from a pipe
       --option WORDS         step through one more option, as "thick sod"
       --with FILE2           two fields side by side, and the rule where they part
       --dot FILE, --page FILE   the derivation as a graph (DOT), or as a page that a keyboard can walk
decide lesson --exercises N   a sheet from the cases; --seed N, --level 1|2|3, --answers
decide lesson --break RULE    which cases come out otherwise without a rule; --only WORD takes some cases
decide changed OLD [NEW] [FILES]   what moved between two folders of knowledge, and by which rule; --only WORD, --json
decide changed --situations A B    what moved between two situations; --json
decide demo                   the same on the demo field; `decide demo --file` prints its situation file
decide schema [situation]     JSON Schema of the advice, or of the situation file
decide audit                  check the knowledge
decide --sources              every publication, and how it was seen
decide --version              version, and the engines in use
"""
PAPER_OPTIONS: Final = ("--page", "--notes", "--calendar", "--tasks", "--shopping")
OK, NO_ADVICE, WRONG_USE, ENGINES_DIFFER = 0, 1, 2, 3
# A day that the windows of a place may not depend on.
ANY_DAY: Final = dt.date(2001, 1, 1)


def _fail(text: str, code: int) -> int:
    print(f"decide: {text}", file=sys.stderr)
    return code


def _version() -> int:
    from decide.engine.durable import available

    second = (
        "durable-rules (forward chaining)"
        if available()
        else "durable-rules is not installed: only the plain engine is in use"
    )
    print(f"decide {VERSION}")
    print(f"engines: plain evaluator; {second}")
    return OK


def _sources() -> int:
    from decide.knowledge.load import knowledge_folder, read_knowledge

    knowledge = read_knowledge()
    for key, source in sorted(knowledge.sources.items()):
        print(f"{key}: {source.title}. {source.publisher}, {source.year} ({source.seen})")
    print((knowledge_folder() / "climate" / "README.md").read_text(encoding="utf-8"))
    return OK


def _read(name: str) -> bytes:
    """The bytes of a file or of standard input, at most a little more than may be read."""
    from decide.model.reading import MOST_BYTES

    if name == "-":
        return sys.stdin.buffer.read(MOST_BYTES + 1)
    with open(name, "rb") as file:
        return file.read(MOST_BYTES + 1)


def _weather(situation: Situation, name: str) -> DailyWeather | None:
    """The daily weather of the file that a situation names, its path taken from the situation file's folder."""
    told = situation.place.weather_file
    if told is None:
        return None
    from decide.measure.weather import MOST_BYTES, read_weather

    path = os.path.join("" if name == "-" else os.path.dirname(name), told)
    try:
        with open(path, "rb") as file:
            data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        said = getattr(error, "strerror", None) or "cannot be read"
        raise SituationError(
            f"place.weather_file: {told}: {said}",
            where=name,
            instead="Write its path from the folder of the situation file, or take the key out",
        ) from None
    return read_weather(data, told)


def _given(
    name: str, *, day_matters: bool = True, beside: str = ""
) -> tuple[Situation, DailyWeather | None, str]:
    """The situation of a file ("-" is standard input), its weather, and a note where today was taken from the clock.

    Where the day does not matter and none is told, a day is set that nothing may depend on.
    """
    from decide.model.reading import read_situation

    try:
        data = _read(name)
    except OSError as error:
        raise SituationError(
            error.strerror or "cannot be read", where=name, instead="Write the path of a situation file"
        ) from None
    situation, note = read_situation(data, "standard input" if name == "-" else name), ""
    if beside:
        from decide.facts.record import merged

        try:
            situation = merged(situation, _read(beside), beside)
        except OSError as error:
            raise SituationError(
                error.strerror or "cannot be read", where=beside, instead="Write the path of a record file"
            ) from None
    if situation.dates.today is None:
        today = dt.date.today() if day_matters else ANY_DAY
        situation = situation.model_copy(
            update={"dates": situation.dates.model_copy(update={"today": today})}
        )
        if day_matters:
            note = f"Today is taken from this computer's clock: {today.isoformat()}."
            if situation.dates.play_by is not None and situation.dates.play_by < today:
                raise SituationError(
                    f"dates.play_by ({situation.dates.play_by}) lies before today ({today})",
                    instead="Write a date still to come",
                )
    return situation, _weather(situation, name), note


def _options(
    command: str, words: list[str], flags: dict[str, bool], named: dict[str, str]
) -> tuple[str, str]:
    """The situation file that a command is given, and what is wrong with its words; sets the options in `flags` and `named`."""
    files: list[str] = []
    rest = list(words)
    while rest:
        word = rest.pop(0)
        if word in flags:
            flags[word] = True
        elif word in named:
            if not rest:
                return "", f"{word} needs a word after it"
            named[word] = rest.pop(0)
        elif word.startswith("-") and word != "-":
            return "", f"{word!r} is not an option of {command}. {meant(word, [*flags, *named])}"
        else:
            files.append(word)
    if len(files) != 1:
        return "", f'{command} takes one situation file, or "-" for standard input'
    if named["--units"] not in ("", "metric", "us"):
        return "", "--units is metric or us"
    if named["--width"] and not (named["--width"].isdigit() and 20 <= int(named["--width"]) <= 400):
        return "", "--width is a number of columns from 20 to 400"
    return files[0], ""


def _windows(words: list[str]) -> int:
    flags, named = {"--json": False}, {"--width": "", "--units": ""}
    file, wrong = _options("windows", words, flags, named)
    if wrong:
        return _fail(wrong, WRONG_USE)
    situation, weather, _ = _given(file, day_matters=False)

    from decide.answer.planting_calendar import planting_calendar
    from decide.facts.complete import Library, fill
    from decide.knowledge.load import read_knowledge

    found = planting_calendar(fill(situation, Library(read_knowledge()), weather), named["--units"] or None)  # type: ignore[arg-type]
    if flags["--json"]:
        sys.stdout.buffer.write(found.as_json().encode())
        return OK
    from decide.report.windows_text import render_windows

    screen = sys.stdout.isatty() and os.environ.get("TERM", "") not in ("", "dumb")
    width = int(named["--width"]) if named["--width"] else os.get_terminal_size().columns if screen else 80
    encoding = (sys.stdout.encoding or "ascii").lower().replace("-", "")
    _print(
        render_windows(
            found,
            width=width,
            ascii_only=encoding not in ("utf8",),
            plain=os.environ.get("TERM", "") == "dumb",
        ),
        sys.stdout,
    )
    return OK


def _advise(words: list[str]) -> int:
    flags = {"--json": False, "--quick": False, "--full": False, "--reasons": False, "--season": False}
    named = {
        "--width": "",
        "--units": "",
        "--record": "",
        "--engine": "both",
        **dict.fromkeys(PAPER_OPTIONS, ""),
    }
    file, wrong = _options("advise", words, flags, named)
    if wrong:
        return _fail(wrong, WRONG_USE)
    if named["--engine"] not in ("both", "plain", "durable"):
        return _fail("--engine is both, plain or durable", WRONG_USE)
    to_stdout = [option for option in PAPER_OPTIONS if named[option] == "-"]
    if len(to_stdout) + flags["--json"] > 1:
        return _fail(
            f"only one of {' and '.join([*to_stdout, *(['--json'] if flags['--json'] else [])])} can go to standard output. Name a file for the others",
            WRONG_USE,
        )
    papers = {option[2:]: named[option] for option in PAPER_OPTIONS if named[option] not in ("", "-")}
    if papers:
        from decide.report.papers import PaperError, check_places

        try:
            check_places(papers, None if file == "-" else file)  # type: ignore[arg-type]
        except PaperError as error:
            return _fail(str(error), WRONG_USE)
    situation, weather, note = _given(file, beside=named["--record"])

    from decide.consult import Adviser
    from decide.knowledge.load import read_knowledge
    from decide.questions.next import Asker, tried

    adviser = Adviser(read_knowledge(), named["--engine"])  # type: ignore[arg-type]
    try:
        consultation = adviser.consult(situation, system=named["--units"] or None, weather=weather)  # type: ignore[arg-type]
        consultation.filled.today_computed = bool(note)
        advice = tried(
            consultation, None if flags["--quick"] else Asker(adviser, consultation.filled.today, weather)
        )
    finally:
        adviser.close()
    system: System | None = named["--units"] or None  # type: ignore[assignment]
    if papers or to_stdout:
        from decide.report.papers import paper, write_papers

        for path in write_papers(advice, system, papers):  # type: ignore[arg-type]
            print(f"Written: {path}", file=sys.stderr)
        for option in to_stdout:
            sys.stdout.buffer.write(paper(option[2:], advice, system).encode())  # type: ignore[arg-type]
            return OK
    if flags["--json"]:
        sys.stdout.buffer.write(advice.as_json().encode())
        return OK
    from decide.report.text import render

    screen = sys.stdout.isatty() and os.environ.get("TERM", "") not in ("", "dumb")
    width = int(named["--width"]) if named["--width"] else os.get_terminal_size().columns if screen else 80
    depth: Literal["short", "full", "reasons"] = (
        "reasons" if flags["--reasons"] else "full" if flags["--full"] else "short"
    )
    encoding = (sys.stdout.encoding or "ascii").lower().replace("-", "")
    ascii_only = encoding not in ("utf8",)
    if flags["--season"]:
        from decide.report.season_picture import season_text

        # Rows of letters are asked for by name, so they are drawn into a file or a pipe too, unless TERM says that lines are read aloud.
        lines = season_text(
            advice,
            width=width,
            ascii_only=ascii_only,
            plain=os.environ.get("TERM", "") == "dumb",
            system=system,
        )
        _print(
            "\n".join(lines or ["No season can be shown before the place is known. Write place.name."])
            + "\n",
            sys.stdout,
        )
    else:
        _print(
            render(
                advice,
                width=width,
                depth=depth,
                colour=screen and not os.environ.get("NO_COLOR"),
                ascii_only=ascii_only,
                plain=not screen,
                system=system,
            ),
            sys.stdout,
        )
    if note:
        print(note, file=sys.stderr)
    return OK


def _record(words: list[str]) -> int:
    plain: list[str] = []
    named: dict[str, str | None] = dict.fromkeys(
        ("--zone", "--on", "--grass", "--method", "--amount", "--unit", "--passed", "--note", "--by")
    )
    rest = list(words)
    while rest:
        word = rest.pop(0)
        if word in named:
            if not rest:
                return _fail(f"{word} needs a word after it", WRONG_USE)
            named[word] = rest.pop(0)
        elif word.startswith("-"):
            return _fail(f"{word!r} is not an option of record. {meant(word, named)}", WRONG_USE)
        else:
            plain.append(word)
    if len(plain) < 2:
        return _fail(
            "record takes a situation file and what is to be written down: decide record field.toml mow",
            WRONG_USE,
        )
    today = dt.date.today()
    try:
        on = today if named["--on"] is None else dt.date.fromisoformat(named["--on"])
    except ValueError:
        return _fail(
            f"--on {named['--on']} is not a date that can be read one way only. Write it as 2026-05-20",
            WRONG_USE,
        )
    amount: float | None = None
    if named["--amount"] is not None:
        try:
            amount = float(named["--amount"])
        except ValueError:
            return _fail(
                f"--amount {named['--amount']} is not a number. Write a plain number, and its unit after --unit",
                WRONG_USE,
            )
    if named["--passed"] not in (None, "yes", "no"):
        return _fail("--passed is yes or no", WRONG_USE)

    from pathlib import Path

    from decide.facts.record import Entry, record
    from decide.knowledge.load import read_knowledge

    passed = None if named["--passed"] is None else named["--passed"] == "yes"
    entry = Entry(
        " ".join(plain[1:]),
        on,
        named["--zone"],
        amount,
        named["--unit"],
        passed,
        named["--note"],
        named["--by"],
        named["--grass"],
        named["--method"],
    )
    added = record(Path(plain[0]), read_knowledge(), entry, today)
    _print(f"Written at the end of {plain[0]}:\n{added.decode().strip()}\n", sys.stdout)
    return OK


def _explain(words: list[str]) -> int:
    said: list[str] = []
    as_json, named, rest = False, {"--level": "1", "--units": "", "--width": ""}, list(words)
    while rest:
        word = rest.pop(0)
        if word == "--json":
            as_json = True
        elif word in named:
            if not rest:
                return _fail(f"{word} needs a word after it", WRONG_USE)
            named[word] = rest.pop(0)
        elif word.startswith("--"):
            return _fail(
                f"{word!r} is not an option of explain. {meant(word, ['--json', *named])}", WRONG_USE
            )
        else:
            said.append(word)
    if not said:
        return _fail(
            'explain takes a situation file and a question, such as: decide explain field.toml "why not thin sod?"',
            WRONG_USE,
        )
    if named["--level"] not in ("1", "2", "3"):
        return _fail("--level is 1, 2 or 3", WRONG_USE)
    if named["--units"] not in ("", "metric", "us"):
        return _fail("--units is metric or us", WRONG_USE)
    if named["--width"] and not (named["--width"].isdigit() and 20 <= int(named["--width"]) <= 400):
        return _fail("--width is a number of columns from 20 to 400", WRONG_USE)
    situation, weather, note = _given(said[0])
    import json
    import textwrap

    from decide.consult import Adviser
    from decide.explain import ask
    from decide.knowledge.load import read_knowledge

    adviser = Adviser(read_knowledge(), "both")
    try:
        consultation = adviser.consult(situation, system=named["--units"] or None, weather=weather)  # type: ignore[arg-type]
        told = ask(consultation, " ".join(said[1:]) or "why", int(named["--level"]))  # type: ignore[arg-type]
    finally:
        adviser.close()
    if as_json:
        _print(
            json.dumps({"asked": " ".join(said[1:]) or "why", **told.as_dict()}, indent=1, ensure_ascii=True)
            + "\n",
            sys.stdout,
        )
    else:
        screen = sys.stdout.isatty() and os.environ.get("TERM", "") not in ("", "dumb")
        width = (
            int(named["--width"]) if named["--width"] else os.get_terminal_size().columns if screen else 80
        )
        from decide.model.words import to_ascii

        lines = [
            part
            for line in told.text.splitlines()
            for part in textwrap.wrap(
                line, width, subsequent_indent=" " * (len(line) - len(line.lstrip(" -")))
            )
            or [""]
        ]
        text = "\n".join(lines) + "\n"
        _print(
            text if (sys.stdout.encoding or "ascii").lower().replace("-", "") == "utf8" else to_ascii(text),
            sys.stdout,
        )
    if note:
        print(note, file=sys.stderr)
    return OK if told.understood else NO_ADVICE


def _demo(words: list[str]) -> int:
    from decide.knowledge.load import knowledge_folder

    path = knowledge_folder() / "demo.toml"
    if words == ["--file"]:
        print(path.read_text(encoding="utf-8"), end="")
        return OK
    return _advise([*words, str(path)])


def _print(text: str, stream: TextIO) -> None:
    stream.buffer.write(text.encode(stream.encoding or "ascii", errors="replace"))
    stream.flush()


def _schema(words: list[str]) -> int:
    import json

    from decide.model.advice import Advice
    from decide.model.situation import Situation

    if words not in ([], ["advice"], ["situation"]):
        return _fail("schema takes nothing, or the word situation", WRONG_USE)
    model = Situation if words == ["situation"] else Advice
    print(json.dumps(model.model_json_schema(by_alias=True), indent=1, ensure_ascii=False))
    return OK


def _taught(command: str, words: list[str]) -> int:
    from decide.shell.lesson_command import Misuse, changed_command, lesson_command

    try:
        return (lesson_command if command == "lesson" else changed_command)(
            words, _given, lambda text: _print(text, sys.stdout)
        )
    except Misuse as error:
        return _fail(str(error), WRONG_USE)


def _talk(words: list[str]) -> int:
    from decide.shell import run

    return run(words)


def _audit() -> int:
    from decide.knowledge.audit import main as audit_main

    return audit_main([])


def _help(command: str) -> str:
    """The lines of the usage about one command; all of it where it has none of its own."""
    found, own = [], False
    for line in USAGE.splitlines(keepends=True):
        own = line.split()[:2] == ["decide", command] if not line.startswith(" ") else own
        if own:
            found.append(line)
    return "".join(found) or USAGE


def _run(words: list[str]) -> int:
    match words:
        case [command, "--help" | "-h"] | ["help", command]:
            print(_help(command), end="")
            return OK
        case ["--version" | "-V" | "version"]:
            return _version()
        case ["--help" | "-h" | "help"]:
            print(USAGE, end="")
            return OK
        case ["--sources" | "sources"]:
            return _sources()
        case ["audit"]:
            return _audit()
        case ["advise", *rest]:
            return _advise(rest)
        case ["explain", *rest]:
            return _explain(rest)
        case ["windows", *rest]:
            return _windows(rest)
        case ["record", *rest]:
            return _record(rest)
        case [("lesson" | "changed") as command, *rest]:
            return _taught(command, rest)
        case ["demo", *rest]:
            return _demo(rest)
        case ["schema", *rest]:
            return _schema(rest)
        case [] | ["--talk", _] | ["talk", *_]:
            return _talk([word for word in words if word != "talk"])
    commands = [
        "advise",
        "explain",
        "record",
        "windows",
        "lesson",
        "changed",
        "demo",
        "schema",
        "audit",
        "talk",
        "--sources",
        "--version",
        "--help",
    ]
    return _fail(
        f"{words[0]!r} is not a command. {meant(words[0], commands)} `decide --help` lists them", WRONG_USE
    )


def main() -> int:
    """Run one command and return its exit status: 0 with advice, 1 without, 2 for wrong use, 3 where the engines differ."""
    try:
        return _run(sys.argv[1:])
    except EngineError as error:
        return _fail(str(error), ENGINES_DIFFER)
    except DecideError as error:
        return _fail(str(error), NO_ADVICE)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        return NO_ADVICE
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main())

"""The table of commands: what each is called, what it takes, and where it is done."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, Literal

from decide.cli.words import Command, Option, Plain, day, number, one_of, whole, yes_or_no

ENGINES: Final = ("both", "plain")
SYSTEMS: Final = ("metric", "us")
PAGES: Final = ("more", "week", "plan", "water", "care", "money", "reasons")
SCHEMAS: Final = ("advice", "situation", "many", "record")
SHELLS: Final = ("bash", "zsh", "fish", "tcsh")
Kind = Literal["page", "notes", "calendar", "tasks", "shopping"]
PAPERS: Final[Mapping[Kind, str]] = {
    "page": "one HTML page: a sheet to hang up, two pages behind it; --full prints all",
    "notes": "a committee's minutes on one page (Markdown); with --full all of the advice",
    "calendar": "the plan for a calendar, with reminders of last days (.ics)",
    "tasks": "what is done when, where and by whom, for a spreadsheet (.csv)",
    "shopping": "what to buy, as a shop reads it, for a spreadsheet (.csv)",
}

FIELD: Final = Plain("file", "FILE", 'a situation file; "-" is standard input', path=True)
ONE_FILE: Final = 'takes one situation file, or "-" for standard input'
JSON: Final = Option("--json", "as JSON, for programs")
KNOWLEDGE: Final = Option(
    "--knowledge",
    "a folder that adds to the knowledge and overrides it; may be said again",
    "DIR",
    several=True,
    path=True,
)
UNITS: Final = Option("--units", "units of what is shown", "metric|us", one_of(*SYSTEMS), offered=SYSTEMS)
WIDTH: Final = Option(
    "--width", "columns of what is shown", "N", whole(20, 400, "a number of columns from 20 to 400")
)
FORMS: Final = ("jsonl", "csv", "parquet")
LEVEL: Final = Option(
    "--level",
    "1: words; 2: the conditions too; 3: rules and sources too",
    "1|2|3",
    whole(1, 3, "1, 2 or 3"),
    otherwise=1,
    offered=("1", "2", "3"),
)
SEED: Final = Option("--seed", "another number, another order of choices", "N", whole(0), otherwise=0)
ONLY: Final = Option("--only", "only the cases whose names hold this word", "WORD", otherwise="")

_ADVISE: Final = (
    Option("--json", "as JSON, for programs: the choice, the next best, and every way once"),
    Option("--all", "with --json: every option that was judged, in full"),
    Option(
        "--show",
        "one page of the advice instead of its first screen",
        "|".join(PAGES),
        one_of(*PAGES),
        offered=PAGES,
    ),
    Option("--full", "all of it: every condition, option, check and source"),
    Option("--reasons", "all of it, with every grade at its worst and its best end and its rule"),
    Option("--season", "the year at the place: warmth, frost, windows, dates"),
    *(Option(f"--{name}", does, "FILE", path=True) for name, does in PAPERS.items()),
    Option("--quick", "do not try whether missing answers could change the choice"),
    WIDTH,
    UNITS,
    Option(
        "--engine",
        "whether a second engine checks what is shown",
        "|".join(ENGINES),
        one_of(*ENGINES),
        "both",
        offered=ENGINES,
    ),
    Option("--record", "a record kept beside it: done, checks, signs, what was begun", "FILE", path=True),
    KNOWLEDGE,
)
_PAPERS_AT_ONCE: Final = (
    'Any of the five papers can be written at once; "-" instead of a file is standard output.'
)

_MANY_HELP: Final = (
    "OUT has one line for each line of IN, in its order: short advice, or what is wrong, where, and what to "
    "write instead. IN and OUT end in .jsonl (one situation a line, as JSON), .csv or .parquet; - is JSON "
    "Lines from standard input or to standard output. A table has a row for each field; its columns are keys "
    "with dots: place.name, dates.play_by, field.area_m2, zone.1.name, zone.1.bare_percent, zone.2.name, "
    'use.1.sport. An empty cell is not told; several in a cell are parted by ";" (apr; may); "none" under '
    "history.herbicides says that there were none; a column called id comes back in OUT, and one that begins "
    "with # is left out. A stopped run goes on with the same command. Exit code 1: some lines are bad."
)

_ROWS: Final = (
    Command(
        "talk",
        "talk about a field: questions, a choice, the reasons (`decide` alone does the same)",
        "talk:talk",
        "talk takes at most one situation file",
        (Plain("file", "FILE", "a situation file to start from; it is left as it is", least=0, path=True),),
        (
            Option(
                "--talk",
                "keep the answers in FILE (.json or .toml) instead of the usual place",
                "FILE",
                path=True,
            ),
            Option("--today", "take DATE (as 2026-05-20) for today", "DATE", day),
            UNITS,
            Option("--lines", "plain lines, as for pipes"),
            KNOWLEDGE,
        ),
        "`decide FILE` does the same as `decide talk FILE`.",
    ),
    Command(
        "advise",
        "advice from a situation file",
        "advise:advise",
        f"advise {ONE_FILE}",
        (FIELD,),
        _ADVISE,
        _PAPERS_AT_ONCE,
    ),
    Command(
        "many",
        "short advice on each of many situations: JSON Lines, CSV or Parquet",
        "many:many",
        "many takes input and output: decide many fields.csv advice.jsonl",
        (
            Plain("source", "IN", "situations, one a line or row", path=True),
            Plain("out", "OUT", "where their advice goes", path=True),
        ),
        (
            Option(
                "--format",
                "what a file is whose ending does not say so",
                "|".join(FORMS),
                one_of(*FORMS),
                offered=FORMS,
            ),
            Option("--cores", "so many processes; all cores where it is left out", "N", whole(1, 1024)),
            Option("--cluster", "work on the Dask cluster with this address instead", "ADDRESS"),
            Option("--again", "do all lines anew, and put OUT in the place of what is there"),
            Option("--today", "take DATE (as 2026-05-20) for today where a line tells no day", "DATE", day),
            UNITS,
            Option(
                "--engine",
                "which engines judge",
                "both|plain",
                one_of("both", "plain"),
                "both",
                offered=("both", "plain"),
            ),
            KNOWLEDGE,
        ),
        _MANY_HELP,
    ),
    Command(
        "explain",
        "why, why not, better, what if, what would it take, how sure, what matters next, a word, says who",
        "explain:explain",
        'explain takes a situation file and a question, such as: decide explain field.toml "why not '
        'thin sod?"',
        (FIELD, Plain("question", "QUESTION", "in plain words", least=0, several=True)),
        (LEVEL, JSON, WIDTH, UNITS, KNOWLEDGE),
    ),
    Command(
        "windows",
        "when each grass can be started at the place of a situation file, and why",
        "windows:windows",
        f"windows {ONE_FILE}",
        (FIELD,),
        (JSON, WIDTH, UNITS, KNOWLEDGE),
    ),
    Command(
        "record",
        "write down what was done, checked or seen, at the end of a situation file",
        "record:record",
        "record takes a situation file and what is to be written down: decide record field.toml mow",
        (
            Plain("file", "FILE", "a situation file", path=True),
            Plain("what", "WHAT", "a step, a check of opening, or a sign", several=True),
        ),
        (
            Option("--grass", "what was sown, laid or planted", "GRASS"),
            Option("--method", "how it was begun", "METHOD"),
            Option("--zone", "the part of the field", "ZONE"),
            Option("--on", "the day, as 2026-05-20; today where it is left out", "DATE", day),
            Option("--amount", "how much", "N", number),
            Option("--unit", "of what the amount is", "UNIT"),
            Option("--passed", "whether a check was passed", "yes|no", yes_or_no, offered=("yes", "no")),
            Option("--note", "a note", "TEXT"),
            Option("--by", "who did it, by role", "ROLE"),
            KNOWLEDGE,
        ),
        'As in: decide record field.toml sow --grass "perennial ryegrass" --zone goalmouths --on 2026-09-07',
    ),
    Command(
        "lesson",
        "how the advice follows, told as a story; in a terminal step by step",
        "lesson:lesson",
        'lesson takes one situation file, or "-" for standard input; or --exercises N, --break RULE or '
        "--rules WORD",
        (Plain("file", "FILE", FIELD.does, least=0, path=True),),
        (
            Option("--guess", "decisions kept back, with choices; a hint after a wrong one"),
            Option("--all", "every rule and source under its step; with --break every case"),
            Option("--walk", "commands read from a pipe: next, back, guess, open, rule, source, jump N"),
            Option("--part", "the part of the field that it tells of", "NAME"),
            Option("--starter", "a starter sheet of words and facts (Markdown)"),
            Option("--plan", "a lesson plan with times and answers (Markdown)"),
            Option("--page", "the story as a page that opens down to the sources", "FILE", path=True),
            Option("--dot", "the derivation as a graph (DOT)", "FILE", path=True),
            Option(
                "--with",
                "two fields side by side, and the rule where they part",
                "FILE",
                into="other",
                path=True,
            ),
            Option("--option", 'the way whose loss is worked through, as "thick sod"', "WORDS"),
            Option("--rules", 'rules in words: "subjects", a subject, a rule or "all"', "WORD"),
            Option(
                "--break",
                "what comes out otherwise without a rule: for the file, else for the cases",
                "RULE",
                into="broken",
            ),
            Option("--exercises", "a sheet of so many exercises from the cases", "N", whole(1)),
            Option("--answers", "with the answers to the exercises"),
            Option(
                "--level",
                "how hard the exercises are",
                "1|2|3",
                whole(1, 3, "1, 2 or 3"),
                offered=("1", "2", "3"),
            ),
            SEED,
            ONLY,
            WIDTH,
            UNITS,
            KNOWLEDGE,
        ),
    ),
    Command(
        "changed",
        "what moved between two folders of knowledge, or between two situations, and by which rule",
        "changed:changed",
        "changed takes one or two folders with knowledge, the old one first, and situation files after them; "
        "or --situations A B",
        (
            Plain(
                "places",
                "PLACE",
                "OLD [NEW] [FILES], or with --situations two files",
                least=0,
                several=True,
                path=True,
            ),
        ),
        (Option("--situations", "compare two situation files"), ONLY, JSON, KNOWLEDGE),
    ),
    Command(
        "cases",
        "run the cases of the bank whose names hold the words, and say what of each is not met",
        "cases:cases",
        plain=(Plain("names", "NAME", "a part of a case's name", least=0, several=True),),
        options=(KNOWLEDGE,),
    ),
    Command(
        "new",
        "a skeleton of a rule, a value or a case, with its keys explained",
        "new:new",
        "new takes rule, value or case, and a name for it: decide new rule seed-on-ice",
        (
            Plain("kind", "rule|value|case", "what is to be written", offered=("rule", "value", "case")),
            Plain("name", "NAME", "its name: small letters, digits and hyphens"),
        ),
        (Option("--write", "write it into a folder of knowledge instead of showing it", "DIR", path=True),),
    ),
    Command(
        "demo",
        "the advice on the demo field",
        "advise:demo",
        "demo takes the options of advise, and no file",
        options=(Option("--file", "print its situation file"), *_ADVISE),
    ),
    Command(
        "schema",
        "JSON Schema of the advice, a situation, a line of `decide many` or a record",
        "about:schema",
        "schema takes nothing or one word",
        (Plain("of", "|".join(SCHEMAS), "of what", least=0, offered=SCHEMAS),),
    ),
    Command(
        "audit",
        "check the knowledge, and say what folders on top of it override",
        "about:audit",
        "audit takes no other words",
        options=(
            Option("--proof", "also what stands with a reason: each finding, its proof, the reason"),
            Option("--cases", "warn of each rule that no case decides; takes some minutes"),
            Option(
                "--values",
                "on what numbers rest, and the N that rules and code read most over the cases; takes minutes",
                "N",
                whole(1),
            ),
            Option(
                "--field", "count a situation file too; may be said again", "FILE", several=True, path=True
            ),
            ONLY,
            KNOWLEDGE,
        ),
    ),
    Command(
        "sources",
        "every publication, and how it was seen",
        "about:sources",
        "sources takes no other words",
        options=(KNOWLEDGE,),
    ),
    Command(
        "completion",
        "what makes a shell complete these commands",
        "about:completion",
        f"completion takes the name of a shell: {', '.join(SHELLS)}",
        (Plain("shell", "|".join(SHELLS), "the shell", offered=SHELLS),),
        more='As in: eval "$(decide completion bash)"',
    ),
    Command("version", "version, and the engines in use", "about:version", "version takes no other words"),
    Command(
        "help",
        "what a command takes",
        "about:help_",
        "help takes the name of one command, or nothing",
        (Plain("command", "COMMAND", "the command", least=0),),
    ),
)
COMMANDS: Final = {row.name: row for row in _ROWS}
# Words that begin with a hyphen and stand for a command.
ALSO: Final = {
    "--version": "version",
    "-V": "version",
    "--sources": "sources",
    "--help": "help",
    "-h": "help",
}
DOES: Final = "Helps bring a worn sports field back to dense, safe turf by a date."
MORE: Final = (
    "`decide` alone opens the talk. `decide COMMAND --help` says what a command takes. What is read of the "
    "knowledge is kept in your cache folder for the next time; DECIDE_KEPT=no does without."
)

"""What the built package must hold, and what must be true of it where it is installed; `.ci/package` runs it.

    python tests/packaged.py built WHEEL SDIST
    python tests/packaged.py installed
    python tests/packaged.py same ADVICE.json …
    python tests/packaged.py bill BILL.json

It needs nothing but Python, and with `installed` the package itself.
"""

from __future__ import annotations

import json
import sys
import tarfile
import zipfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import PurePosixPath
from typing import Final

# What an embedder, a checker of types, a lawyer and an offline machine each look for.
IN_WHEEL: Final = (
    "decide/py.typed",
    "decide/schemas/advice.json",
    "decide/schemas/situation.json",
    "decide/schemas/many.json",
    "decide/schemas/record.json",
    "decide/data/demo.toml",
    "decide/data/climate/README.md",
    "decide/data/climate/LICENCES.txt",
    "decide/data/climate/places.npz",
    "decide/report/words.toml",
)
LICENCES: Final = ("LICENSE", "knowledge/climate/README.md", "knowledge/climate/LICENCES.txt")
IN_SDIST: Final = (
    "pyproject.toml",
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "tests/packaged.py",
    "decide/py.typed",
)
# The libraries that a plain installation may bring along; another name here is a decision, not an accident.
BROUGHT: Final = frozenset(
    [
        "annotated-types",
        "babel",
        "holidays",
        "icalendar",
        "jinja2",
        "markdown-it-py",
        "markupsafe",
        "mdurl",
        "numpy",
        "prompt-toolkit",
        "pydantic",
        "pydantic-core",
        "pygments",
        "python-dateutil",
        "rich",
        "shtab",
        "six",
        "tomlkit",
        "typing-extensions",
        "typing-inspection",
        "tzdata",
        "wcwidth",
    ]
)


def built(wheel: str, sdist: str) -> list[str]:
    """What is wrong with the two archives."""
    wrong = []
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
        wrong += [f"the wheel lacks {name}" for name in IN_WHEEL if name not in names]
        wrong += [
            f"the wheel holds {name}"
            for name in names
            if PurePosixPath(name).parts[0] not in ("decide",) and ".dist-info/" not in name
        ]
        info = next(name.partition("/")[0] for name in names if ".dist-info/" in name)
        wrong += [f"no licence {name}" for name in LICENCES if f"{info}/licenses/{name}" not in names]
        told = archive.read(f"{info}/METADATA").decode()
        wrong += [
            f"not in the metadata: {line}"
            for line in ("License-Expression: ", "Requires-Python: >=3.11")
            if line not in told
        ]
    with tarfile.open(sdist) as archive:
        inside = {name.partition("/")[2] for name in archive.getnames()}
        wrong += [f"the sdist lacks {name}" for name in IN_SDIST if name not in inside]
    return wrong


def installed() -> list[str]:
    """What is wrong with the package in this environment."""
    import datetime as dt
    from importlib import metadata
    from importlib.resources import files

    import decide

    wrong = [] if metadata.version("decide-turf") == decide.__version__ else ["two versions"]
    wrong += [
        f"there is no {name}"
        for name in IN_WHEEL
        if not files("decide").joinpath(name.partition("/")[2]).is_file()
    ]
    adviser = decide.Adviser(decide.read_knowledge())
    situation = decide.situation_from_dict(
        {
            "place": {"name": "York", "country": "gb"},
            "dates": {"today": dt.date(2026, 5, 12), "play_by": dt.date(2026, 9, 12)},
            "field": {"bare_percent": 60},
        }
    )
    advice = adviser.advise(situation)
    wrong += [] if advice.choice().decision == "repair" else [f"York has {advice.choice().decision}"]
    wrong += [] if decide.paper("page", advice).startswith("<!DOCTYPE html>") else ["no page"]
    adviser.close()
    return wrong


def same(*advices: str) -> list[str]:
    """The advices that differ from the first in more than the engines that were in use."""

    def of(path: str) -> object:
        with open(path, encoding="utf-8") as file:
            told = json.load(file)
        told["knowledge"].pop("engines", None)
        told["knowledge"].pop("checked", None)
        return told

    return [f"{path} differs from {advices[0]}" for path in advices[1:] if of(path) != of(advices[0])]


def bill(path: str) -> list[str]:
    """What is wrong with the bill of materials."""
    with open(path, encoding="utf-8") as file:
        told = json.load(file)
    names = {part["name"].lower().replace("_", "-") for part in told["components"]} - {"decide-turf"}
    return [
        *(f"the bill lacks {name}" for name in sorted({"numpy", "pydantic", "rich"} - names)),
        *(f"nobody decided to bring {name} along" for name in sorted(names - BROUGHT)),
    ]


CHECKS: Final[Mapping[str, Callable[..., list[str]]]] = {
    "built": built,
    "installed": installed,
    "same": same,
    "bill": bill,
}


def main(words: Sequence[str]) -> int:
    wrong = CHECKS[words[0]](*words[1:])
    print("\n".join(wrong) or f"{words[0]}: nothing wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""What a major version promises by name; `python tests/promises.py` writes it down, and the schemas, when something is added."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import decide
from decide.cli import page
from decide.cli.schemas import SCHEMAS, schema_file, schema_text
from decide.cli.table import COMMANDS


def keys_of(schema: Mapping[str, Any]) -> list[str]:
    """Every key of every table of a schema."""
    tables = {schema["title"]: schema, **schema["$defs"]}
    return sorted(f"{name}.{key}" for name, table in tables.items() for key in table.get("properties", ()))


def promised() -> dict[str, list[str]]:
    """Every name that others may build on, by what it is a name of."""
    return {
        "names of the library": sorted(decide.__all__),
        "commands": sorted(COMMANDS),
        "options": sorted(
            f"{name} {option.name}" for name, row in COMMANDS.items() for option in row.options
        ),
        "exit codes": sorted(
            f"{name} {held}" for name, held in vars(page).items() if name.isupper() and isinstance(held, int)
        ),
        **{f"keys of {of}": keys_of(make()) for of, make in SCHEMAS.items()},
    }


if __name__ == "__main__":
    for of in SCHEMAS:
        schema_file(of).write_text(schema_text(of), encoding="utf-8")
    written = Path(__file__).with_suffix(".json")
    written.write_text(json.dumps(promised(), indent=1) + "\n", encoding="utf-8")

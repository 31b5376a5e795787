"""A situation file that a person wrote, with answers changed: notes, order and layout of the rest stay."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, InlineTable, Table

from decide.model.toml_lines import TomlError, plain_tables, toml_table

_GONE: Final = object()


def changed_text(text: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> str | None:
    """The text with what differs between two tables of answers; None where it cannot be done without losing
    something else.

    What the text holds and neither table does stays as it is.
    """
    if before == after:
        return text
    try:
        document = tomlkit.parse(text)
        kept = plain_tables(document.unwrap())
        _merge(document, before, after)
        made = tomlkit.dumps(document)
        found = plain_tables(toml_table(made))
    except (TOMLKitError, TomlError, ValueError, TypeError, KeyError, IndexError, AttributeError):
        return None
    return made if found == _expected(kept, before, after) else None


def _expected(kept: Any, before: Any, after: Any) -> Any:
    """What must be read from the new text: the answers, and of what was kept that which neither table
    holds.
    """
    if not (isinstance(kept, Mapping) and isinstance(before, Mapping) and isinstance(after, Mapping)):
        return after
    own = {key: value for key, value in kept.items() if key not in before and key not in after}
    return {
        **own,
        **{
            key: _expected(kept[key], before[key], value) if key in kept and key in before else value
            for key, value in after.items()
        },
    }


def _merge(table: Any, before: Mapping[str, Any], after: Mapping[str, Any]) -> None:
    for key in before:
        if key not in after and key in table:
            table.remove(key)
    for key, new in after.items():
        old = before.get(key, _GONE)
        if old == new and key in table:
            continue
        held = table.get(key)
        if isinstance(new, Mapping) and isinstance(old, Mapping) and isinstance(held, (Table, InlineTable)):
            _merge(held, old, new)
        elif isinstance(held, AoT) and isinstance(old, list) and _tables(new) and len(held) == len(old):
            _merge_rows(held, old, new)
        else:
            _put(table, key, new)


def _put(table: Any, key: str, new: Any) -> None:
    """Write a value in the place of the old one, a note at the end of its line kept."""
    if key in table and not isinstance(table[key], (Table, AoT)) and not isinstance(new, Mapping):
        old, item = table[key], tomlkit.item(new)
        item.trivia.comment_ws, item.trivia.comment = old.trivia.comment_ws, old.trivia.comment
        table[key] = item
        return
    if key in table:
        table.remove(key)
    table[key] = new


def _merge_rows(rows: AoT, old: list[Any], new: list[Any]) -> None:
    """Rows of a list of tables: those of one name, or else of one place, stand for each other."""
    names = [row.get("name") for row in old]
    told = [row.get("name") for row in new]
    by_name = None not in names and None not in told and len(set(names)) == len(names)
    if by_name and [name for name in told if name in names] != [name for name in names if name in told]:
        raise ValueError("rows in another order")
    kept = [name for name in names if name in told] if by_name else None
    if kept is not None:
        if told[: len(kept)] != kept:
            raise ValueError("a row before those that stand there")
        for place in reversed(range(len(old))):
            if names[place] not in told:
                del rows[place]
        old = [row for row in old if row["name"] in told]
    else:
        while len(rows) > len(new):
            del rows[len(rows) - 1]
        old = old[: len(new)]
    for place, row in enumerate(new):
        if place < len(old):
            _merge(rows[place], old[place], row)
        else:
            made = tomlkit.table()
            made.update(row)
            rows.append(made)


def _tables(rows: Any) -> bool:
    return isinstance(rows, list) and bool(rows) and all(isinstance(row, Mapping) for row in rows)

"""JSON Schemas of what goes in and comes out, made from the models; the package carries them as files too."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any, Final

from decide.model.units import convert
from decide.model.written import DONT_KNOW, MONTHS, us_keys

Schema = dict[str, Any]
DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
# Keys that stand under [field] where the field is one zone, and in no other case.
_OF_NO_FIELD: Final = ("name", "share_percent", "places")
# Twins are rounded when they are converted: a limit must not refuse what the reader still takes.
_ROOM: Final = 1e-5


def advice_schema() -> Schema:
    """Of the advice, in its short and in its full form."""
    from decide.model.advice import Advice

    return _headed("advice", Advice.model_json_schema(by_alias=True))


def situation_schema() -> Schema:
    """Of a situation as it is written: metric or US keys, keys of a zone under the field, "don't know" for
    any value. The reader takes more spellings of a word, and looks for contradictions.
    """
    from decide.model.situation import Situation

    made = Situation.model_json_schema(by_alias=True)
    defs = made["$defs"]
    field, zone = defs["Ground"]["properties"], defs["Zone"]["properties"]
    # Copied before either gets its twins.
    under_field = {key: row for key, row in zone.items() if key not in field and key not in _OF_NO_FIELD}
    field |= json.loads(json.dumps(under_field))
    _loosen(made)
    return _headed("situation", made)


def record_schema() -> Schema:
    """Of a record that is kept beside a situation."""
    from decide.facts.record import Beside

    made = Beside.model_json_schema(by_alias=True)
    _loosen(made)
    return _headed("record", made)


def many_schema() -> Schema:
    """Of a line that `decide many` writes: the short advice, or all that is wrong with the line of the input.
    What is not known is left out of it.
    """
    from decide.many.short import Short

    short = Short.model_json_schema(by_alias=True)
    defs = short.pop("$defs")
    for row in (short, *defs.values()):
        known = row.get("properties", {})
        row["required"] = [key for key in row.get("required", ()) if not _may_be_null(known[key])]
    line = {
        "line": {"type": "integer", "minimum": 1, "description": "the line of the input, from 1"},
        "id": {"type": "string", "description": "what stood under id, where something did"},
    }
    good = {
        **short,
        "title": "Advised",
        "properties": {**line, "ok": {"const": True}, **short["properties"]},
        "required": ["line", "ok", *short["required"]],
    }
    texts = {key: {"type": "string"} for key in ("where", "wrong", "instead")}
    wrong = {
        "title": "Wrong",
        "type": "object",
        "properties": {
            **line,
            "ok": {"const": False},
            "error": {"type": "array", "minItems": 1, "items": {"$ref": "#/$defs/WrongThing"}},
        },
        "required": ["line", "ok", "error"],
        "additionalProperties": False,
    }
    defs["WrongThing"] = {
        "description": "What is wrong, where, and what to write instead.",
        "type": "object",
        "properties": texts,
        "required": list(texts),
        "additionalProperties": False,
    }
    defs |= {"Advised": good, "Wrong": wrong}
    either = {"oneOf": [{"$ref": "#/$defs/Advised"}, {"$ref": "#/$defs/Wrong"}]}
    return _headed(
        "many", {"title": "Line", "description": "A line of `decide many`.", **either, "$defs": defs}
    )


SCHEMAS: Final[Mapping[str, Callable[[], Schema]]] = {
    "advice": advice_schema,
    "situation": situation_schema,
    "many": many_schema,
    "record": record_schema,
}


def schema_file(of: str) -> Path:
    """The file of the package that holds the schema of that name: what is printed, whichever version of the
    library of models is at hand.
    """
    return Path(__file__).parents[1] / "schemas" / f"{of}.json"


def schema_text(of: str) -> str:
    """The schema of that name as the models make it, as text."""
    return json.dumps(SCHEMAS[of](), indent=1, ensure_ascii=False) + "\n"


def _headed(name: str, made: Schema) -> Schema:
    return {"$schema": DIALECT, "$id": f"urn:decide-turf:{name}", **made}


def _may_be_null(row: Schema) -> bool:
    return any(each.get("type") == "null" for each in row.get("anyOf", ()))


def _loosen(made: Schema) -> None:
    """What any table of a situation takes, added to all of them."""
    for table in _tables(made):
        known = table["properties"]
        for row in known.values():
            _more_forms(row)
        for us_key, key, us, metric in list(us_keys(known)):
            said = f"{known[key].get('description', '')}, in {us}"
            known[us_key] = {**_converted(known[key], metric, us), "description": said.lstrip(", ")}
        # A key that must be there may not be unknown.
        known.update(
            {key: _or_unknown(row) for key, row in known.items() if key not in table.get("required", ())}
        )


def _tables(made: Schema) -> Iterator[Schema]:
    for table in (made, *made["$defs"].values()):
        if "properties" in table:
            yield table


def _or_unknown(row: Schema) -> Schema:
    told: Schema = {key: row[key] for key in ("description", "title", "default", "step") if key in row}
    rest = {key: held for key, held in row.items() if key not in told}
    forms = rest["anyOf"] if set(rest) == {"anyOf"} else [rest]
    return {"anyOf": [*forms, {"const": DONT_KNOW}], **told}


def _converted(row: Any, unit: str, into: str) -> Any:
    """A row with its limits in another unit; a default of none stays."""
    if isinstance(row, list):
        return [_converted(each, unit, into) for each in row]
    if not isinstance(row, dict):
        return row
    out: Schema = {}
    for key, held in row.items():
        if key in ("minimum", "maximum"):
            room = -_ROOM if key == "minimum" else _ROOM
            out[key] = convert(held, unit, into) + room * max(1, abs(held))
        elif key not in ("step", "title"):
            out[key] = _converted(held, unit, into)
    return out


def _more_forms(row: Any) -> None:
    """Months may be numbers, and words may be joined by hyphens or stand apart."""
    if isinstance(row, list):
        for each in row:
            _more_forms(each)
    elif isinstance(row, dict):
        if row.get("enum") == list(MONTHS):
            row.pop("type", None)
            row["enum"] = [*MONTHS, *range(1, len(MONTHS) + 1)]
        elif "enum" in row:
            forms = (
                form
                for word in row["enum"]
                for form in (word, word.replace("-", " "), word.replace(" ", "-"))
            )
            row["enum"] = list(dict.fromkeys(forms))
        for each in list(row.values()):
            _more_forms(each)

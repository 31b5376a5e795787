"""Scores how lines are heard against what they mean: `python -m tests.said.score [opening|answer|ask|trap …] [--misses] [--misread] [--held|--new|--last|--more|--fresh]`.

A row is right, asked back (where that is right), missed (something was not read, nothing was read wrong) or misread. Whatever is read and stands
neither in the row's meaning nor beside it counts as misread.
"""

import datetime as dt
import json
import re
import sys
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from decide.knowledge.load import knowledge_folder
from decide.parse.hear import hear
from decide.parse.heard import Heard
from decide.parse.plain import clean, fold, words
from decide.parse.results import OF_FINDING, FieldShare, Setting, Sum
from decide.parse.speech import Speech
from decide.shell.library import tools_of

FOLDER = Path(__file__).parent
KINDS = ("opening", "answer", "ask", "trap")
TODAY = "2026-05-20"
HAND = "goalmouths"
LENT = frozenset(
    {
        "means.currency",
        "place.country",
        "place.region",
        "place.latitude",
        "place.longitude",
        "place.hemisphere",
    }
)
SOUTH = frozenset({"au", "nz", "za", "ar", "br", "uy", "cl"})
SAME_PART = (
    {"goalmouth", "goal", "area", "mouth", "box"}, {"middle", "centre", "center", "central"}, {"touchline", "sideline", "side", "edge"},
    {"whole", "field", "pitch", "everywhere", "all"},
)  # fmt: skip
SMALL = frozenset(
    [
        "the",
        "a",
        "an",
        "of",
        "in",
        "on",
        "by",
        "and",
        "our",
        "to",
        "near",
        "side",
        "end",
        "part",
        "area",
        "bit",
    ]
)


def rows(kind: str, folder: str = "") -> list[dict[str, Any]]:
    """The rows of a kind: those that were seen in the making, or those of a folder that were not."""
    path = FOLDER / folder / f"{kind}.jsonl"
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]


@cache
def tools(today: str) -> Any:
    return tools_of(knowledge_folder(), dt.date.fromisoformat(today))


def speech() -> Speech:
    return tools(TODAY).speech


@cache
def found_places(name: str) -> tuple[Mapping[str, Any], ...]:
    return tuple(tools(TODAY).find_place(name))


def nested(before: Mapping[str, Any]) -> dict[str, Any]:
    """What was told before, as the table of a situation file; the parts in hand stand in it."""
    out: dict[str, Any] = {}
    zones: dict[str, dict[str, Any]] = {
        HAND: {"name": HAND},
        "middle": {"name": "middle"},
        "wings": {"name": "wings"},
    }
    for key, value in before.items():
        named = re.fullmatch(r"zone(?:\[(.+)\])?\.(.+)", key)
        if named:
            zones.setdefault(named[1] or HAND, {"name": named[1] or HAND})[named[2]] = value
        elif key == "zone":
            zones = {name: zones.get(name, {"name": name}) for name in value}
        elif "." in key:
            table, inner = key.split(".", 1)
            out.setdefault(table, {})[inner] = value
        else:
            out[key] = value
    out["zone"] = list(zones.values())
    return out


def heard(row: Mapping[str, Any]) -> Heard:
    """How the line of a row is heard."""
    country = str(row.get("country") or "").split(",")[0].strip()[:2] or None
    if row["kind"] == "opening":
        country = None
    before = row.get("before") or {}
    question = speech().question(row["question"]) if row.get("question") else None
    if question is not None and question.key.startswith("zone."):
        question = question.at(HAND)
    answers = {} if row["kind"] == "opening" else nested(before)
    if country:
        answers.setdefault("place", {}).setdefault("country", country)
    setting = Setting(
        dt.date.fromisoformat(row.get("today", TODAY)),
        hemisphere=None if country is None else "south" if country in SOUTH else "north",
        country=country,
        units={None: None, "us": "us", "gb": None}.get(country, "metric"),
        past=question is not None and question.key.startswith("history."),
        named_areas=tools(TODAY).named_areas(),
        find_place=found_places,
    )
    return hear(clean(row["text"]), setting, speech(), answers=answers, question=question)


# ---------- values ----------
def plain(text: Any) -> str:
    return "".join(
        c for c in unicodedata.normalize("NFKD", str(text).casefold()) if not unicodedata.combining(c)
    ).strip()


def same(want: Any, got: Any, key: str = "") -> bool:
    """Whether a value is right."""
    if isinstance(want, dict) and set(want) == {"from", "to"}:
        if isinstance(got, bool) or not isinstance(got, (int, float, str)):
            return False
        if isinstance(want["from"], str) or isinstance(got, str):
            return isinstance(got, str) and str(want["from"]) <= str(got) <= str(want["to"])
        return want["from"] * 0.98 <= got <= want["to"] * 1.02 or want["from"] <= got <= want["to"]
    if isinstance(want, dict) and set(want) == {"any"}:
        return any(same(one, got, key) for one in want["any"])
    if isinstance(want, dict):
        return isinstance(got, Mapping) and all(
            same(value, got.get(name), name) for name, value in want.items()
        )
    if isinstance(want, list):
        got = got if isinstance(got, (list, tuple)) else [got]
        if key == "zone":
            return len(want) == len(got) and all(any(same_part(a, b) for b in got) for a in want)
        if key == "wishes.first":
            return list(want) == list(got)
        return len(want) == len(got) and all(any(same(a, b) for b in got) for a in want)
    if isinstance(want, bool) or isinstance(got, bool):
        return want is got
    if isinstance(want, (int, float)) and isinstance(got, (int, float)):
        return abs(want - got) <= 0.02 * abs(want) + 1e-9
    if isinstance(want, str) and isinstance(got, str):
        return (
            want == "any value"
            or plain(want).replace("-", " ") == plain(got).replace("-", " ")
            or same_part(want, got, key)
        )
    return want == "any value" and got is not None


def same_part(want: str, got: str, key: str = "zone") -> bool:
    """Whether two names of a part keep one sense."""
    if not key.startswith("zone"):
        return False
    one, two = ({re.sub(r"s$", "", word) for word in words(name)} - SMALL for name in (want, got))
    alike = any(one & group and two & group for group in SAME_PART)
    return plain(want) == plain(got) or bool(one & two) or alike or (not one and not two)


def wrong_value(bad: Any, got: Any, key: str) -> bool:
    """Whether a reading holds what must not be read."""
    if bad == "any value":
        return True
    if isinstance(bad, list):
        got = got if isinstance(got, (list, tuple)) else [got]
        if not bad:
            return not got
        return all(any(same(one, other, key) for other in got) for one in bad)
    return same(bad, got, key)


# ---------- rows ----------
@dataclass
class Scored:
    """How one row was heard: facts that are wanted and read, what was read wrong, and the verdict."""

    row: Mapping[str, Any]
    heard: Heard
    wanted: int = 0
    read: int = 0
    wrong: list[str] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)
    intent: bool = True
    slots: bool = True
    # Asked back what is asked, with the right kind among the choices: it takes one more word, and nothing is wrong.
    wanted_back: bool = False

    @property
    def verdict(self) -> str:
        meaning = self.row["meaning"]
        if self.wrong:
            return "misread"
        if not self.missing and self.intent:
            return "right"
        if self.wanted_back:
            return "asked back"
        asked = bool(self.heard.doubts or self.heard.miss)
        allowed = meaning.get("back_ok") or "back" in meaning or meaning.get("unknown_ok")
        return (
            "asked back"
            if asked and allowed and not (meaning.get("intent") and not self.intent)
            else "missed"
        )


def flat(told: Iterable[Any]) -> Iterator[tuple[str, str | None, Any]]:
    """Each key that was told with its part and its plain value."""
    for one in told:
        value = one.value
        if isinstance(value, Sum):
            yield one.key, one.zone, value.amount
        elif isinstance(value, FieldShare):
            yield "zone.share_percent", one.zone, value.percent
        elif one.key == "place.name" and isinstance(value, Mapping):
            yield from (
                (f"place.{key}", None, inner) for key, inner in value.items() if key not in OF_FINDING
            )
        elif one.key == "zone.grass" and isinstance(value, list):
            rows_ = [{"grass": row} if isinstance(row, str) else row for row in value]
            yield one.key, one.zone, rows_
        elif one.key == "zone" and isinstance(value, list):
            yield one.key, one.zone, [row.get("name") if isinstance(row, Mapping) else row for row in value]
        else:
            yield one.key, one.zone, value


def spread(says: Mapping[str, Any]) -> Iterator[tuple[str, str | None, Any]]:
    """Keys of a meaning with the part they are about."""
    for key, value in says.items():
        named = re.fullmatch(r"zone\[(.+)\]\.(.+)", key)
        yield (f"zone.{named[2]}", named[1], value) if named else (key, None, value)


def matches(key: str, zone: str | None, got: tuple[str, str | None, Any]) -> bool:
    if got[0] != key:
        return False
    if not key.startswith("zone."):
        return True
    if zone is None:
        return got[1] in (None, HAND)
    return (got[1] is None and zone in ("whole field", HAND)) or (
        got[1] is not None and same_part(zone, got[1])
    )


def scored(row: Mapping[str, Any]) -> Scored:
    """A row with how it was heard held against its meaning."""
    out = Scored(row, heard(row))
    meaning, must_not = row["meaning"], (row.get("must_not") or {})
    got = list(flat(out.heard.told))
    optional = set(meaning.get("optional", ()))
    unknown = set(meaning.get("unknown", ()))
    says = list(spread(meaning.get("says", {})))
    right: list[tuple[str, str | None, Any]] = []
    raw = dict(meaning.get("says", {}))
    for name, (key, zone, value) in zip(raw, says, strict=True):
        fits = [one for one in got if matches(key, zone, one)]
        good = [one for one in fits if same(value, one[2], key)]
        right += good
        lent = name in optional or key in LENT
        if good or not lent:
            out.wanted += 1
        if good:
            out.read += 1
        elif not lent:
            out.missing.append(name)
    for key in unknown:
        out.wanted += 1
        if any(f"{found}" == key for found, _ in out.heard.unknown):
            out.read += 1
        else:
            out.missing.append(key)
    out.wrong += list(_extra(got, right, meaning, says))
    for key, zone, bad in spread(must_not.get("says", {})):
        for one in got:
            if (
                matches(key, zone, one)
                and one not in right
                and any(wrong_value(each, one[2], key) for each in bad)
            ):
                out.wrong.append(f"must not: {one[0]} = {one[2]!r}")
    _asked(out, meaning, must_not)
    return out


def _extra(
    got: Sequence[tuple[str, str | None, Any]],
    right: Sequence[Any],
    meaning: Mapping[str, Any],
    says: Sequence[Any],
) -> Iterator[str]:
    """What was read and stands neither in the meaning nor beside it."""
    may = list(spread(meaning.get("may", {})))
    free = {key for key, _, _ in spread(dict.fromkeys(meaning.get("optional", ())))} - {
        key for key, _, _ in says
    }
    for one in got:
        if one in right or one[0] in LENT or one[0] in free:
            continue
        if not any(matches(key, zone, one) and may_be(value, one) for key, zone, value in may):
            yield f"{one[0]}{f'[{one[1]}]' if one[1] else ''} = {one[2]!r}"


def may_be(values: Any, one: tuple[str, str | None, Any]) -> bool:
    """Whether a reading is one of those that may be."""
    return any(same(value, one[2], one[0]) for value in (values if isinstance(values, list) else [values]))


def _asked(out: Scored, meaning: Mapping[str, Any], must_not: Mapping[str, Any]) -> None:
    asks = out.heard.asks
    intents = {meaning.get("intent")} | {one.get("intent") for one in _list(meaning.get("may_intent"))}
    also = {one.get("intent") if isinstance(one, dict) else one for one in _list(meaning.get("also"))}
    wanted = meaning.get("intent")
    if wanted and not meaning.get("intent_ok"):
        # What is told or corrected in so many words needs no kind beside it.
        told = wanted in (
            "correction",
            "add_zone",
            "only_zone",
            "done_record",
            "check_result",
            "sign_seen",
        ) and bool(meaning.get("says") and not out.missing)
        out.intent = told or any(ask.intent in intents for ask in asks)
        out.slots = out.intent and (
            told or any(_slots(ask.slots, meaning) for ask in asks if ask.intent in intents)
        )
    banned = set(_list(must_not.get("intent")))
    out.wanted_back = any({each.intent for each in ask.may} & intents for ask in asks) and not out.missing
    for ask in asks:
        if ask.may and wanted is not None:
            # What is only offered is not read; where nothing was asked the question back itself is wrong.
            continue
        if ask.intent in banned or (wanted is None and ask.intent not in also):
            out.wrong.append(f"intent {ask.intent}")
        elif ask.intent not in intents | also:
            out.wrong.append(f"intent {ask.intent} for {wanted}")
        for name, bad in (must_not.get("slots") or {}).items():
            if name in ask.slots and any(wrong_value(each, ask.slots[name], name) for each in _list(bad)):
                out.wrong.append(f"slot {name} = {ask.slots[name]!r}")


def _slots(got: Mapping[str, Any], meaning: Mapping[str, Any]) -> bool:
    want = meaning.get("slots") or {}
    may = meaning.get("may_slots") or {}
    for name, value in want.items():
        if name in ("topic", "instead"):
            continue
        found = got.get(name)
        good = same(value, found, "zone" if name == "zone" else name) or (
            isinstance(value, str) and isinstance(found, str) and _near(value, found)
        )
        good = good or any(same(each, found) for each in _list(may.get(name)))
        if not good:
            return False
    return True


def _near(one: str, two: str) -> bool:
    """Whether two free texts hold one telling word in common."""
    first, second = ({re.sub(r"s$", "", word) for word in words(fold(text))} - SMALL for text in (one, two))
    return bool(first & second)


def _list(value: Any) -> list[Any]:
    return [] if value is None else list(value) if isinstance(value, (list, tuple)) else [value]


# ---------- tables ----------
def table(kind: str, folder: str = "") -> dict[str, float]:
    """Shares in percent: verdicts of rows; facts read and misread for openings; kind and kind with slots for asks."""
    found = [scored(row) for row in rows(kind, folder)]
    count = Counter(one.verdict for one in found)
    out: dict[str, float] = {"rows": len(found)}
    for verdict in ("right", "asked back", "missed", "misread"):
        out[verdict] = round(100 * count[verdict] / len(found), 1)
    wanted = sum(one.wanted for one in found)
    out |= {"facts": wanted, "facts read": round(100 * sum(one.read for one in found) / max(1, wanted), 1)}
    out["facts misread"] = round(100 * sum(len(one.wrong) for one in found) / max(1, wanted), 1)
    asked = [one for one in found if one.row["meaning"].get("intent")]
    if asked:
        out["kind read"] = round(100 * sum(one.intent for one in asked) / len(asked), 1)
        out["kind and slots read"] = round(100 * sum(one.slots for one in asked) / len(asked), 1)
    return out


UNSEEN = {f"--{name}": name for name in ("held", "new", "last", "more", "fresh")}


def main(given: Sequence[str]) -> None:
    kinds = [word for word in given if word in KINDS] or KINDS
    folder = next((UNSEEN[word] for word in given if word in UNSEEN), "")
    shown = {"--misses": ("missed", "misread"), "--misread": ("misread",)}
    wanted = {verdict for word in given for verdict in shown.get(word, ())}
    for kind in kinds:
        print(
            f"{kind}{f' ({folder})' if folder else ''}: "
            + ", ".join(f"{name} {value}" for name, value in table(kind, folder).items())
        )
        for one in map(scored, rows(kind, folder)) if wanted else ():
            if one.verdict in wanted:
                row, asks = one.row, [(ask.intent, dict(ask.slots)) for ask in one.heard.asks]
                print(f"  {one.verdict}: {row.get('question', '')} {row.get('country', '')} {row['text']!r}")
                print(f"      missing {one.missing} wrong {one.wrong}")
                print(f"      meaning {json.dumps(row['meaning'], ensure_ascii=False)} asks {asks}")
                print(f"      miss {one.heard.miss[:80]!r} doubts {[each.text for each in one.heard.doubts]}")


if __name__ == "__main__":
    main(sys.argv[1:])

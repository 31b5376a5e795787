"""Finds the town, region or country that a message names."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from decide.parse.heard import Doubt, Told
from decide.parse.message_text import Clause, Message, folded, pattern
from decide.parse.places import likeliest
from decide.parse.results import OF_FINDING, Reading, Setting
from decide.parse.speech import Speech

_CAPITAL: Final = r"[A-ZÀ-ÞŁŚŽ]"
_NAME: Final = (
    rf"{_CAPITAL}[\w'.]*"
    rf"(?:[ -](?:(?:of|de|la|le|upon|on|sur|do|da|dos|del|am|an|al|el|the) )?{_CAPITAL}[\w']*){{0,3}}"
)
_MOST_TRIES: Final = 6
_SHORT: Final = 3
_FEW_WORDS: Final = 6
_LEAD: Final = 24  # letters before a name that may say that a field is there
_ALIKE: Final = 0.84
_SAME: Final = 0.93
_SOUTH: Final = frozenset(
    {
        "au",
        "nz",
        "za",
        "ar",
        "br",
        "uy",
        "cl",
        "na",
        "bw",
        "zw",
        "zm",
        "mz",
        "fj",
        "pe",
        "bo",
        "py",
        "ls",
        "sz",
        "mg",
        "id",
    }
)


@dataclass(frozen=True)
class Candidate:
    """A word that may be a town: where it stands, and the country or region that is told with it."""

    name: str
    clause: Clause
    start: int
    end: int
    hint: str = ""
    sure: bool = False
    begins: bool = False  # it opens a sentence, as any word may
    led: bool = False  # words before it say that a field is there


def read_where(message: Message) -> Setting:
    """Tells the place, and returns the setting with what the place tells of country, units and half."""
    lands = message.speech.lands
    table = message.speech.table("message_places")
    regions = list(_regions(message, table))
    tried: set[str] = set()
    missed: Candidate | None = None
    if message.setting.find_place is not None:
        for candidate in _candidates(message, table, regions):
            asked = f"{candidate.name}, {candidate.hint}" if candidate.hint else candidate.name
            if asked in tried or len(tried) >= _MOST_TRIES:
                continue
            tried.add(asked)
            found = list(message.setting.find_place(asked))
            fitting = [one for one in found if _fit(message, candidate, one, table)]
            exact = [one for one in fitting if not one.get("near")]
            if exact:
                exact = [_as_said(candidate, one) for one in exact]
                return _take(message, candidate, exact, table)
            close = [one for one in fitting if _alike(candidate.name, str(one.get("name", "")))]
            if candidate.sure and missed is None:
                missed = candidate
                if close:
                    one = len(close) == 1 and _is_one(candidate, close[0])
                    close = [{**close[0], "name": candidate.name}] if one else close[:3]
                    return _take(message, candidate, close, table, near=not one)
    if missed is not None and not regions:
        said = missed.name
        message.use(missed.clause)
        message.doubts.append(
            Doubt(message.say("unknown", name=said), message.words(missed.clause), "place.name")
        )
    for name, clause, start, end in regions:
        country, region = _land(name, lands, table)
        message.take(clause, start, end)
        if region:
            message.tell("place.region", region, clause)
        message.tell("place.country", country, clause)
        return _settled(message.setting, country)
    for half, side in table["halves"].items():
        for clause in message.telling():
            if side and pattern(half).search(clause.text):
                message.tell("place.hemisphere", side, clause)
                return replace(message.setting, hemisphere=message.setting.hemisphere or side)
    guess = _hinted(message, table, None)
    return (
        replace(message.setting, country=guess) if guess and not message.setting.country else message.setting
    )


def _land(name: str, lands: Mapping[str, tuple[str, str]], table: Mapping[str, Any]) -> tuple[str, str]:
    """Country and region of a name; the region is "" where a country is named."""
    if name in table["lands"]:
        return str(table["lands"][name]), ""
    if name in table["districts"]:
        return str(table["districts"][name]), name.title()
    return lands[name]


def _regions(message: Message, table: Mapping[str, Any]) -> Iterator[tuple[str, Clause, int, int]]:
    """Names of countries and regions with their places; short ones only in capital letters."""
    lands = message.speech.lands
    known = [*lands, *table["lands"], *table["districts"]]
    short = [name for name in known if len(name) <= 3]
    long = message.speech.ready("message-lands", _long_names)
    for clause in message.clauses:
        if "supposed" in clause.moods or "others" in clause.moods:
            continue
        raw = message.raw[clause.start : clause.start + len(clause.text)]
        for match in long.finditer(clause.text):
            grass = re.match(r"[\s-](?:blue|grass|rye|fescue)", clause.text[match.end() :])
            lead = pattern(*table["doubtful"]["lead"]).search(clause.text[: match.start()][-6:])
            if not grass and (match[0] not in table["doubtful"]["words"] or lead):
                yield match[0], clause, match.start(), match.end()
        for match in re.finditer(r"(?<![\w'])[A-Z][A-Z.]{1,3}(?!\w)", raw):
            name = folded(match[0].replace(".", ""))
            after_name = re.search(r"[A-Z][\w'-]+[,.]? *$", message.raw[: clause.start + match.start()])
            if name in short and after_name and not raw[: match.start()].isupper():
                yield name, clause, match.start(), match.end()
        for match in pattern(*table["short"]["plain"]).finditer(clause.text):
            if re.search(r"[a-z]{3,}[, ]+$", clause.text[: match.start()]):
                yield match[0], clause, match.start(), match.end()
        tail = re.search(r"[a-z]{4,} ([a-z]{2})$", clause.text.strip(" .!?"))
        if (
            tail
            and len(clause.text.split()) <= 4
            and tail[1] in short
            and tail[1] not in ("in", "or", "me", "hi", "ok", "de", "la")
        ):
            yield tail[1], clause, tail.start(1), tail.end(1)


def _long_names(speech: Speech) -> re.Pattern[str]:
    """What finds the names of lands that are longer than short forms, longer ones first."""
    table = speech.table("message_places")
    known = sorted({*speech.lands, *table["lands"], *table["districts"]}, key=lambda name: (-len(name), name))
    return pattern("|".join(re.escape(name).replace("\\ ", " ") for name in known if len(name) > 3))


def _candidates(
    message: Message, table: Mapping[str, Any], regions: Sequence[tuple[str, Clause, int, int]]
) -> Iterator[Candidate]:
    """Words that may be towns, the surest first."""
    town = table["town"]
    told = [clause for clause in message.clauses if not clause.moods & {"supposed", "others"}]
    ordered = sorted(told, key=lambda clause: "question" in clause.moods)
    for name, clause, start, _ in regions:
        yield from _before_region(message, name, clause, start, table)
    hint = _hint(regions[0][0], message, table) if regions else ""
    fragments = [one for clause in ordered for one in _fragments(message, clause, town, hint)]
    named = list(_named(message, ordered, town, hint))
    soft = [one for one in named if _soft(one, town)]
    yield from (one for one in named if one not in soft)
    yield from soft
    yield from fragments
    hard = "|".join(word for word in town["before"] if word not in town["soft"])
    led = pattern(*town["led"])
    for clause in ordered:
        for match in re.finditer(
            rf"(?<!\w)(?:{hard}) ([a-z][\w'-]{{3,}}(?: [a-z][\w'-]{{2,}})?)", clause.text
        ):
            for name in dict.fromkeys((match[1], match[1].split()[0])):
                if _may_be(name, town) and not any(word in town["never"] for word in name.split()):
                    here = led.search(clause.text[: match.start(1)].rstrip()[-_LEAD:]) is not None
                    yield Candidate(name, clause, match.start(1), match.start(1) + len(name), hint, led=here)
    for clause in ordered:
        raw = message.raw[clause.start : clause.start + len(clause.text)]
        for match in re.finditer(_NAME, raw):
            begins = match.start() == 0
            if begins and (folded(match[0]) in town["opens"] or match.end() == len(raw)):
                continue
            if not raw.isupper() and _may_be(match[0], town):
                yield Candidate(match[0], clause, match.start(), match.end(), hint, begins=begins)
    yield from _left_over(message, town)


def _named(
    message: Message, ordered: Sequence[Clause], town: Mapping[str, Any], hint: str
) -> Iterator[Candidate]:
    """Names that stand after a word for where: in, near, outside of; not where somebody else comes from."""
    before, away = "|".join(town["before"]), pattern(*town["away"])
    for clause in ordered:
        raw = message.raw[clause.start : clause.start + len(clause.text)]
        for match in re.finditer(
            rf"(?<!\w)(?i:{before}) (?:(?i:the )?(?i:town|village|city) of )?({_NAME})", raw
        ):
            if away.search(clause.text[: match.start(1)].rstrip()) or raw.isupper():
                continue
            if _may_be(match[1], town):
                yield Candidate(match[1].strip(" ."), clause, match.start(1), match.end(1), hint, True)


def _soft(candidate: Candidate, town: Mapping[str, Any]) -> bool:
    """Whether the word before a name says little of where the field is: from, to, of, at, and no greeting."""
    before = candidate.clause.text[: candidate.start].rstrip()
    greets = pattern(*town["greets"]).search(before)
    return greets is None and pattern(*(rf"{word}$" for word in town["soft"])).search(before) is not None


def _left_over(message: Message, town: Mapping[str, Any]) -> Iterator[Candidate]:
    """The words of a very short line that tell neither game nor part nor state: one may be the town."""
    said = re.findall(r"[^\W\d_][\w'-]+", message.text)
    if len(said) > _FEW_WORDS or len(message.clauses) != 1:
        return
    known = message.speech.table("message_parts")
    other = pattern(*known["grammar"]["strong"], *known["state"]["bad"], *known["grammar"]["position"])
    for word in said:
        if len(word) > _SHORT and _may_be(word, town) and other.fullmatch(word) is None:
            clause = message.clauses[0]
            start = clause.text.find(word)
            yield Candidate(word, clause, start, start + len(word), begins=True)


def _before_region(
    message: Message, region: str, clause: Clause, start: int, table: Mapping[str, Any]
) -> Iterator[Candidate]:
    """The town before the name of its country or region: Dayton OH; Lincoln, Nebraska; Cali, Colombia."""
    town = table["town"]
    text = message.text[: clause.start + start]
    raw = message.raw[: clause.start + start]
    capital = re.search(rf"({_NAME})(?:[, ]| in | \()*(?:[Cc]o\.? )?$", raw)
    names = [(capital[1], capital.start(1))] if capital else []
    plain = re.search(r"([a-z][\w'-]*(?: [a-z][\w'-]*)?)[, ]+$", text)
    if plain:
        last = plain[1].split()[-1]
        names += [(last, plain.end(1) - len(last)), (plain[1], plain.start(1))]
    for name, at in names:
        within = next((one for one in message.clauses if one.start <= at < one.start + len(one.text)), None)
        if within is not None and _may_be(name, town):
            begin = at - within.start
            hint = _hint(region, message, table)
            yield Candidate(
                name.strip(" ,."), within, begin, begin + len(name), hint, bool(capital), led=True
            )


def _hint(name: str, message: Message, table: Mapping[str, Any]) -> str:
    """What tells the gazetteer a country or region; short forms are left to it: WA is in two countries."""
    if len(name) <= _SHORT and name in message.speech.lands and message.speech.lands[name][1]:
        return name.upper()
    country, region = _land(name, message.speech.lands, table)
    return country.upper() if not region or name in table["districts"] else region


def _fragments(message: Message, clause: Clause, town: Mapping[str, Any], hint: str) -> Iterator[Candidate]:
    """A clause that holds a name and little else."""
    raw = message.raw[clause.start : clause.start + len(clause.text)].strip(" .!?,:;")
    bare = re.sub(rf"(?i)(?:\s(?:{'|'.join(town['after'])}))+$", "", raw)
    bare = re.sub(
        r"(?i)^(?:we'?re (?:in|at)|i'?m in|oval (?:at|in)|village side near|(?:a )?club in) ", "", bare
    )
    led = re.match(rf"(?i)(?:{'|'.join(town['lead'])}) (?=[A-ZÀ-Þ])", bare)
    if led and re.match(_CAPITAL, bare[led.end() :]) and folded(bare[led.end() :]) not in town["opens"]:
        bare = bare[led.end() :]
    row = bare.split()
    if not 1 <= len(row) <= 3 or not re.fullmatch(r"[\w' .-]+", bare) or re.search(r"\d", bare):
        return
    start = clause.text.find(bare.lower())
    if start < 0 or not _may_be(bare, town) or any(word.lower() in town["never"] for word in row):
        return
    if raw != bare and folded(bare) in town["opens"]:
        return
    capital = bool(re.fullmatch(_NAME, bare))
    yield Candidate(
        bare,
        clause,
        start,
        start + len(bare),
        hint,
        capital and len(row) <= 2 and len(clause.text.split()) <= 3,
    )


def _may_be(name: str, town: Mapping[str, Any]) -> bool:
    plain = folded(name)
    return len(plain) >= 3 and plain not in town["never"] and plain.split()[0] not in town["never"]


def _alike(said: str, name: str) -> bool:
    if folded(said) in re.split(r"[\s-]", folded(name)):
        return True
    return difflib.SequenceMatcher(None, folded(said), folded(name)).ratio() >= _ALIKE


def _as_said(candidate: Candidate, place: Mapping[str, Any]) -> Mapping[str, Any]:
    """A place by the name that was said, where the gazetteer has another for it: Ghent, and not Gent."""
    said, name = folded(candidate.name), folded(str(place.get("name", "")))
    if (
        said == name
        or said in re.split(r"[\s-]", name)
        or difflib.get_close_matches(name, [said], cutoff=_SAME)
    ):
        return place
    return {**place, "name": candidate.name.title() if candidate.name.islower() else candidate.name}


def _is_one(candidate: Candidate, place: Mapping[str, Any]) -> bool:
    """Whether a place of the country that was told bears the name with an ending of its own: Tottori-shi."""
    said, name = folded(candidate.name), folded(str(place.get("name", "")))
    told = candidate.hint.casefold() == str(place.get("country", "")).casefold()
    return told and re.fullmatch(rf"{re.escape(said)}[\s-]\w+", name) is not None


def _take(
    message: Message,
    candidate: Candidate,
    found: Sequence[Mapping[str, Any]],
    table: Mapping[str, Any],
    near: bool = False,
) -> Setting:
    """Tells a place that was found, or asks which of several is meant."""
    message.take(candidate.clause, candidate.start, candidate.end)
    message.use(candidate.clause)
    for _, clause, _, _ in _regions(message, table):
        message.use(clause)
    known = message.setting.country
    kept = [one for one in found if one.get("country") == known] or list(found) if known else list(found)
    guess = _hinted(message, table, [str(one.get("country")) for one in kept]) if not near else None
    paid = [lands for sign, lands in table["signs"].items() if re.search(rf"(?<!\w){sign}", message.text)]
    hinted = [one for one in kept if one.get("country") == guess]
    if not any(guess in lands for lands in paid) and all(one.get("small") for one in hinted):
        # A word that is said in many countries is too little for a village beside a town.
        hinted = []
    likely = kept if near else hinted or kept
    if not near:
        likely = likeliest(likely, guess)
    note = ""
    if len(likely) == 1 and len(found) > 1:
        note = message.say("taken", place=str(likely[0].get("say", likely[0]["name"])))
    against = any(str(likely[0].get("country")) not in lands for lands in paid)
    small = candidate.begins or (
        likely[0].get("small") and not _likely_small(message, candidate, likely[0], table)
    )
    if len(likely) == 1 and not near and not small and not (against and known is None):
        for row in _rows(likely[0], message.words(candidate.clause), note):
            if not any(one.key == row.key for one in message.told):
                message.told.append(row)
        return _settled(message.setting, str(likely[0].get("country") or ""), likely[0].get("latitude"))
    words = message.words(candidate.clause)
    offered = likely if len(likely) > 1 or near else likeliest(kept, guess)
    readings = tuple(
        Reading(str(one.get("say", one["name"])), tuple(_rows(one, words, ""))) for one in offered[:3]
    )
    code = "near" if near else "which" if len(offered) > 1 else "is-it"
    name = str(offered[0].get("say", candidate.name)) if code == "is-it" else candidate.name
    text = message.say(code, name=name)
    message.doubts.append(Doubt(text, words, "place.name", None, readings))
    countries = {one.get("country") for one in likely}
    return _settled(message.setting, str(countries.pop())) if len(countries) == 1 else message.setting


def _likely_small(
    message: Message, candidate: Candidate, place: Mapping[str, Any], table: Mapping[str, Any]
) -> bool:
    """Whether a small town is meant for sure: its country or region was told, or it is written as a name and
    lies where people speak so.
    """
    if candidate.hint or message.setting.country:
        return True
    written = message.raw[candidate.clause.start + candidate.start].isupper()
    return written and candidate.sure and place.get("country") in table["town"]["home"]


def _fit(message: Message, candidate: Candidate, place: Mapping[str, Any], table: Mapping[str, Any]) -> bool:
    """Whether a place may be meant at all: almost any word is the name of some small town."""
    if not place.get("small"):
        return True
    plain = folded(candidate.name)
    if plain in message.speech.lands or plain in table["lands"] or plain in table["districts"]:
        return False
    return candidate.sure or candidate.led


def _rows(place: Mapping[str, Any], words: str, note: str) -> Iterator[Told]:
    for key, value in place.items():
        if key not in OF_FINDING and value not in (None, ""):
            yield Told(f"place.{key}", value, words, None, note if key == "name" else "")


def _settled(setting: Setting, country: str, latitude: Any = None) -> Setting:
    south = latitude < 0 if isinstance(latitude, (int, float)) else country in _SOUTH
    units = setting.units or ("us" if country == "us" else "metric" if country not in ("gb", "ie") else None)
    return replace(
        setting,
        country=setting.country or country or None,
        hemisphere=setting.hemisphere or ("south" if south else "north"),
        units=units,
    )


def _hinted(message: Message, table: Mapping[str, Any], among: Sequence[str] | None) -> str | None:
    """The one country for which the words of the message speak; None where none or several do."""
    counts = {
        country: sum(
            pattern(hint).search(message.text) is not None or (hint in ("£", "€") and hint in message.text)
            for hint in hints
        )
        for country, hints in table["hints"].items()
        if among is None or country in among
    }
    most = max(counts.values(), default=0)
    best = [country for country, count in counts.items() if count == most]
    return best[0] if most > (1 if among is None else 0) and len(best) == 1 else None

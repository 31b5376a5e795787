"""Reading one or several of the answers that a question offers: by number, by words, by a near spelling."""

from __future__ import annotations

import difflib
import itertools
import re
from collections.abc import Sequence
from typing import Any, Final

from decide.parse.plain import fold, spaced, words
from decide.parse.results import Answer, AskBack, Choice, NotUnderstood, Reading, Result, Setting

MOST_ITEMS: Final = 12
LONGEST_NAME: Final = 40

_YES: Final = spaced(
    "yes y yeah yep yup ya aye sure certainly definitely correct true right ok okay always indeed absolutely"
)
_NO: Final = spaced("no n nope nah never false not wrong none neither")
_YES_PHRASES: Final = frozenset(
    {
        "of course", "it is", "they are", "we do", "we have", "there is", "there are", "it does", "they do", "i think so",
        "i believe so", "it can", "it could", "we can", "we could", "they can", "it has", "he does", "she does", "you bet",
        "i do", "i can", "they have", "it was", "we are", "most likely yes", "probably", "probably yes", "some", "all of them",
    }
)  # fmt: skip
_NO_PHRASES: Final = frozenset(
    {
        "of course not", "it is not", "it isn't", "they aren't", "they are not", "we do not", "we don't", "there isn't",
        "there is not", "there are none", "not really", "not yet", "not at all", "i don't think so", "i do not think so",
        "we haven't", "we have not", "it can't", "it cannot", "we can't", "we cannot", "no way", "it doesn't", "they don't",
        "i don't", "i can't", "probably not", "not now", "nobody", "no one", "it has not", "it hasn't", "nothing", "none of them",
    }
)  # fmt: skip
_NEGATIONS: Final = frozenset(
    {"no", "not", "without", "never", "nothing", "none", "neither", "nor", "cannot", "nobody", "except"}
)
SMALL: Final = spaced(
    "a an the some of on in at by to with and we i it is are was our my there have has got from only just mostly mainly "
    "its it's we've i've think they about for really quite very use used using get can"
)
_SAME_WORDS: Final = {
    "turves": "sod", "turfs": "sod", "turf": "sod", "sods": "sod", "spigot": "tap", "faucet": "tap", "hosepipe": "hose",
    "hosepipes": "hose", "hoses": "hose", "aerator": "corer", "aerators": "corer", "lawnmower": "mower", "soccer": "soccer",
    "gray": "grey", "traveling": "travelling", "traveler": "traveller", "sprinklers": "sprinkler", "goals": "goal",
    "goalmouths": "goalmouth", "mould": "mold", "fertiliser": "fertilizer", "tyres": "tire", "tyre": "tire", "tires": "tire",
    "autumn": "autumn", "clippings": "clipping", "ground": "ground", "inground": "in ground", "in-ground": "in ground",
    "colour": "color", "pop-up": "popup", "pop-ups": "popup", "popups": "popup", "dandelions": "dandelion",
    "syringes": "needle", "syringe": "needle", "metre": "meter", "metres": "meter", "organisation": "organization",
}  # fmt: skip
# Words that mean different sports in different countries; "" as the country is where no country is known.
_BY_COUNTRY: Final[dict[str, dict[str, tuple[str, ...]]]] = {
    "football": {
        "us": ("american-football",), "ca": ("american-football",), "gb": ("football",),
        "au": ("australian-football", "football"), "ie": ("gaelic-games", "football"),
        "": ("football", "american-football"),
    },
}  # fmt: skip
_FOOTBALL_ELSEWHERE: Final = ("football",)
_ORDINALS: Final = (
    "first",
    "second",
    "third",
    "fourth",
    "fifth",
    "sixth",
    "seventh",
    "eighth",
    "ninth",
    "tenth",
)


def key_of(phrase: str) -> tuple[str, ...]:
    """The telling words of a phrase, one spelling for both sides of the ocean."""
    out: list[str] = []
    for word in words(phrase.replace("in-ground", "in ground").replace("pop-up", "popup")):
        if word in SMALL and word not in ("in", "no"):
            continue
        same = _SAME_WORDS.get(word, word)
        out.extend(same.split())
    while out and out[0] == "in" and len(out) > 1 and out[1] != "ground":
        out.pop(0)
    return tuple(singular(word) for word in out)


def singular(word: str) -> str:
    if len(word) > 3 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 3 and word.endswith("s") and not word.endswith("ss") and not word.endswith("us"):
        return word[:-1]
    return word


def _phrases(choices: Sequence[Choice]) -> list[tuple[tuple[str, ...], Choice]]:
    out: list[tuple[tuple[str, ...], Choice]] = []
    for choice in choices:
        own = [*choice.say]
        if isinstance(choice.value, str):
            own.append(choice.value.replace("-", " "))
        for phrase in own:
            key = key_of(phrase)
            if key and (key, choice) not in out:
                out.append((key, choice))
    return out


def negated(word: str) -> bool:
    return word in _NEGATIONS or word.endswith("n't")


def by_number(text: str, choices: Sequence[Choice]) -> Choice | None:
    said = fold(text).strip(" .)!(")
    match = re.fullmatch(r"(?:number |no\.? ?|nr\.? ?|option |choice |answer |#)?([0-9]{1,2})[.)]?", said)
    if match:
        place = int(match[1])
        return choices[place - 1] if 1 <= place <= len(choices) else None
    match = re.fullmatch(r"(?:the )?([a-z]+)(?: one| option| choice)?", said)
    if match:
        if match[1] in _ORDINALS and _ORDINALS.index(match[1]) < len(choices):
            return choices[_ORDINALS.index(match[1])]
        if match[1] == "last" and choices:
            return choices[-1]
    return None


def _ask_back(choices: Sequence[Choice]) -> AskBack:
    return AskBack("Which is meant?", tuple(Reading(choice.shown, choice.value) for choice in choices))


def listed(choices: Sequence[Choice]) -> str:
    shown = [choice.shown for choice in choices]
    return "; ".join(shown[:MOST_ITEMS])


def distinct(found: Sequence[Choice]) -> list[Choice]:
    out: list[Choice] = []
    for choice in found:
        if choice not in out:
            out.append(choice)
    return out


def inside(key: tuple[str, ...], said: tuple[str, ...]) -> int:
    """The place of `key` as a run of words in `said`, or -1."""
    for at in range(len(said) - len(key) + 1):
        if said[at : at + len(key)] == key:
            return at
    return -1


def matching(text: str, choices: Sequence[Choice], setting: Setting) -> list[Choice]:
    """The choices that a text may mean: whole phrases first, then phrases within it, then near spellings."""
    phrases = _phrases(choices)
    plain = fold(text).strip(" .!?,;")
    named = distinct([choice for choice in choices if any(fold(phrase) == plain for phrase in choice.say)])
    if len(named) == 1:
        return named
    said = key_of(text)
    if not said:
        return []
    exact = distinct([choice for key, choice in phrases if key == said])
    if exact:
        return _for_country(said, exact, setting)
    vocabulary = sorted({word for key, _ in phrases for word in key})
    mended = tuple(_mend(word, vocabulary) for word in said)
    exact = distinct([choice for key, choice in phrases if key == mended])
    if exact:
        return _for_country(mended, exact, setting)
    found: list[Choice] = []
    for clause in re.split(r"[,;]|\bbut\b|\bonly\b|\bthough\b|\bjust\b", fold(text)):
        found += _in_clause(tuple(_mend(word, vocabulary) for word in key_of(clause)), phrases, setting)
    if found:
        return distinct(found)
    if any(negated(word) for word in words(text)):
        return []
    if all(word in vocabulary for word in mended):
        subset = distinct([choice for key, choice in phrases if set(mended) <= set(key)])
        if subset:
            return subset
    joined = " ".join(said)
    scored = sorted(
        (
            (difflib.SequenceMatcher(None, joined, " ".join(key)).ratio(), at)
            for at, (key, _) in enumerate(phrases)
        ),
        key=lambda pair: (-pair[0], pair[1]),
    )
    if not scored or scored[0][0] < 0.78:
        return []
    best = scored[0][0]
    return distinct([phrases[at][1] for ratio, at in scored if ratio >= best - 0.03])


def _mend(word: str, vocabulary: Sequence[str]) -> str:
    """The known word that a slip of the finger meant; short words and negations stay."""
    if word in vocabulary or len(word) < 4 or negated(word) or word.isdigit():
        return word
    close = difflib.get_close_matches(word, vocabulary, n=1, cutoff=0.8)
    if not close or len(close[0]) < 4:
        return word
    same_start = close[0][0] == word[0] and abs(len(close[0]) - len(word)) <= 2
    return close[0] if same_start or difflib.SequenceMatcher(None, word, close[0]).ratio() >= 0.88 else word


def _in_clause(
    said: tuple[str, ...], phrases: Sequence[tuple[tuple[str, ...], Choice]], setting: Setting
) -> list[Choice]:
    hits: list[tuple[int, int, Choice]] = []
    for key, choice in phrases:
        at = inside(key, said)
        if at >= 0:
            hits.append((at, at + len(key), choice))
    longest = [
        (start, end, choice)
        for start, end, choice in hits
        if not any(s <= start and end <= e and (e - s) > (end - start) for s, e, _ in hits)
    ]
    covered = {place for start, end, _ in longest for place in range(start, end)}
    if any(negated(word) for place, word in enumerate(said) if place not in covered):
        return []
    out: list[Choice] = []
    for (start, end), group in itertools.groupby(
        sorted(longest, key=lambda h: (h[0], h[1])), key=lambda h: (h[0], h[1])
    ):
        out += _for_country(said[start:end], [choice for _, _, choice in group], setting)
    return out


def _for_country(said: tuple[str, ...], found: list[Choice], setting: Setting) -> list[Choice]:
    table = _BY_COUNTRY.get(" ".join(said))
    if table is None:
        return found
    country = (setting.country or "").lower()
    wanted = table.get(country, _FOOTBALL_ELSEWHERE if country else table[""])
    kept = [choice for value in wanted for choice in found if choice.value == value]
    return kept or found


def read_choice(text: str, setting: Setting, choices: Sequence[Choice], _unit: str = "") -> Result:
    """One of the choices, by its number, its words or a near spelling; two that fit are asked back."""
    numbered = by_number(text, choices)
    if numbered is not None:
        return Answer(numbered.value)
    found = matching(text, choices, setting)
    if len(found) == 1:
        return Answer(found[0].value)
    if 2 <= len(found) <= 4:
        return _ask_back(found)
    return NotUnderstood(
        f'Answer with a number from 1 to {len(choices)}, or in words: {listed(choices)}; or "don\'t know".'
    )


def read_yes_no(text: str, setting: Setting, choices: Sequence[Choice] = (), _unit: str = "") -> Result:
    """True or False; a choice of the question may give other words for either."""
    said = fold(text).strip(" .!,;")
    row = words(said)
    if choices:
        found = matching(text, choices, setting)
        if len(found) == 1 and isinstance(found[0].value, bool):
            return Answer(found[0].value)
    if said in _YES_PHRASES or (row and row[0] in _YES and not any(negated(word) for word in row[1:])):
        return Answer(True)
    if said in _NO_PHRASES or (row and (row[0] in _NO or said.startswith("of course not"))):
        rest = row[1:]
        if any(word in _YES for word in rest):
            return NotUnderstood('Say yes, no, or "don\'t know".')
        return Answer(False)
    if len(row) > 2 and " ".join(row[-2:]) in _NO_PHRASES and len(row) <= 5:
        return Answer(False)
    return NotUnderstood('Say yes, no, or "don\'t know".')


def read_list(text: str, setting: Setting, choices: Sequence[Choice], _unit: str = "") -> Result:
    """Several of the choices, in the order said, each once; "none" is an empty list (or the choice "none")."""
    said = fold(text).strip(" .!;,")
    empty: list[Any] = [choice.value for choice in choices if choice.value == "none"]
    if said in ("none", "no", "nothing", "none of them", "none of these", "nothing at all", "no none", "all clear", "neither",
                "nobody", "0", "none at all", "nope", "not any", "there are none", "nothing like that"):  # fmt: skip
        return Answer(empty)
    if said in ("all", "all of them", "everything", "the lot", "all of these"):
        return Answer([choice.value for choice in choices if choice.value != "none"])
    whole = _matching_exact(text, choices)
    if whole is not None:
        return Answer([whole.value])
    values: list[Any] = []
    back: AskBack | None = None
    skipped = 0
    pieces = [
        piece.strip(" .!") for piece in re.split(r",|;|\+|&|\band\b|\bplus\b|\balso\b|\bor\b|\n", fold(text))
    ]
    if re.fullmatch(r"[0-9]{1,2}(?:[ ,]+[0-9]{1,2})*", said):
        pieces = re.split(r"[ ,]+", said)
    pieces = [piece for piece in pieces if piece and words(piece)]
    if len(pieces) > MOST_ITEMS:
        return NotUnderstood(f"That is more than {MOST_ITEMS} things. Name the ones that matter most.")
    for piece in pieces:
        numbered = by_number(piece, choices)
        found = [numbered] if numbered is not None else matching(piece, choices, setting)
        if not found:
            if re.match(r"(?:no|not|without|never) ", piece) and len(pieces) > 1:
                skipped += 1
                continue
            return NotUnderstood(
                f'I do not know {piece[:LONGEST_NAME]!r} here. Name any of: {listed(choices)}; or none, or "don\'t know".'
            )
        if len(found) > 1:
            apart = all(inside(key, key_of(piece)) >= 0 for choice in found for key in [key_of(choice.shown)])
            if not apart:
                if len(found) > 4:
                    return NotUnderstood(
                        f"{piece[:LONGEST_NAME]!r} can mean many things here. Name any of: {listed(choices)}."
                    )
                back = back or AskBack(
                    f"Which is meant by {piece[:LONGEST_NAME]!r}?",
                    tuple(Reading(c.shown, c.value) for c in found),
                )
                values.append(back)
                continue
        for choice in found:
            if choice.value not in values:
                values.append(choice.value)
    if not values:
        return NotUnderstood(f'Name any of: {listed(choices)}; or none, or "don\'t know".')
    if back is not None:
        return AskBack(
            back.text,
            tuple(
                Reading(
                    r.say,
                    once(
                        [
                            r.value if v is back else v
                            for v in values
                            if not isinstance(v, AskBack) or v is back
                        ]
                    ),
                )
                for r in back.readings
            ),
        )
    if len(values) > 1 and "none" in values:
        values = [value for value in values if value != "none"]
        return AskBack(
            "Both some and none were said. Which holds?",
            (Reading(", ".join(str(v) for v in values), values), Reading("none", empty)),
        )
    return Answer(values)


def once(values: list[Any]) -> list[Any]:
    out: list[Any] = []
    for value in values:
        if value not in out:
            out.append(value)
    return out


def _matching_exact(text: str, choices: Sequence[Choice]) -> Choice | None:
    key = key_of(text)
    found = distinct([choice for phrase, choice in _phrases(choices) if phrase == key]) if key else []
    return found[0] if len(found) == 1 and len(key) > 1 else None

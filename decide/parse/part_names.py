"""Forms of the noun phrases that name a part of a field: modifiers, a head, and what tells where it is."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from decide.parse.message_text import pattern


class PartForm(NamedTuple):
    """A form of the names of parts, and phrases of which each must stand in a text for it to stand there: a
    form is long, and takes a hundred times as long to be made ready as to be looked for.
    """

    form: str
    needs: tuple[str, ...] = ()


def standing(forms: Iterable[PartForm], text: str) -> Iterator[re.Pattern[str]]:
    """What finds the forms that may stand in a text, in their order."""
    for form, needs in forms:
        if all(pattern(need).search(text) for need in needs):
            yield pattern(form)


def part_forms(grammar: Mapping[str, Any], names: Mapping[str, Any]) -> tuple[PartForm, ...]:
    """The forms of the names of parts, those that say more before others."""
    any_of = {key: "|".join(words) for key, words in grammar.items() if isinstance(words, list)}
    placing = rf"(?:{any_of['position']}|{any_of['feature']})"
    beside = rf"(?:{any_of['position']}|{any_of['feature']}|{any_of['plain']})"
    strong, weak, sided = any_of["strong"], any_of["weak"], any_of["sided"]
    stop, follow, preps = any_of["stop"], any_of["follow"], any_of["prepositions"]
    determined = rf"(?:{any_of['determiners']})"
    # What a part stands by: a thing with its article, or one of the things that fields have beside them.
    thing = (
        rf"(?:{placing} ){{0,2}}(?:{any_of['anchors']}|{any_of['landmarks']})(?: (?:{any_of['structures']}))?"
    )
    landmark = (
        rf"(?:(?:{determined} )?{thing}(?={follow})"
        rf"|(?:{determined} )(?!{any_of['no_landmark']})(?:(?!(?:{stop}) )[\w']+ ){{0,2}}?"
        rf"(?!(?:{stop})(?!\w))[\w']+(?={follow})"
        rf"|(?:{determined} )?{thing})"
    )
    tail = rf" (?:(?:{any_of['up']}) )?(?:{preps}) {landmark}"
    field = rf"(?: of (?:{determined} )?(?:{any_of['whole']}))?"
    # The east side of a town, the middle of May: what a head is of must be the field, or a part of it.
    own = rf"{any_of['whole']}|{any_of['anchors']}|{strong}|it|them|{any_of['amounts']}"
    of_field = rf"(?:{determined} )?(?:{beside} ){{0,2}}(?:{own})"
    time = rf"(?! of (?!{of_field}(?!\w)))(?! (?:{any_of['no_after']})(?!\w))"
    # A side that goes by a thing beside the field: with an article, so that no team is one.
    by_thing = (
        rf"(?:(?:{any_of['landmarks']}) (?:(?:{any_of['structures']}) )?(?:end|corner|half|third)s?"
        rf"|(?<=the\s)(?!{any_of['no_side']})[a-z']{{3,}} (?:{sided})"
        rf"|(?<=our\s)(?!{any_of['no_side']})[a-z']{{3,}} (?:end|corner|half)"
        rf"|(?<=that\s)(?!{any_of['no_side']})[a-z']{{3,}} (?:end|corner|half)"
        rf"|(?<=whole\s)(?!{any_of['no_side']})[a-z']{{3,}} (?:end|corner|half))"
    )
    phrase = (
        rf"(?:(?:{beside} ){{0,2}}{placing} (?:of the )?(?:{beside} ){{0,2}}(?:{weak})(?!\w)"
        rf"|(?:(?:{any_of['counts']}) )?(?:{beside} (?:of the )?){{0,3}}(?:{strong})"
        rf"|(?:{beside} ){{0,2}}{by_thing}|{'|'.join(names['fields'])}){time}"
    )
    across = "|".join(rf"(?:from )?(?:the )?{one}s? to (?:the )?{one}s?" for one in grammar["across"])
    after, behind = "|".join(names["after"]), rf"(?:{any_of['compass']})"
    bare = rf"(?:{phrase})(?: (?:{strong}))?"
    return (
        *map(PartForm, grammar["relative"]),
        PartForm(
            rf"(?:{phrase}) {behind}(?=\s*[:,.]|\s*$|\s+(?:is|are|was|were|has|have)(?!\w))", (behind, bare)
        ),
        PartForm(rf"(?:{phrase}) (?:{after})", (after, bare)),
        PartForm(
            rf"from (?:{determined} )?(?:{phrase}) to (?:{determined} )?(?:{phrase})", ("from", "to", bare)
        ),
        PartForm(rf"(?:{phrase}){field}{tail}", (preps, bare)),
        PartForm(rf"(?:{beside} ){{0,2}}(?:{weak}){time}{field}{tail}", (preps, weak)),
        PartForm(
            rf"(?:{weak}|{any_of['drawn']}) (?:where )?(?:{any_of['people']}) (?:{any_of['do']})"
            rf"(?: (?!(?:{stop})(?!\w))\w+)?(?: on)?(?={follow})"
        ),
        PartForm(rf"(?:{any_of['position']}) (?!{any_of['no_side']})[a-z]{{3,}} (?:{any_of['small']})"),
        PartForm(
            rf"(?:{any_of['drawn']})(?: (?:goes|runs|leads|going|running))? (?:{across})", (any_of["drawn"],)
        ),
        PartForm(across),
        *map(PartForm, names["alone"]),
        PartForm(rf"(?:{any_of['around']}) (?:{determined} )?(?:{beside} ){{0,2}}(?:{any_of['anchors']})"),
        PartForm(rf"(?:{any_of['around']}|along|outside|next to|by) (?:the|our|both) {thing}(?={follow})"),
        PartForm(
            rf"(?:{any_of['counts']}) (?:{beside} ){{0,2}}(?:{any_of['drawn']})",
            (any_of["counts"], any_of["drawn"]),
        ),
        PartForm(bare),
    )

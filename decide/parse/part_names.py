"""Forms of the noun phrases that name a part of a field: modifiers, a head, and what tells where it is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any


def part_forms(grammar: Mapping[str, Any], names: Mapping[str, Any]) -> tuple[str, ...]:
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
    return (
        *grammar["relative"],
        rf"(?:{phrase}) (?:{any_of['compass']})(?=\s*[:,.]|\s*$|\s+(?:is|are|was|were|has|have)(?!\w))",
        rf"(?:{phrase}) (?:{'|'.join(names['after'])})",
        rf"from (?:{determined} )?(?:{phrase}) to (?:{determined} )?(?:{phrase})",
        rf"(?:{phrase}){field}{tail}",
        rf"(?:{beside} ){{0,2}}(?:{weak}){time}{field}{tail}",
        rf"(?:{weak}|{any_of['drawn']}) (?:where )?(?:{any_of['people']}) (?:{any_of['do']})"
        rf"(?: (?!(?:{stop})(?!\w))\w+)?(?: on)?(?={follow})",
        rf"(?:{any_of['position']}) (?!{any_of['no_side']})[a-z]{{3,}} (?:{any_of['small']})",
        rf"(?:{any_of['drawn']})(?: (?:goes|runs|leads|going|running))? (?:{across})",
        across,
        *names["alone"],
        rf"(?:{any_of['around']}) (?:{determined} )?(?:{beside} ){{0,2}}(?:{any_of['anchors']})",
        rf"(?:{any_of['around']}|along|outside|next to|by) (?:the|our|both) {thing}(?={follow})",
        rf"(?:{any_of['counts']}) (?:{beside} ){{0,2}}(?:{any_of['drawn']})",
        rf"(?:{phrase})(?: (?:{strong}))?",
    )

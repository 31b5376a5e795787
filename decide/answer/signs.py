"""Signs of failure: what the record has seen of them, and what to look for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from decide.answer.teller import Teller
from decide.decision.diagnosis import Diagnosis
from decide.decision.rank import Weighed
from decide.engine.language import Fact, Firing, Rule
from decide.facts.draft import begun
from decide.facts.sign import (
    OUTLOOKS,
    Outlook,
    SignHere,
    outlook_of,
    sign_facts,
)
from decide.model.watched import RescueSign, SignSeen


def signs_seen(c: Diagnosis) -> list[SignSeen]:
    """Each sign that was seen, what to do today, and what the rules say of its season."""
    rows: list[SignSeen] = []
    for here in c.signs:
        sign, fired = c.knowledge.rescue[here.sign], c.sign_layer.fired.get(here.code, [])
        facts: dict[str, Fact] = {
            **c.site,
            **c.zone_facts[here.zone],
            **sign_facts(c.filled, here, c.measures),
        }
        draft = begun(c.filled, here.zone)
        if draft is not None:
            facts.update(c.measures.of_plant(draft.plant, draft.method))
        season, because, keys = _judged(c, here, fired, facts)

        def text(written: str, facts: Mapping[str, Fact] = facts) -> str:
            return c.say.sentences(c.book.template(written), facts, c.types)

        rows.append(
            SignSeen(
                zone=c.zones[here.zone].name,
                sign=text(sign.sign),
                on=here.date.isoformat(),
                look_at=text(sign.look_at),
                do=text(sign.do),
                season=season,
                because=because
                if here.mended
                else c.knowledge.text(
                    "signs-season",
                    because=because,
                    saved=_lower(text(sign.saved_if)),
                    lost=_lower(text(sign.lost_if)),
                ),
                sources=sorted({*sign.sources, *keys}),
            )
        )
    return rows


def _judged(
    c: Diagnosis, here: SignHere, fired: Sequence[tuple[Rule, Firing]], facts: Mapping[str, Fact]
) -> tuple[Outlook, str, list[str]]:
    """The season of one sign, the sentences of the rules that say so, and their sources."""
    if here.mended is not None:
        return "not in danger", c.knowledge.text("signs-mended", day=here.mended), []
    season = outlook_of(c.sign_layer.derived.get(here.code, {}))
    if not season:
        known = begun(c.filled, here.zone) is not None
        say = c.knowledge.text
        return "may be saved", say("signs-untold") if known else say("signs-untold-begun"), []
    gave = [rule for rule, _ in fired if rule.then.target == f"sign.season-{season}"]
    return (
        OUTLOOKS[season],
        " ".join(c.say.fill(rule.because, facts, c.types) for rule in gave),
        [key for rule in gave for key in rule.sources],
    )


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def rescue_rows(t: Teller, picked: Sequence[Weighed]) -> list[RescueSign]:
    new = [w for w in picked if w.draft.new_grass]
    made = {str(w.facts.get("option.made-from")) for w in new}
    facts = new[0].facts if new else {}
    return [
        RescueSign(
            sign=t.text(sign.sign, facts),
            look_at=t.text(sign.look_at, facts),
            do=t.text(sign.do, facts),
            sources=t.cite(sign.sources),
        )
        for sign in t.k.rescue.values()
        if made & set(sign.made_from)
    ]

"""Where a lesson ends: the choice of each zone, and what becomes of the date."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from decide.answer.assemble import advice_of
from decide.decision.rank import Weighed
from decide.explain.reasons import Placed
from decide.explain.why import in_order, passed, placed, title, zone_name
from decide.lesson.chain import Chain
from decide.lesson.steps import Read
from decide.model.words import capital


def choice_step(chain: Chain, zone: str) -> None:
    """The choice of a zone, on the verdicts and parts of what its programme holds."""
    c, chosen = chain.c, chain.c.chosen[zone]
    programme = placed(c, zone)
    reads = [_of_programme(chain, row) for row in programme]
    main = chosen.option or chosen.least_bad
    facts = c.zone_facts[zone]
    left_alone = main is None and facts.get("zone.left-alone") is True
    read = f"zone.remedy-{main.draft.remedy}" if main is not None else "zone.left-alone"
    if facts.get(read) is True:
        reads.append(chain.read(read, True, zone, zone))
    if main is not None:
        said = _ends_in(chain, {row.place: row for row in programme}, main)
        because = _chosen_for(chain, programme, zone, main)
    elif left_alone:
        said, because = c.knowledge.text("lesson-left-alone"), c.knowledge.text("lesson-left-alone-why")
    else:
        said, because = c.knowledge.text("lesson-nothing"), c.knowledge.text("lesson-nothing-why")
    if len(c.zones) > 1:
        inner = said if chosen.option is not None else said[:1].lower() + said[1:]
        said = f"{capital(zone_name(c, zone))}: {inner}"
    target = main.draft.code if main is not None else ""
    chain.add(
        "choice", zone, zone_name(c, zone), ("choose", target, ""), reads, because=because, concludes=said,
        zone=zone,
    )  # fmt: skip


def _of_programme(chain: Chain, row: Placed) -> Read:
    """What a programme holds, on the steps of its verdict and of its part."""
    steps = [chain.verdicts[row.option]]
    if row.reason is not None:
        steps.append(chain.parts[row.option, row.reason.rule])
    text = f"{capital(row.title)}: {chain.c.knowledge.language.verdict(row.verdict)}"
    return Read(f"verdict of {row.option}", row.verdict, text, "derived", tuple(steps))


def _ends_in(chain: Chain, programme: Mapping[str, Placed], main: Weighed) -> str:
    """The programme of a zone in one sentence."""
    k = chain.c.knowledge
    gap, after, instead = (programme.get(place) for place in ("stopgap", "after", "instead"))
    said = title(chain.c, main.draft)
    if "least bad" in programme:
        said = k.text("lesson-least-bad", option=said)
    if gap is not None and not main.draft.new_grass:
        said = k.text("lesson-stopgap-beside", option=said, gap=gap.title)
    elif gap is not None and chain.shown[gap.option].weighed.draft.new_grass:
        said = k.text("lesson-stopgap-first", option=said, gap=gap.title)
    elif gap is not None:
        said = k.text("lesson-first", option=said, gap=gap.title)
    if after is not None:
        said = k.text("lesson-after", option=said, after=after.title)
    if instead is not None:
        said = k.text("lesson-instead", option=said, instead=instead.title)
    return capital(said)


def _chosen_for(chain: Chain, programme: Sequence[Placed], zone: str, main: Weighed) -> str:
    """Why the programme is this one: what the parts of it say, else the order."""
    c, chosen = chain.c, chain.c.chosen[zone]
    parts = [
        row.reason.text
        for row in programme
        if row.place in ("stopgap", "choice", "after", "instead") and row.reason is not None
    ]
    if chosen.option is None:
        return " ".join([c.knowledge.text("lesson-first-of-barred"), *parts])
    if len(parts) > 1:
        return " ".join(dict.fromkeys(parts))
    if chosen.runner_up is not None:
        return passed(c, chosen.runner_up) or in_order(c, main, chosen.runner_up)[1]
    return c.knowledge.text("lesson-stands-first")


def fate_step(chain: Chain) -> None:
    """What becomes of the date wanted, from the choices and their days."""
    c, by = chain.c, chain.c.filled.situation.dates.play_by
    fate = advice_of(c).fate
    if fate is None or by is None or fate.level == "open":
        return
    k = c.knowledge
    zone = next(code for code, held in c.zones.items() if held.name == fate.zone)
    choice = tuple(step.number for step in chain.steps if step.section == "choice" and step.subject == zone)
    use = fate.use or k.text("lesson-use-untold")
    chosen = k.text("lesson-choice-for", zone=fate.zone) if len(c.zones) > 1 else k.text("lesson-choice")
    rows = (
        Read(
            "site.days-to-play-by",
            by.isoformat(),
            k.text("lesson-date-wanted", day=by),
            chain.how("dates.play_by", zone),
        ),
        Read(
            "dates.first_use",
            use,
            k.text("lesson-wanted-for", use=use),
            chain.how("dates.first_use", zone) if fate.use else "usual",
        ),
        Read("choice", fate.zone, chosen, "derived", choice),
    )
    concludes = k.text("lesson-by", day=by, fate=k.text(f"lesson-fate-{fate.level}"))
    chain.add(
        "fate", zone, k.text("lesson-the-date"), ("fate", fate.level, ""), rows, because=fate.text,
        concludes=concludes, zone=zone,
    )  # fmt: skip

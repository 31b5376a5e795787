"""The programme of a zone: what is chosen from its options in order, by the parts that rules let each of them take."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from decide.decision.rank import Weighed

ANSWER, RESORT, STOPGAP, LASTING, AFTER, CARRIES, FOLLOWED = (
    "answer",
    "resort",
    "stopgap",
    "lasting",
    "after-mending",
    "carries",
    "followed",
)
DEAR, CHEAPER = "dear", "cheaper-later"


@dataclass(frozen=True)
class Chosen:
    """What is chosen for one zone.

    `option` is the choice, `stopgap` what goes before it. Where nothing may be chosen `least_bad` is named. `after` is the new
    grass that follows once the cause is mended, or the next real window where nothing can be ready by the date. `instead` is
    the other side of a trade: what would be ready sooner at a risk, or later and lasting.
    """

    option: Weighed | None
    stopgap: Weighed | None = None
    least_bad: Weighed | None = None
    runner_up: Weighed | None = None
    after: Weighed | None = None
    instead: Weighed | None = None

    @property
    def named(self) -> list[Weighed]:
        """What the programme names, in the order of doing."""
        return [w for w in (self.stopgap, self.option, self.least_bad) if w is not None]

    @property
    def told(self) -> list[Weighed]:
        """All that a person reads of."""
        return [
            w
            for w in (self.stopgap, self.option, self.least_bad, self.after, self.instead, self.runner_up)
            if w is not None
        ]


def choose(ranked: Sequence[Weighed]) -> Chosen:
    """The programme of one zone from its options in order, whose roles are known.

    The first that may be the answer. Where that does not last, one that lasts follows it, or stands in its place if it is in
    time too. Where nothing may be the answer: a stopgap that is in time and then what lasts; else what lasts, late; else what
    is risky; else nothing, with the least bad and the next real window named.
    """
    if not ranked:
        return Chosen(None)
    by_role = {
        role: [w for w in ranked if role in w.roles]
        for role in (ANSWER, RESORT, STOPGAP, LASTING, AFTER, CHEAPER)
    }
    if by_role[ANSWER]:
        return _answered(ranked, by_role)
    firm = any(w.verdict == "ruled-out" for w in by_role[LASTING]) and not any(
        w.verdict == "late" for w in by_role[LASTING]
    )
    for stopgap in by_role[STOPGAP][:1]:
        later = [w for w in by_role[LASTING] if w.follows(stopgap)]
        if later:
            return Chosen(later[0], stopgap=stopgap, runner_up=_next(ranked, stopgap, later[0]))
    lasting = next(iter(by_role[LASTING]), None)
    if lasting is not None and not firm:
        rival = next(iter((*by_role[RESORT], *by_role[STOPGAP])), None)
        return Chosen(lasting, instead=rival, runner_up=_next(ranked, lasting))
    if by_role[RESORT] or by_role[STOPGAP]:
        return Chosen((*by_role[RESORT], *by_role[STOPGAP])[0], after=lasting)
    return Chosen(None, least_bad=ranked[0], after=lasting or next(iter(by_role[AFTER]), None))


def _answered(ranked: Sequence[Weighed], by_role: Mapping[str, Sequence[Weighed]]) -> Chosen:
    first, lasting = by_role[ANSWER][0], by_role[LASTING]
    if not first.draft.new_grass:
        if CARRIES in first.roles and lasting:
            return Chosen(lasting[0], stopgap=first, runner_up=_next(ranked, first, lasting[0]))
        if FOLLOWED not in first.roles:
            return Chosen(first, runner_up=_next(ranked, first))
        stopgap, after = next(iter(by_role[STOPGAP]), None), next(iter(by_role[AFTER]), None)
        taken = (first,) if stopgap is None else (first, stopgap)
        return Chosen(first, stopgap=stopgap, runner_up=_next(ranked, *taken), after=after)
    if first.draft.remedy == "establish" and LASTING not in first.roles:
        both = [w for w in lasting if ANSWER in w.roles]
        if both:
            return Chosen(both[0], runner_up=_next(ranked, both[0]))
        later = [w for w in lasting if w.follows(first)]
        if later:
            return Chosen(later[0], stopgap=first, runner_up=_next(ranked, first, later[0]))
    cheaper = next(iter(by_role[CHEAPER]), None) if DEAR in first.roles else None
    return Chosen(first, runner_up=_next(ranked, first), instead=cheaper)


def _next(ranked: Sequence[Weighed], *taken: Weighed) -> Weighed | None:
    """The first other way that is usable."""
    ways = {w.way[:3] for w in taken}
    return next(
        (w for w in ranked if w.way[:3] not in ways and (ANSWER in w.roles or RESORT in w.roles)), None
    )

"""The tables of a situation about work: what was done before, what stands begun, what is meant, done, checked
and seen.
"""

from __future__ import annotations

from typing import Final, Literal, get_args

from pydantic import Field, model_validator

from decide.model.written import Code, Day, MethodName, Part, Percent, PlantName, Text, between, told

HerbicideClass = Literal[
    "mitosis-short", "mitosis-long", "pyridine-pre", "cellulose-inhibitor", "phenylurea", "hppd",
    "hppd-pyrazolone", "auxin-phenoxy", "auxin-quinoline", "auxin-pyridine", "als", "triazine", "triazinone",
    "oxadiazole", "chloroacetamide", "benzofuran", "accase", "nonselective-systemic", "contact-acid",
    "fumigant", "growth-regulator", "grub-insecticide", "seed-fungicide", "unknown",
]  # fmt: skip
HERBICIDE_CLASSES: Final[tuple[str, ...]] = get_args(HerbicideClass)
Step = Literal[
    "sow", "overseed", "lay-sod", "sprig", "plug", "fertilise", "spray", "roll", "aerate", "dethatch",
    "topdress", "till", "fill", "water", "cover", "mow", "open-to-play", "lime", "drag", "sand", "move-goals",
    "clear-snow", "close",
]  # fmt: skip
STEPS: Final[tuple[str, ...]] = get_args(Step)
# Entries of the diary beside the tasks of the plan and the steps.
DIARY: Final = ("delivery", "seed-tag", "inspection", "work-stopped")


class Sprayed(Part):
    """A weed killer that was used."""

    kind: HerbicideClass = Field(
        default="unknown", alias="class", description="class of the product; unknown where not told"
    )
    date: Day | None = told("day of use; read as today where not told")
    zone: Text | None = told("zone; all where not told")


class Fed(Part):
    """A feed that was given."""

    date: Day = Field(description="day of use")
    n_g_m2: float | None = between(0, 100, 1, "nitrogen")
    zone: Text | None = told("zone; all where not told")


class Sown(Part):
    """A sowing that was made."""

    grass: Code | None = told("grass")
    date: Day = Field(description="day of sowing")
    zone: Text | None = told("zone; all where not told")


class SodLaid(Part):
    """Sod that was laid."""

    thickness_mm: float | None = between(5, 100, 5, "thickness of its soil")
    date: Day = Field(description="day of laying")
    zone: Text | None = told("zone; all where not told")


class History(Part):
    """What was done to the ground; an empty list says that nothing was."""

    herbicides: list[Sprayed] | None = told("weed killers used in the last year")
    fertilizers: list[Fed] | None = told("feeds given in the last year")
    sown: list[Sown] | None = told("sowings of the last year")
    sod_laid: list[SodLaid] | None = told("sod laid in the last year")


class Proposal(Part):
    """A step that the person means to take."""

    step: Step = Field(description="what is to be done")
    zone: Text | None = told("zone; all where not told")
    method: MethodName | None = told("method")
    grass: PlantName | None = told("grass")
    mixture: PlantName | None = told("mixture")
    start: Day | None = told("day; today where not told")
    depth_mm: float | None = between(0, 1000, 5, "depth or thickness")
    amount: float | None = between(0, 100_000, 5, "amount")
    unit: Code | None = told("unit of the amount, as g-m2 or lb-1000ft2")
    kind: HerbicideClass | None = Field(default=None, alias="class", description="class of the product")
    time_of_day: Literal["before sunrise", "morning", "midday", "afternoon", "evening", "night"] | None = (
        told("time of day")
    )
    wind: Literal["calm", "breeze", "strong"] | None = told("wind")
    material: Literal["sand", "topsoil", "compost", "same as field"] | None = told("material")
    tool: (
        Literal[
            "light roller",
            "heavy roller",
            "vibrating roller",
            "hollow tine",
            "solid tine",
            "slit seeder",
            "scarifier",
            "tiller",
        ]
        | None
    ) = told("tool")
    mowings: int | None = between(0, 100, 1, "mowings since sowing")
    cover_percent: Percent | None = told("living cover by count")
    tug: Literal["holds", "tears"] | None = told("what the turf does when it is pulled")
    storm_due: Literal["yes", "no"] | None = told("heavy rain is forecast")
    height_mm: float | None = between(0, 300, 10, "height of the grass now")
    takes_percent: Percent | None = told("share of the leaf that the cut takes")
    sow_in_weeks: float | None = between(0, 60, 2, "weeks from a spray to the next sowing")
    feed: Literal["quick nitrogen", "slow nitrogen", "starter", "potassium only"] | None = told(
        "kind of feed"
    )
    law_checked: Literal["allowed", "forbidden"] | None = told(
        "what today's law says of this step here, as you found it"
    )


class Done(Part):
    """Something that was done: a task of the plan, a step, or an entry of the diary."""

    task: Code = Field(
        description="task of the plan, a step as mow or spray, or delivery, seed-tag, inspection, "
        "work-stopped"
    )
    date: Day = Field(description="day on which it was done")
    zone: Text | None = told("zone; all where not told")
    amount: float | None = between(0, 1_000_000, 1, "amount")
    unit: Text | None = told("unit of the amount")
    passed: bool | None = told("it was found in order")
    by: (
        Literal[
            "owner",
            "groundskeeper",
            "coach",
            "referee",
            "volunteer",
            "contractor",
            "licensed person",
            "council",
        ]
        | None
    ) = told("who did or decided it: a role, never a name")
    note: Text | None = told("a note")


class Checked(Part):
    """A check before opening that was made."""

    check: Code = Field(description="check, as tug or cover-count")
    date: Day = Field(description="day of the check")
    zone: Text | None = told("zone; all where not told")
    value: float | None = between(0, 100_000, 1, "what was counted or measured, in the check's own unit")
    passed: bool | None = told("whether it passed, where nothing is measured")


class Seen(Part):
    """A sign that new grass is failing."""

    sign: Code = Field(description="sign, as washout or damping-off")
    date: Day = Field(description="day on which it was seen")
    zone: Text | None = told("zone; all where not told")
    extent_percent: float | None = between(0, 100, 10, "share of the zone that shows it")


class Ongoing(Part):
    """New grass that was begun and is being tended."""

    zone: Text | None = told("zone; all where not told")
    method: MethodName = Field(description="method")
    grass: Code | None = told("grass")
    mixture: Code | None = told("mixture")
    variant: Code | None = told("variant: dormant, winter-overseed or pregerminated; plain where not told")
    start: Day = Field(description="day on which it was sown, laid or planted")
    thickness_mm: float | None = between(5, 100, 5, "thickness of the sod's soil")

    @model_validator(mode="after")
    def _one_plant(self) -> Ongoing:
        if (self.grass is None) == (self.mixture is None):
            raise ValueError(
                "names no grass; write grass or mixture, one of them"
                if self.grass is None
                else "names a grass and a mixture; keep one of them"
            )
        return self

"""Answers on the work of the hands: mowing, feeding, seed, weeds, and how a step is done."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from decide.answer.teller import lower_first
from decide.explain.reply.about import About, Reply, meant
from decide.explain.reply.judged import judged
from decide.model import advice as out
from decide.model.planned import Purchase, Task
from decide.model.units import convert
from decide.model.words import capital
from decide.model.written import coded
from decide.parse import numbers

_MOWING: Final = ("first-cut", "cut-often", "mow-to-recover", "mow-it-short")
_FEEDS: Final = (
    "starter-feed", "second-feed", "feed-sod", "feed-runners", "feed-to-recover", "spring-feed",
    "feed-the-turf-below",
)  # fmt: skip
_WEEDS: Final = (
    "spray-old-plants", "weeds-without-spray", "strip-knotweed", "dry-out-moss", "dry-out-sedge",
    "weeds-after-cuts", "weeds-by-hand", "annual-bluegrass-watch", "summer-grass-weeds-watch",
    "goosegrass-watch", "clover-watch", "broadleaf-watch", "broad-weeds-by-hand", "rake-moss-out",
    "pull-crabgrass", "pull-goosegrass",
)  # fmt: skip
_UNITS: Final = {"l": "litre", "each": "count"}


# ---------- mowing ----------
def when_mow(a: About) -> Reply:
    """When it is cut for the first time and how high, then how often."""
    if a.slot("height_mm"):
        return judged(a, {"step": "mow", "height_mm": float(a.slot("height_mm"))})
    for answer in a.parts:
        option, w = a.option(answer), a.weighed(answer)
        tasks = a.tasks(answer.zone, *_MOWING)
        if option is None or w is None or option.first_mow is None or not w.draft.new_grass:
            continue
        high = a.value("first-mow-low", "first-mow-high", a.grass(answer))
        days = a.range(option.first_mow)
        head = a.text("reply-mow-first", where=a.where(answer.zone), height=high, days=days)
        if not high:
            head = a.text("reply-mow-first-day", where=a.where(answer.zone), days=days)
        return Reply((head, *(task.text for task in tasks), _playing_height(a, answer)), _machines(a, tasks))
    for answer in a.parts:
        tasks = a.tasks(answer.zone, *_MOWING)
        if tasks:
            head = f"{a.where(answer.zone)}{tasks[0].text}"
            return Reply((head, _playing_height(a, answer)), _machines(a, tasks))
    answer = a.parts[0]
    head = a.text("reply-mow-standing", where=a.where(answer.zone), share=_share(a))
    return Reply((head, _playing_height(a, answer)), _machines(a, []))


def mow_height(a: About) -> Reply:
    """How short the grass that was named, or that of the part, is kept for play."""
    answer = a.parts[0]
    plants = {code: (row.name, *row.also) for code, row in a.k.grasses.items()}
    asked = meant(a.slot("grass"), plants) if a.slot("grass") else ""
    grass = asked or a.grass(answer)
    height = a.value("mow-height-low", "mow-height-high", grass) if grass else ""
    if not height:
        missing = a.text("reply-mow-no-grass", where=a.where(answer.zone), share=_share(a))
        return Reply((missing,), _machines(a, []))
    said = [a.text("reply-mow-height", grass=capital(a.c.say.plant(grass)), height=height, share=_share(a))]
    if a.slot("height_mm"):
        said.insert(0, _held_against(a, float(a.slot("height_mm")), grass, height))
    first = a.value("first-mow-low", "first-mow-high", grass)
    w = a.weighed(answer)
    if first and w is not None and w.draft.new_grass and not asked:
        said.append(a.text("reply-mow-first-height", height=first))
    if a.slot("sport"):
        said.append(a.text("reply-mow-by-grass"))
    return Reply(tuple(said), _machines(a, []))


def _held_against(a: About, millimetres: float, grass: str, height: str) -> str:
    """A height that was named beside the range in print."""
    low, high = (a.k.value(name, grass) or 0.0 for name in ("mow-height-low", "mow-height-high"))
    place = "below" if millimetres < low else "above" if millimetres > high else "within"
    said = a.k.language.show(millimetres, "mm", a.c.system)
    return a.text(f"reply-mow-{place}", height=said, range=height, grass=a.c.say.plant(grass))


def _playing_height(a: About, answer: out.Answer) -> str:
    grass = a.grass(answer)
    height = a.value("mow-height-low", "mow-height-high", grass) if grass else ""
    return a.text("reply-mow-play", grass=a.c.say.plant(grass), height=height) if height else ""


def _share(a: About) -> str:
    return a.c.say.value("mow-share-most") or ""


def _machines(a: About, tasks: list[Task]) -> str:
    return a.of_tasks(tasks, "machine-guards")


# ---------- seed ----------
def amount(a: About, row: Purchase) -> str:
    """How much of a thing is bought, in whole packs where the seller's are known."""
    said = a.k.language.exactly(row.amount, _UNITS.get(row.unit, row.unit), a.c.system, row.amount_low)
    return a.text("reply-packs", amount=said, n=row.packs, pack=row.pack) if row.packs else said


def seed_amount(a: About) -> Reply:
    """How much seed is sown, with its arithmetic, and a weight that was named held against it."""
    asked = (*_about_seed(a), *_of_grass(a))
    for answer in a.parts:
        rows = [row for row in a.advice.shopping if row.zone == answer.zone and "seed" in row.supply]
        if not rows:
            continue
        row = rows[0]
        head = a.text("reply-seed", where=a.where(answer.zone), item=row.item, amount=amount(a, row))
        sow = a.tasks(answer.zone, "sow-broadcast", "sow-slits", "overseed-for-winter", "renovate-sow")
        return Reply(
            (*_check_weight(a, row), *asked, head, row.how, *(task.text for task in sow[:1])),
            a.caution(["treated-seed-handling", *row.cautions]) or a.of_tasks(sow, "seed-needs-contact"),
        )
    answer = a.parts[0]
    return Reply((*asked, a.text("reply-no-seed", where=a.where(answer.zone), choice=answer.text)))


def _about_seed(a: About) -> tuple[str, ...]:
    """Of seed with a shell, what the shell weighs; of more seed, that the amount stands."""
    about = a.slot("about")
    if "coat" in about:
        return (a.k.words["coated-seed"].meaning,)
    if "overseed" in about:
        rate = a.value("seed-rate-overseed-low", "seed-rate-overseed-high", a.grass(a.parts[0]))
        return (a.text("reply-seed-over", rate=rate),) if rate else ()
    return (a.text("reply-seed-no-more"),) if about in ("double", "more") else ()


def _of_grass(a: About) -> tuple[str, ...]:
    """The rate in print of a grass that was named."""
    plants = {code: (row.name, *row.also) for code, row in a.k.grasses.items()}
    grass = meant(a.slot("grass"), plants) if a.slot("grass") else ""
    rate = a.value("seed-rate-new-low", "seed-rate-new-high", grass) if grass else ""
    return (a.text("reply-seed-rate", grass=capital(a.c.say.plant(grass)), rate=rate),) if rate else ()


def _check_weight(a: About, row: Purchase) -> Iterator[str]:
    """What the person has, beside what the plan needs."""
    found = quantity(a.slot("check"))
    if found is None or found[1] not in ("kg", "lb", "g", "oz"):
        return
    held = convert(found[0], found[1], "kg")
    least = row.amount_low if row.amount_low is not None else row.amount
    said = a.k.language.exactly(held, "kg", a.c.system)
    if held >= row.amount:
        yield a.text("reply-enough", have=said, need=amount(a, row))
    elif held >= least:
        yield a.text("reply-enough-low", have=said, need=amount(a, row))
    else:
        short = a.k.language.exactly(least - held, "kg", a.c.system)
        yield a.text("reply-short", have=said, need=amount(a, row), short=short)


def quantity(said: str) -> tuple[float, str] | None:
    """A number with its unit, such as "50 lb"; None where none is read."""
    try:
        found = numbers.quantity(numbers.tokens(said)) if said else None
    except numbers.NumberTrouble:
        return None
    return None if found is None or not found[0].unit else (found[0].values[0], found[0].unit)


# ---------- feed ----------
def feed(a: About) -> Reply:
    """Which feed, how much of it, and when."""
    for answer in a.parts:
        tasks = a.tasks(answer.zone, *_FEEDS)
        if not tasks:
            continue
        said = [
            a.text("reply-feed", where=a.where(answer.zone) if place == 0 else "", task=task.task,
                   days=a.days(task.from_, task.until), text=task.text)
            for place, task in enumerate(tasks[:2])
        ]  # fmt: skip
        bag = list(_by_bag(a, tasks))
        asked = [row.ask for row in a.advice.shopping if row.for_task == tasks[0].code]
        extra = asked if a.slot("nutrient") else [row.how for row in _bought(a, tasks[:1])]
        return Reply((*bag, *said, *extra), a.of_tasks(tasks, "fertiliser-law-today"))
    answer = a.parts[0]
    year = next((row for row in a.advice.year if "feed" in row.task.lower()), None)
    head = (
        a.text("reply-no-feed", where=a.where(answer.zone))
        if year is None
        else a.text(
            "reply-feed", where="", task=year.task, days=a.days(year.from_, year.until), text=year.text
        )
    )
    return Reply((head,), a.caution(["stock-off"], "fertiliser-law-today"))


def _bought(a: About, tasks: list[Task]) -> list[Purchase]:
    codes = {task.code for task in tasks}
    return [row for row in a.advice.shopping if row.for_task in codes]


def _by_bag(a: About, tasks: list[Task]) -> Iterator[str]:
    """What the nitrogen of the next feed comes to in a bag whose numbers were told, as "15-5-10"."""
    first = a.slot("check").partition("-")[0]
    task = next((task for task in tasks if task.amount is not None and task.unit.startswith("kg")), None)
    if "-" not in a.slot("check") or not first.isdigit() or task is None or task.amount is None:
        return
    share = int(first)
    if share:
        bag = a.k.language.exactly(round(task.amount * 100 / share, 2), "kg", a.c.system)
        yield a.text("reply-bag", bag=a.slot("check"), amount=bag, task=lower_first(task.task))


# ---------- weeds ----------
def weed_control(a: About) -> Reply:
    """Whether, how and when weeds are dealt with: the weed that was named, else what the plan has."""
    barred = a.c.site.get("site.pesticides-barred") is True
    law = ["pesticides-barred", "school-pesticide-rules"]
    named = _weed(a)
    tasks = [task for answer in a.parts for task in a.tasks(answer.zone, *_WEEDS)]
    work = [
        a.text("reply-task", days=a.days(task.from_, task.until), task=task.task, text=task.text)
        for task in tasks[:2]
    ]
    if not named and not work:
        none = a.text("reply-no-weeds-barred" if barred else "reply-no-weeds")
        return Reply((none,), a.caution(law, "label-is-law"))
    return Reply((*named, *work), a.caution(law, "label-is-law"))


def _weed(a: About) -> tuple[str, ...]:
    """What is said of a weed: as it was told of the field, else as the knowledge has it."""
    word = a.slot("weed")
    if not word:
        return ()
    code = meant(word, {code: (row.name,) for code, row in a.k.ailments.items()})
    if not code:
        inside = [each for each, row in a.k.ailments.items() if coded(word) in f"{each} {coded(row.name)}"]
        code = inside[0] if inside else ""
    if not code:
        return (a.text("reply-weed-unknown", weed=word),)
    told = next((row for row in a.advice.ailments if row.code == code), None)
    if told is not None:
        return (f"{capital(told.name)}: {told.do}", told.leave, told.treat)
    row, facts = a.k.ailments[code], a.facts(a.parts[0])
    treat = row.without if a.c.site.get("site.pesticides-barred") is True else row.treat
    do, leave, treat = (
        a.c.say.sentences(a.c.book.template(text), facts, a.c.types) if text else ""
        for text in (row.do, row.leave, treat)
    )
    return (f"{capital(row.name)}: {do}", leave, treat)


# ---------- a step ----------
def how_to_do(a: About) -> Reply:
    """How a step is done: as the plan has it, else as the knowledge tells it."""
    asked = a.slot("step") or a.ask.words
    templates = tasks_of(a, asked)
    for answer in a.parts:
        tasks = a.tasks(answer.zone, *templates)
        if tasks:
            task = tasks[0]
            days = a.days(task.from_, task.until)
            head = a.text("reply-how", where=a.where(answer.zone), task=task.task, days=days, text=task.text)
            bought = [
                f"- {row.item}: {amount(a, row)}." for row in a.advice.shopping if row.for_task == task.code
            ]
            more = (
                a.text("reply-hours-in-all", n=round(task.hours.high, 1), hours=a.hours(task.hours))
                if task.hours
                else "",
            )
            return Reply((head, *more, *bought), a.of_tasks([task]))
    if not templates:
        return Reply((a.text("reply-step-unknown", step=asked),), understood=False)
    row, facts = a.k.tasks[templates[0]], a.facts(a.parts[0])
    said = a.c.say.sentences(a.c.book.template(row.text), facts, a.c.types)
    caution = a.caution([*row.cautions, *row.cautions_if], row.cautions[0] if row.cautions else "")
    return Reply((a.text("reply-how-not-planned", task=row.title, text=said),), caution)


def tasks_of(a: About, step: str) -> tuple[str, ...]:
    """The tasks that do a step: a task or a step by its code, a step by what it is called, a task by its
    title.
    """
    code = coded(step)
    if code in a.k.tasks:
        return (code,)
    found = code if code in a.k.doing else meant(step, {code: row.also for code, row in a.k.doing.items()})
    if found:
        return a.k.doing[found].tasks
    titled = meant(step, {code: (row.title,) for code, row in a.k.tasks.items()})
    return (titled,) if titled else ()

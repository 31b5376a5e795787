"""Answers on danger and on what goes wrong: whether it is safe, how to keep people off, what a sign means,
what to do if it fails, whom to call. Nothing here ever says that something is safe.
"""

from __future__ import annotations

from decide.explain.changes import key_words, say_value
from decide.explain.reply.about import About, Reply, meant
from decide.explain.reply.work import amount
from decide.knowledge.schema_care import Topic
from decide.model import advice as out
from decide.model.words import CHANGED, capital


def is_it_safe(a: About) -> Reply:
    """What is known of a danger, what to look at, and who decides; never "yes"."""
    code, row = topic_of(a, a.slot("of") or a.ask.words)
    if row is None:
        said = (a.text("reply-safe-unknown"), *_changed(a), *(doing.text for doing in a.advice.today[:1]))
        return Reply((*said, *_checks(a, ("dangers",))), a.caution([], "who-opens-and-closes"))
    if code == "hurt":
        return Reply((row.say,))
    known = _known(a, row)
    cautions = [each for each in row.cautions if not _stands_against(a, each)]
    looks = [*_checks(a, row.checks), *_signs(a, row.signs)]
    texts = [a.tell.caution(each).text for each in cautions[:1]]
    head = " ".join([a.text("reply-safe", topic=capital(code.replace("-", " "))), *known])
    who = a.tell.caution(cautions[0]).who_decides if cautions else row.who
    decides = a.text("judgement-who-decides", who=who or row.who) if who or row.who else ""
    return Reply((head, *_changed(a), row.say, *texts, *looks), decides)


def _changed(a: About) -> list[str]:
    """That folders changed what dangers rest on, where they did."""
    return [a.k.cautions[CHANGED].text] if CHANGED in a.k.cautions else []


def topic_of(a: About, said: str) -> tuple[str, Topic | None]:
    """The topic that some words mean; "" and None where they mean none."""
    code = meant(said, {code: row.also for code, row in a.k.topics.items()})
    return (code, a.k.topics[code]) if code else ("", None)


def _known(a: About, row: Topic) -> list[str]:
    """The told answers that bear on a topic; where none was told, that nothing was."""
    said = []
    for key in row.known:
        held = a.told(key)
        if key.startswith("zone."):
            found = [getattr(zone, key.removeprefix("zone."), None) for zone in a.c.zones.values()]
            held = next((value for value in found if value is not None), None)
        if held is not None:
            name = key_words(a.k, key)
            value = say_value(a.c.say, a.c.types, key, held)
            said.append(a.text("reply-told", key=capital(name), value=value))
    return said or ([a.text("reply-safe-not-told")] if row.known else [])


def _stands_against(a: About, caution: str) -> bool:
    """A caution on loose goals is not said of goals that were told to be anchored."""
    return caution == "loose-goals" and caution not in {doing.code for doing in a.advice.today}


def _checks(a: About, codes: tuple[str, ...]) -> list[str]:
    facts = a.facts(a.parts[0])
    rows = [a.k.opening[code] for code in codes]
    return [
        a.text("reply-look", how=a.c.say.sentences(a.c.book.template(row.how), facts, a.c.types))
        for row in rows
    ]


def _signs(a: About, codes: tuple[str, ...]) -> list[str]:
    return [a.text("reply-look", how=a.k.rescue[code].look_at) for code in codes]


# ---------- keeping people off ----------
def keep_off(a: About) -> Reply:
    """How people are kept off, how long, and what the rope comes to."""
    for answer in a.parts:
        tasks = a.tasks(answer.zone, "shut-it", "rest-it", "keep-off-and-wait")
        if not tasks:
            continue
        task = tasks[0]
        rope = [row for row in a.advice.shopping if row.supply == "rope" and row.zone == answer.zone]
        option = a.option(answer)
        until = option.light_use.late if option is not None and option.light_use is not None else None
        said = [f"{a.where(answer.zone)}{task.text}"]
        if until and task.from_ != task.until:
            said.append(a.text("reply-off-from", first=a.day(task.from_), last=a.day(until)))
        said += [a.text("reply-off-sign")] if a.slot("with") == "sign" else []
        said += [a.text("reply-bought", item=row.item, amount=amount(a, row)) + "." for row in rope[:1]]
        signs = a.tasks(answer.zone, "signs-for-the-public")
        said += [row.text for row in signs[:1]]
        return Reply(tuple(said), a.caution([], "who-opens-and-closes"))
    answer = a.parts[0]
    text = a.c.say.sentences(a.c.book.template(a.k.tasks["shut-it"].text), a.facts(answer), a.c.types)
    head = a.text("reply-off-not-planned", where=a.where(answer.zone))
    return Reply((head, text), a.caution([], "who-opens-and-closes"))


# ---------- what goes wrong ----------
def sign_seen(a: About) -> Reply:
    """What a sign on new grass wants looking at, what to do today, and on what the season hangs."""
    code = a.slot("sign")
    if code not in a.k.rescue:
        code = meant(code or a.ask.words, {name: (row.sign,) for name, row in a.k.rescue.items()})
    if code not in a.k.rescue:
        return Reply((a.text("reply-sign-unknown"),), understood=False)
    row = a.k.rescue[code]
    facts = a.facts(_grown(a))
    sign, look, do, saved, lost = (
        a.c.say.sentences(a.c.book.template(text), facts, a.c.types)
        for text in (row.sign, row.look_at, row.do, row.saved_if, row.lost_if)
    )
    head = a.text("reply-sign", do=do)
    season = (a.text("reply-sign-saved", text=saved), a.text("reply-sign-lost", text=lost))
    # A loose goal is a danger to people; no season hangs on it.
    hangs = () if code in a.k.topics["goals"].signs else season
    said = (head, a.text("reply-look", how=look), *hangs, a.text("reply-sign-of", sign=sign))
    return Reply(said, a.caution(row.cautions, row.cautions[0] if row.cautions else ""), code)


def _grown(a: About) -> out.Answer:
    """The part in which new grass grows; the first where none does."""
    for answer in a.parts:
        w = a.weighed(answer)
        if w is not None and w.draft.new_grass:
            return answer
    return a.parts[0]


def plan_b(a: About) -> Reply:
    """What to do if it fails: what it costs and when it can be done again, the next window, other ground."""
    of, about = a.slot("of").lower(), a.slot("about").lower()
    said: list[str] = []
    answer = a.parts[0]
    failures = a.advice.money.failure if a.advice.money is not None else []
    failed = [row for row in failures if row.zone == answer.zone] or failures
    if of == "washout":
        row = a.k.rescue["washout"]
        said.append(row.do)
    if of == "date":
        said += [a.advice.fate.text] if a.advice.fate is not None else [a.text("reply-no-date")]
        said += answer.meanwhile[:1]
    if "when" in about or "seen" in about:
        option = a.option(answer)
        if option is not None and option.germination is not None and option.germination.late:
            said.append(
                a.text("reply-failed-seen", where=a.where(answer.zone), day=a.day(option.germination.late))
            )
    said += [f"{a.where(row.zone)}{row.text}" for row in failed[:1]]
    if answer.window is not None:
        said.append(answer.window.text)
    if answer.instead:
        said.append(answer.instead)
    stopgap = a.advice.option(answer.stopgap)
    if stopgap is not None:
        said.append(a.text("reply-until-then", way=stopgap.title))
    if answer.better_than:
        said.append(answer.better_than)
    if of != "date":
        said += answer.meanwhile[:1]
    return Reply(
        tuple(dict.fromkeys(said)) or (a.text("reply-no-plan-b"),), a.caution([], "who-opens-and-closes")
    )


# ---------- whom to call ----------
def who_to_call(a: About) -> Reply:
    """The kind of person or office to call: never a name or a number."""
    code, row = topic_of(a, a.slot("about") or a.ask.words)
    if row is None:
        row = a.k.topics["adviser"]
        return Reply((a.text("reply-call", who=row.who), a.text("reply-call-no-names")))
    cautions = [a.tell.caution(each) for each in row.cautions]
    who = row.who or (cautions[0].who_decides if cautions else "")
    tasks = [task for task in a.advice.plan if task.template == code and task.done is None]
    said = [a.text("reply-call", who=who), *(task.text for task in tasks[:1])]
    if code == "hurt":
        return Reply((row.say,))
    return Reply((*said, a.text("reply-call-no-names")), a.mind(cautions[0]) if cautions else "")

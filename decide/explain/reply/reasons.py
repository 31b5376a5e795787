"""Answers on reasons: why and why not, two ways side by side, what if, what it would take, how sure, words,
sources. Each calls the explanation of that name and gives as much of its text as a reply has room for.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Sequence
from typing import Any, Final

from decide.answer.teller import lower_first
from decide.decision.rank import Weighed
from decide.engine.language import ADVERSE
from decide.explain.changes import KEYS, plain_key, value_of
from decide.explain.found import find, start_in
from decide.explain.how_sure import how_sure as whole_how_sure
from decide.explain.matters import matters_next
from decide.explain.meaning import meaning as word_meaning
from decide.explain.otherwise import read_otherwise
from decide.explain.reply.about import About, Reply, meant
from decide.explain.reply.work import tasks_of
from decide.explain.says_who import says_who as whole_says_who
from decide.explain.search import Goal
from decide.explain.what_if import what_if as whole_what_if
from decide.explain.why import better, passed
from decide.explain.why import why as whole_why
from decide.explain.why_not import why_not as whole_why_not
from decide.explain.would_take import would_take
from decide.knowledge.wording import ENGLISH
from decide.model import advice as out
from decide.model.words import capital
from decide.model.written import coded
from decide.questions.answers import as_answers

_SUPPOSED: Final = re.compile(
    r"\s*(?:and |but |so )?(?:what (?:if|happens (?:if|when))|suppose(?: that)?|if)\s+(?P<rest>.+)",
    re.IGNORECASE,
)
_NOT: Final = re.compile(r"\b(?:not|no|wrong|bad|against|stopping)\b|n't\b")
_CLAUSE: Final = re.compile(r"[,;.?!]|\b(?:if|when|because|since|while|although|though|and|but)\b")
_MINUS: Final = re.compile(r"(?<![\w.])-\d")
_PLACES: Final = {"first choice": 0, "second choice": 1}


# ---------- why ----------
def why(a: About) -> Reply:
    """Why the choice is the choice; why a way, a step or a day is as it is."""
    words = a.slot("option")
    zone = coded(a.parts[0].zone)
    if a.slot("over"):
        return compare(a, words or "first choice", a.slot("over"))
    if words in ("start date", "date", "start"):
        return _why_then(a)
    if words and not find(a.c, words).nothing:
        return _why_way(a, words)
    if words:
        task = _why_task(a, words)
        if task is not None:
            return task
    return _why_choice(a, a.parts[0], zone)


def _why_choice(a: About, answer: out.Answer, zone: str) -> Reply:
    """Why the choice of a part is its choice: what it does, what speaks for it, what is next best, on what it
    rests. From level 2 on the whole explanation.
    """
    found = whole_why(a.c, zone, a.level)
    option = a.option(answer)
    if a.level > 1 or option is None or answer.option is None:
        return Reply(_rows(a, found.text), "", found)
    essential = {name: place for place, name in enumerate(a.advice.essential)}
    speaks = [row for row in option.reasons if row.for_ and row.criterion in essential]
    best = sorted(speaks, key=lambda row: (row.grade != "strong", essential[row.criterion]))
    against = [row for row in option.reasons if not row.for_ and row.grade in ADVERSE]
    ground = [row.text for row in a.advice.diagnosis if row.zone == answer.zone]
    rests = (
        [a.text("reply-rests", verdict=a.k.language.verdict(option.verdict), what=answer.rests_on[0])]
        if answer.rests_on
        else []
    )
    return Reply(
        (
            f"{a.where(answer.zone)}{answer.text}",
            _verdict(a, option),
            *dict.fromkeys([*ground[:1], *(row.text for row in (*best[:2], *against[:1]))]),
            answer.better_than,
            *rests,
            *(row.text for row in best[2:]),
        ),
        "",
        found,
    )


def _verdict(a: About, option: out.Option) -> str:
    """The verdict, with what it rests on most where that is told."""
    verdict, why = capital(a.k.language.verdict(option.verdict)), lower_first(option.verdict_reason)
    return a.text("reply-verdict", verdict=verdict, why=why) if why else f"{verdict}."


def _rows(a: About, text: str, whole: bool = False) -> tuple[str, ...]:
    """The lines of an explanation; at level 1 without what stands under its points, unless `whole` is set."""
    rows = text.split("\n")
    kept = [row for row in rows if whole or a.level > 1 or not row.startswith("    ")]
    return tuple(kept)


def _why_way(a: About, words: str) -> Reply:
    """Why a way is chosen, or how it stands where it is not."""
    for answer in a.parts:
        w = a.way(answer, words)
        if w is not None and w is a.weighed(answer):
            return _why_choice(a, answer, coded(answer.zone))
    found = whole_why_not(a.c, words, coded(a.named.zone) if a.named is not None else None, a.level)
    return Reply(_rows(a, found.text), "", found, found.kind != "not-found")


def _why_then(a: About) -> Reply:
    """Why the work begins on its day."""
    for answer in a.parts:
        option = a.option(answer)
        if option is None or option.start is None:
            continue
        head = a.text("reply-why-then", where=a.where(answer.zone), day=a.day(option.start))
        grade = option.grades.get("ready-in-time")
        season = a.advice.season
        window = [
            a.text(
                "reply-start-window", name=row.name, quality=row.quality, days=a.days(row.opens, row.closes)
            )
            for row in (season.windows if season is not None else [])
            if row.opens <= option.start <= row.closes and row.grass == (option.code.split("/") + [""] * 4)[3]
        ]
        fate = [a.advice.fate.text] if a.advice.fate is not None else []
        place = option.grades.get("fits-place")
        reasons = [row.reason for row in (grade, place) if row is not None and row.reason]
        return Reply((head, *window[:1], *reasons, *fate), "", option)
    return Reply((a.text("reply-no-start", where=a.where(a.parts[0].zone), choice=a.parts[0].text),))


def _why_task(a: About, words: str) -> Reply | None:
    """Why a step is in the plan: what calls for it, and what sets its day."""
    for answer in a.parts:
        tasks = a.tasks(answer.zone, *tasks_of(a, words))
        if tasks:
            task = tasks[0]
            needs = [
                row.text
                for row in a.advice.needs
                if row.zone in (answer.zone, "") and _shared(row.code, task.template)
            ]
            head = a.text("reply-why-task", task=task.task, day=a.day(task.from_), why=task.why_then)
            return Reply((head, *needs[:1], task.text), a.of_tasks([task]), task)
    return None


def _shared(one: str, two: str) -> bool:
    small = {"the", "it", "a", "of", "with", "in", "new"}
    return bool(({*one.split("-")} & {*two.split("-")}) - small)


def why_not(a: About) -> Reply:
    """Why something is not the choice, or not then."""
    words = " ".join(each for each in (a.slot("option"), _then(a)) if each)
    if not words:
        return why(a)
    found = find(a.c, words)
    if found.nothing:
        shut = _why_shut(a, words)
        if shut is not None:
            return shut
    told = whole_why_not(a.c, words, coded(a.named.zone) if a.named is not None else None, a.level)
    return Reply(_rows(a, told.text), "", told, told.kind != "not-found")


def _then(a: About) -> str:
    """The start that is asked about: a day, months or a season in the clause of the question, in words that
    `find` reads.
    """
    for clause in filter(_NOT.search, _CLAUSE.split(a.ask.words.lower())):
        found = start_in(a.c, clause)
        if found.start is not None:
            return found.start.isoformat()
        if found.months:
            return " ".join(f"in {ENGLISH.month_name(month).lower()}" for month in found.months)
    return ""


def _why_shut(a: About, words: str) -> Reply | None:
    """Why nobody plays on it while it grows."""
    if not {"play", "use", "training", "growth", "open"} & set(words.replace("-", " ").split()):
        return None
    for answer in a.parts:
        option = a.option(answer)
        if option is not None and option.light_use is not None:
            head = a.text("reply-why-shut", where=a.where(answer.zone), days=a.range(option.light_use))
            return Reply(
                (head, a.text("reply-date-no-test")),
                a.caution(["tug-before-play"], "training-only-at-first"),
            )
    return None


def why_bare(a: About) -> Reply:
    """Why the ground is bare, how to be sure of it, and what brings it back."""
    for answer in a.parts:
        causes = [row for row in a.advice.causes if row.zone == answer.zone]
        if not causes:
            continue
        said = [f"{a.where(answer.zone)}{causes[0].text}"]
        asked = _asked_cause(a)
        if asked:
            held = [row for row in causes if row.code in asked]
            said = [
                f"{a.where(answer.zone)}{held[0].text}"
                if held
                else a.text("reply-cause-not-told", where=a.where(answer.zone)),
                *([said[0]] if not held else []),
            ]
            causes = held + [row for row in causes if row not in held]
        said += [a.text("reply-look", how=row.look_at) for row in causes[:1]]
        said += [row.bare_again_unless for row in causes[:1]]
        said += [row.text for row in causes[1:]]
        return Reply(tuple(said), "", causes)
    return Reply((a.text("reply-no-cause", where=a.where(a.parts[0].zone)),))


def _asked_cause(a: About) -> set[str]:
    """The causes that were named."""
    known = dict.fromkeys(a.k.causes, ())
    found = {meant(a.slot(name), dict(known)) for name in ("cause", "a", "b") if a.slot(name)}
    return {code for code in found if code}


# ---------- side by side ----------
def compare(a: About, one: str = "", two: str = "") -> Reply:
    """Two ways side by side in the part that is meant: the first place where they differ, money and dates."""
    one, two = one or a.slot("a"), two or a.slot("b")
    if not one or not two:
        return Reply((a.text("reply-compare-how"),), understood=False)
    water = [_water(a, words) for words in (one, two)]
    if all(water):
        now = value_of(as_answers(a.c.filled.situation), "means.water")
        other = whole_what_if(a.c, {"means.water": water[0] if now == water[1] else water[1]}, a.level)
        return Reply(tuple(_as_one(_rows(a, other.text, whole=True))), "", other)
    for answer in a.parts:
        zone = coded(answer.zone)
        found = [_placed(a, zone, words) for words in (one, two)]
        first, second = found
        if first is None or second is None:
            continue
        if first.draft.code == second.draft.code:
            return Reply((a.text("reply-same-option"),))
        told = better(a.c, first, second, a.level)
        rows = [row for w in (first, second) if (row := a.advice.option(w.draft.code)) is not None]
        ahead = next((text for w in found if w is not None and (text := passed(a.c, w))), "")
        sums = "\n".join(_side(a, row) for row in rows)
        return Reply((ahead, *_rows(a, told.text), sums) if not ahead else (ahead, sums), "", told)
    missing = [
        words for words in (one, two) if all(_placed(a, coded(each.zone), words) is None for each in a.parts)
    ]
    named = (missing or [two])[0].replace("-", " ")
    return Reply((a.text("reply-no-way", way=named),), understood=False)


def _water(a: About, words: str) -> str:
    """The means of watering that some words name; "" where they name none."""
    rows = [row for row in a.k.questions if row.key == "means.water"]
    return meant(words, {str(each.value): each.say for row in rows for each in row.choices})


def _placed(a: About, zone: str, words: str) -> Weighed | None:
    """An option by what it is called, or by its place: the choice, or the next best."""
    if words in _PLACES:
        chosen = a.c.chosen.get(zone)
        if chosen is None:
            return None
        return chosen.runner_up if _PLACES[words] else chosen.option or chosen.least_bad
    answer = next(each for each in a.advice.programme if coded(each.zone) == zone)
    return a.way(answer, words) if words and not find(a.c, words).nothing else None


def _side(a: About, row: Any) -> str:
    """An option with its money and its day of matches, as far as they are known."""
    price = (
        a.price(row.cost.low, row.cost.high, row.cost.currency)
        if row.cost is not None
        else a.text("reply-price-open")
    )
    late = row.full_play.late if row.full_play is not None else None
    ready = a.text("reply-matches-by", day=a.day(late)) if late else ""
    return a.text("reply-side", title=row.title, price=price, ready=ready)


# ---------- otherwise ----------
def what_if(a: About) -> Reply:
    """What other answers would change; what the situation has no key for is named, not guessed."""
    outside = {**(a.ask.slots.get("outside") or {}), **_passed_over(a)}
    said = [a.text("reply-outside", what=name.replace("_", " ").replace("-", " ")) for name in outside]
    changes = {} if _MINUS.search(a.ask.words) else _changes(a)
    if not changes:
        return Reply((*said, a.text("reply-what-if-how")), understood=bool(outside))
    told = whole_what_if(a.c, changes, a.level)
    return Reply((*said, *_as_one(_rows(a, told.text, whole=True))), "", told)


def _as_one(rows: Sequence[str]) -> Iterator[str]:
    """Lines of which each heading stands in one line with the single point under it."""
    waiting = ""
    for place, row in enumerate(rows):
        following = rows[place + 1 : place + 3]
        alone = row.endswith(":") and following and following[0].startswith("- ")
        if waiting and row.startswith("- "):
            yield f"{waiting} {row[2:]}{'' if row[-1] in '.:' else '.'}"
            waiting = ""
        elif alone and not (len(following) > 1 and following[1].startswith("- ")):
            waiting = row
        else:
            yield row


def _passed_over(a: About) -> dict[str, str]:
    """The parts of a supposition of which nothing was made: they are named, never passed over."""
    opened = _SUPPOSED.match(a.ask.words)
    if opened is None:
        return {}
    if _MINUS.search(a.ask.words):
        return {opened["rest"].strip(" ?!."): ""}
    read, changes = read_otherwise(a.c, opened["rest"]), a.ask.slots.get("changes") or {}
    return dict.fromkeys(read.unread, "") if set(changes) <= set(read.changes) else {}


def _changes(a: About) -> dict[str, Any]:
    """The changes that are asked for; those that count from what was told are counted."""
    answers = as_answers(a.c.filled.situation)
    found: dict[str, Any] = {}
    for key, value in (a.ask.slots.get("changes") or {}).items():
        if plain_key(key) not in KEYS:
            continue
        if isinstance(value, dict):
            counted = _counted(value, value_of(answers, key))
            if counted is not None:
                found[key] = counted
        else:
            found[key] = value
    return found


def _counted(change: dict[str, Any], now: Any) -> Any:
    """A change that counts from the answer before; None where there is none to count from."""
    if "without" in change:
        return [each for each in now or [] if each not in change["without"]]
    if "plus_days" in change:
        try:
            return (dt.date.fromisoformat(str(now)) + dt.timedelta(days=change["plus_days"])).isoformat()
        except ValueError:
            return None
    if "from" in change and "to" in change:
        return change["from"]
    if not isinstance(now, (int, float)) or isinstance(now, bool):
        return change.get("plus") if "plus" in change else None
    return now + change["plus"] if "plus" in change else now * change.get("times", 1)


def what_would_it_take(a: About) -> Reply:
    """The least change that makes a way sound."""
    words = " ".join(each for each in (a.slot("option"), a.slot("date")) if each)
    if not words or find(a.c, words).nothing:
        words = a.slot("option")
    if not words or find(a.c, words).nothing:
        shut = _why_shut(a, words or a.ask.words)
        return shut or Reply((a.text("reply-take-how"),), understood=False)
    goal: Goal = "advised" if a.slot("goal") == "advised" else "sound"
    told = would_take(a.c, words, coded(a.named.zone) if a.named is not None else None, goal, a.level)
    return Reply(_rows(a, told.text), "", told, told.kind != "not-found")


# ---------- how sure ----------
def how_sure(a: About) -> Reply:
    """How sure the choice and its date are: at the first level from what is there already, deeper or asked
    for whole by trying every missing answer.
    """
    if a.level > 1 or a.ask.slots.get("whole") is True:
        told = whole_how_sure(a.c, a.level, a.early)
        return Reply(_rows(a, told.text), "", told)
    sure = a.advice.sure
    said = [a.text(f"reply-sure-{sure.level}"), sure.why]
    for answer in a.parts:
        option = a.option(answer)
        if option is not None and option.odds is not None and option.odds.how == "replayed":
            odds = option.odds
            use = a.text("reply-use-training" if odds.use == "light use" else "reply-use-matches")
            said.append(
                a.text(
                    "reply-odds",
                    where=a.where(answer.zone),
                    use=use,
                    day=a.day(odds.by),
                    low=round(100 * min(odds.ready_least, odds.ready, odds.ready_most)),
                    high=round(100 * max(odds.ready_least, odds.ready, odds.ready_most)),
                )
            )
            said += [f"{capital(odds.note)}."] if odds.note else []
            break
    if a.advice.fate is not None:
        said.append(a.advice.fate.text)
    said.append(a.text("reply-sure-ranges"))
    return Reply(tuple(said), a.text("reply-sure-who"), sure)


def next_question(a: About) -> Reply:
    """What is worth finding out next; of a thing that is named, whether it could change the choice."""
    told = matters_next(a.c, a.asker, a.level)
    about = a.slot("about").replace("_", " ")
    rows = [
        row
        for row in told.missing
        if about and (about in row.key.replace("_", " ") or about in row.ask.lower())
    ]
    if rows:
        row = rows[0]
        word = {True: "yes", False: "no", None: "perhaps"}[row.changes_choice]
        return Reply((a.text(f"reply-matters-{word}"), row.ask), "", told)
    return Reply(_rows(a, told.text), "", told)


# ---------- words and sources ----------
def meaning(a: About) -> Reply:
    """What a word means, with its other names."""
    held = a.ask.slots.get("word")
    words = (
        [str(each) for each in held] if isinstance(held, (list, tuple)) else [a.slot("word") or a.ask.words]
    )
    words += [a.slot("b")] if a.slot("b") else []
    said = [text for word in words if (text := word_meaning(a.k, word)) is not None]
    return Reply(tuple(said) or (a.text("reply-no-word", word=words[0][:40]),), understood=bool(said))


def says_who(a: About) -> Reply:
    """The sources of a statement; of who decides, who does."""
    claim = a.slot("claim")
    if claim in ("opening", "closing", "who decides"):
        return Reply((a.text("reply-you-decide"),), a.caution([], "who-opens-and-closes"))
    if claim in ("law", "legal"):
        laws = [row for row in a.advice.cautions if "law" in f"{row.who_decides} {row.text}".lower()]
        laws.sort(key=lambda row: "law" not in row.code)
        return Reply(
            (a.text("reply-advice-not-law"), *(a.mind(row) for row in laws[1:])),
            a.mind(laws[0]) if laws else "",
        )
    zone = coded(a.named.zone) if a.named is not None else coded(a.parts[0].zone)
    if claim:
        topic = a.k.topics.get(claim)
        words = topic.cautions[0] if topic is not None and topic.cautions else claim
        told = whole_says_who(a.c, words, None, a.level)
        if told.found:
            return Reply(_rows(a, told.text, whole=True), "", told)
    told = whole_says_who(a.c, "", zone, a.level)
    return Reply((a.text("reply-sources"), *_rows(a, told.text, whole=True)), "", told)

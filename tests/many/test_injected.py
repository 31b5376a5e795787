"""What people write in free text stays text in what comes of it: lines and tables of a batch, the lesson, the talk, errors."""

from __future__ import annotations

import csv
import datetime as dt
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import html5lib
import pytest

from decide.explain import ask
from decide.lesson.dot import dot
from decide.lesson.page import lesson_page
from decide.lesson.story import story
from decide.many.line import LineJudge, Record, Setting
from decide.many.written import write
from decide.model.errors import DecideError
from decide.model.reading import situation_from_dict
from decide.model.words import printable
from decide.report.first_screen import first_screen
from decide.report.papers import PAPERS, paper
from decide.report.text import render

ATTACKS = (
    "<script>alert(1)</script>", "</title></style><img src=x onerror=alert(1)>", "=HYPERLINK(1)", "@SUM(1+1)*cmd|' /C x'!A0", "+1", "-1+1",
    "\x1b[31mred\x1b[0m\x07", "\x1b]0;title\x07", "\u202egpj.exe\u202c", "\u2066x\u2069\u200f", "x\r\nBEGIN:VEVENT\r\nSUMMARY:y\r\nEND:VEVENT",
    '"];a->b;[label="', "{{7*7}}{%x%}", "[x](javascript:alert(1))", "| a | b |\n|---|---|", "${jndi:x}", "\x00\x9b31m", "\ufeff＝1", "'; DROP TABLE x; --",
)  # fmt: skip
DAY = dt.date(2026, 7, 20)
UNSAFE = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff]")


def told(attack: str) -> dict[str, Any]:
    """A field with the attack in every free text that there is."""
    return {
        "place": {"name": attack, "region": attack, "country": "us", "latitude": 39.8, "longitude": -84.2},
        "dates": {"play_by": "2027-04-01"},
        "zone": [{"name": f"{attack} a", "bare_percent": 60}, {"name": f"b {attack}", "bare_percent": 20}],
        "use": [{"sport": "football"}],
        "done": [{"task": "mow", "date": "2026-07-01", "note": attack, "by": "owner", "zone": f"{attack} a"}],
        "seen": [{"sign": "washout", "date": "2026-07-10", "zone": f"b {attack}"}],
        "history": {"sown": [{"date": "2026-05-01", "zone": f"{attack} a"}]},
        "proposal": [{"step": "sow", "start": "2026-09-01", "zone": f"{attack} a"}],
    }


def texts(held: Any) -> Iterator[str]:
    """All texts of some JSON."""
    if isinstance(held, str):
        yield held
    for each in held.values() if isinstance(held, dict) else held if isinstance(held, list) else ():
        yield from texts(each)


@pytest.fixture(scope="module")
def judge() -> Iterator[LineJudge]:
    made = LineJudge(Setting(DAY, engines="plain"))
    yield made
    made.close()


@pytest.mark.slow
@pytest.mark.parametrize("number", range(len(ATTACKS)))
def test_a_free_text_is_only_words_wherever_it_comes_out(
    judge: LineJudge, tmp_path: Path, number: int
) -> None:
    attack = ATTACKS[number]
    table = told(attack)
    line = judge(Record(1, json.dumps({"id": attack, **table}).encode()))
    row = json.loads(line)
    assert row["ok"], row
    assert line.count(b"\n") == 1
    assert not [text for text in texts(row) if UNSAFE.search(text)]
    _in_a_table(line, tmp_path)
    table["dates"]["today"] = DAY.isoformat()
    c = judge.adviser.consult(situation_from_dict(table))
    advice = judge.adviser.advice(c)
    plain = [render(advice), first_screen(advice, judge.adviser.knowledge, naming="command", width=80)]
    plain += [ask(c, said).text for said in ("why", f"why not sod on {attack}", attack, f"what is {attack}")]
    plain += [paper(kind, advice, full=kind in ("page", "notes"), name=attack) for kind in PAPERS]
    for text in plain:
        assert not UNSAFE.search(text.lstrip("\ufeff").replace("\r\n", "\n")), text[:300]
    _in_a_page(paper("page", advice, full=True))
    _in_a_page(lesson_page(story(c)))
    assert not UNSAFE.search(dot(story(c)))


def _in_a_table(line: bytes, folder: Path) -> None:
    (folder / "lines").write_bytes(line)
    write(folder / "lines", folder / "out.csv", "csv")
    with (folder / "out.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.reader(file))
    assert len(rows) == 2
    assert len(rows[0]) == len(rows[1])
    for cell in rows[1]:
        assert not UNSAFE.search(cell)
        assert cell.strip()[:1] not in tuple("=+-@＝＋－＠\t\r\n") or re.fullmatch(r"-?[\d.]+", cell), cell


def _in_a_page(page: str) -> None:
    assert not UNSAFE.search(page)
    parsed = html5lib.parse(page, namespaceHTMLElements=False)
    for element in parsed.iter():
        assert element.tag not in ("script", "img", "iframe", "object", "embed", "link", "form"), element.tag
        for name, value in element.attrib.items():
            assert not name.startswith("on"), name
            assert "javascript:" not in value.lower()


@pytest.mark.parametrize("attack", ATTACKS)
def test_what_is_wrong_is_said_in_words_that_a_terminal_shows(judge: LineJudge, attack: str) -> None:
    for table in (
        {attack: 1},
        {"means": {"water": attack}},
        {"zone": [{"name": "a", attack: 1}]},
        {"field": {"soil": attack}},
    ):
        with pytest.raises(DecideError) as caught:
            situation_from_dict(table, name=attack)
        assert not UNSAFE.search(str(caught.value))
        row = json.loads(judge(Record(1, json.dumps({"id": attack, **table}).encode())))
        assert row["ok"] is False
        assert not [text for text in texts(row) if UNSAFE.search(text)]
    assert printable(str(DecideError(attack, where=attack, instead=attack))) == str(DecideError(attack, where=attack, instead=attack)).replace("\n", " ")  # fmt: skip

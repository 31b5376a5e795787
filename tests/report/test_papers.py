"""The papers together: none says less of dangers, cautions and needs than another; files are written whole or not at all."""

from __future__ import annotations

import csv
import io
import os
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import html5lib
import pytest
import vobject
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from papers_samples import FULL, HOSTILE, flat, renamed

from decide.answer.assemble import advice_of
from decide.model.advice import Advice
from decide.report.papers import PAPERS, PaperError, check_places, paper, shown, write_papers
from decide.report.text import render
from tests.shared import BANK, case_codes, consulted

ROOT = Path(__file__).parents[2]
SOME = ("york-school-closed-summer", "uk-worn-crown-and-dish", "au-melbourne-oval-change")


def heard(text: str) -> str:
    body = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text).find("body")
    assert body is not None
    return flat("".join(f"{part} " if part.endswith((".", ":")) else part for part in body.itertext()))


def noted(text: str) -> str:
    tokens = MarkdownIt("commonmark").enable("table").parse(text)
    return flat(" ".join("".join(child.content for child in token.children or []) for token in tokens))


def whole_papers(advice: Advice) -> dict[str, str]:
    """The words of each paper as its reader gets them."""
    events = vobject.readOne(paper("calendar", advice)).contents.get("vevent", [])
    rows, bought = (
        csv.reader(io.StringIO(paper(kind, advice).removeprefix("\ufeff"), newline=""), strict=True)
        for kind in ("tasks", "shopping")
    )
    return {
        "text": flat(render(advice, depth="full", width=2000, plain=True)), "page": heard(paper("page", advice)), "notes": noted(paper("notes", advice, full=True)),
        "calendar": flat(" ".join(event.description.value for event in events)), "tasks": flat(" ".join(cell for row in rows for cell in row)),
        "shopping": flat(" ".join(cell for row in bought for cell in row)), "json": flat(" ".join(_strings(advice.as_dict()))),
    }  # fmt: skip


def _strings(held: object) -> Iterator[str]:
    if isinstance(held, str):
        yield held
    elif isinstance(held, dict | list):
        for each in held.values() if isinstance(held, dict) else held:
            yield from _strings(each)


def wanted(advice: Advice) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """What must stand where: why, the words, and the papers that must have them."""
    everywhere = ("text", "page", "notes", "calendar", "tasks")
    every_form = (*everywhere, "json")
    if advice.fate is not None:
        yield "the fate of the date", advice.fate.text, every_form
    for answer in advice.programme:
        for option in [
            advice.option(code) for code in (answer.stopgap, answer.option, answer.least_bad) if code
        ]:
            yield from (
                # What is bought hangs on it too.
                ("rests on", condition, (*every_form, "shopping"))
                for condition in (option.rests_on if option else [])
            )
        yield from (("meanwhile", text, every_form) for text in answer.meanwhile)
        yield "the other side of the trade", answer.instead, every_form
        yield "next window", answer.window.text if answer.window is not None else "", every_form
    for doing in advice.today:
        yield "today", doing.text, everywhere
        yield (
            "who decides today",
            f"Who decides: {doing.who_decides}" if doing.who_decides else "",
            everywhere,
        )
    for row in advice.cautions:
        yield f"caution {row.code}", row.text, everywhere
        yield f"who decides of {row.code}", f"Who decides: {row.who_decides}", everywhere
    for need in advice.needs:
        yield f"need {need.code}", need.text, everywhere[:3]
    for task in advice.plan:
        yield f"task {task.code}", task.task, everywhere[:3]
        # The text, the notes and the calendar say of what is done only that it is done.
        yield f"how of {task.code}", task.text, ("page", "tasks") if task.done else everywhere
    yield (
        "what rules over it",
        "The label, local law and licensed people rule over this page.",
        (*everywhere, "shopping"),
    )
    yield from wanted_to_buy(advice)
    for seen in advice.signs_seen:
        yield f"to do about {seen.sign}", seen.do, everywhere[:3]
    for gate in advice.open_now:
        yield from (("keeps it shut", because, everywhere[:3]) for because in gate.because)
    for unknown in advice.money.unknown if advice.money else []:
        yield "no price", unknown, everywhere[:3]
    for row in [row for row in advice.sources if row.title]:
        yield f"source {row.key}", row.title, everywhere[:3]


def wanted_to_buy(advice: Advice) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    for bought in advice.shopping:
        yield f"to buy {bought.code}", bought.how, ("text", "page", "notes", "shopping")
        for row in [row for row in advice.cautions if row.code in bought.cautions]:
            yield f"caution of {bought.code}", f"{row.text} Who decides: {row.who_decides}", ("shopping",)


def missing(advice: Advice) -> list[str]:
    papers = whole_papers(advice)
    return [
        f"{name}: {why}: {words}"
        for why, words, names in wanted(advice)
        for name in names
        if flat(words) not in papers[name]
    ]


def unsaid_beside(advice: Advice) -> list[str]:
    """Cautions of a task that do not stand whole, with who decides, in the event and in the row that hold it."""
    cautions = {row.code: row for row in advice.cautions}
    events = vobject.readOne(paper("calendar", advice)).contents.get("vevent", [])
    texts = [flat(event.description.value) for event in events]
    rows = list(csv.DictReader(io.StringIO(paper("tasks", advice).removeprefix("\ufeff"), newline="")))
    gone = []
    for task in advice.plan:
        held = [text for text in texts if flat(task.task) in text and (task.done or flat(task.text) in text)]
        beside = [
            flat(row["Take care, and who decides"])
            for row in rows
            if row["Date"] == task.from_ and row["What"].lstrip("'") == task.task
        ]
        for code in task.cautions:
            row = cautions[code]
            said = flat(f"{row.text} Who decides: {row.who_decides}")
            if not any(said in text for text in held) or not any(said in text for text in beside):
                gone.append(f"{task.code}: {code}")
    return gone


# ---------- none says less than another ----------
def _sampled() -> list[object]:
    return [
        pytest.param(code, marks=() if code in SOME else BANK)
        for n, code in enumerate(case_codes())
        if code in SOME or n % 9 == 0
    ]


@pytest.mark.slow
@pytest.mark.parametrize("code", _sampled())
def test_no_paper_of_a_case_says_less(code: str) -> None:
    advice = advice_of(consulted(code))
    assert missing(advice) == []
    assert unsaid_beside(advice) == []


def test_no_paper_of_the_sample_says_less() -> None:
    assert missing(FULL) == []
    assert unsaid_beside(FULL) == []


@pytest.mark.slow
@settings(max_examples=15, deadline=None)
@given(
    name=st.one_of(st.sampled_from(HOSTILE), st.text(min_size=1, max_size=30)), on=st.sets(st.sampled_from([row.code for row in FULL.cautions])),
    today=st.booleans(), plan=st.integers(0, 7), parts=st.integers(0, 3),
)  # fmt: skip
def test_no_paper_says_less_whatever_is_in_the_advice(
    name: str, on: set[str], today: bool, plan: int, parts: int
) -> None:
    whole = renamed(name)
    advice = whole.model_copy(update={
        "plan": [task.model_copy(update={"cautions": sorted(on)}) for task in whole.plan[:plan]], "today": whole.today if today else [], "programme": whole.programme[:parts],
    })  # fmt: skip
    assert missing(advice) == []
    assert unsaid_beside(advice) == []


def test_a_section_that_goes_is_missed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("decide.report.sections.cautions.everything", lambda told: iter(()))
    monkeypatch.setattr("decide.report.sections.behind._dangers", lambda told: ())
    monkeypatch.setattr("decide.report.ics._Diary._today", lambda self, notes: iter(()))
    monkeypatch.setattr("decide.report.csv_tables._cautions", lambda told, codes: "")
    lost = missing(FULL)
    assert "page: caution buried-lines: Have pipes and cables marked. Then dig." in lost
    assert "calendar: today: Shut the field today." in lost
    assert "tasks: caution mower: Guards on. Engine off before you clear it." in lost
    assert unsaid_beside(FULL) == [
        "mark-services/field: buried-lines",
        "lay-sod/goalmouth: sod-weight",
        "lay-sod/goalmouth: buried-lines",
        "mow/goalmouth: mower",
        "feed/goalmouth: feed-law",
    ]


# ---------- files ----------
def test_all_papers_are_written_and_replaced(tmp_path: Path) -> None:
    paths = {kind: str(tmp_path / f"{kind}.é x") for kind in PAPERS}
    (tmp_path / "page.é x").write_text("before")
    os.chmod(tmp_path / "page.é x", 0o640)
    assert write_papers(FULL, None, paths) == list(paths.values())
    for kind, path in paths.items():
        assert Path(path).read_bytes() == paper(kind, FULL, name=Path(path).stem).encode()
    assert stat.S_IMODE(os.stat(paths["page"]).st_mode) == 0o640
    assert sorted(os.listdir(tmp_path)) == sorted(Path(path).name for path in paths.values())


def test_a_link_is_followed_and_stays(tmp_path: Path) -> None:
    (tmp_path / "real.md").write_text("before")
    (tmp_path / "link.md").symlink_to("real.md")
    write_papers(FULL, None, {"notes": str(tmp_path / "link.md")})
    assert (tmp_path / "link.md").is_symlink()
    assert (tmp_path / "real.md").read_text(encoding="utf-8").startswith("# For the committee: Galway")


def test_one_bad_place_and_no_file_changes(tmp_path: Path) -> None:
    (tmp_path / "page.html").write_text("before")
    with pytest.raises(PaperError, match="folder"):
        write_papers(FULL, None, {"page": str(tmp_path / "page.html"), "notes": str(tmp_path)})
    assert (tmp_path / "page.html").read_text() == "before"
    assert os.listdir(tmp_path) == ["page.html"]


@pytest.mark.parametrize(
    ("path", "said"),
    [
        (".", "this is a folder"), ("none/field.html", "there is no folder"), ("a-file/field.html", "cannot be written"), ("fifo", "not a plain file"), ("", "not a file's name"),
        ("nul\0", r"nul\\x00"), ("x" * 300, "file name too long"), ("none/\x1b[31m\u202e", r"\\x1b\[31m\\u202e"), ("loop", "cannot be written"),
    ],
)  # fmt: skip
def test_a_place_that_will_not_do_is_named(
    path: str, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "a-file").write_text("")
    (tmp_path / "loop").symlink_to("loop")
    os.mkfifo(tmp_path / "fifo")
    with pytest.raises(PaperError, match=said) as caught:
        check_places({"page": path})
    assert "\x1b" not in str(caught.value)
    assert "\u202e" not in str(caught.value)


def test_no_file_is_written_twice_or_over_the_answers(tmp_path: Path) -> None:
    one = str(tmp_path / "one")
    with pytest.raises(PaperError, match="the file of the page already"):
        check_places({"page": one, "notes": str(tmp_path / "." / "one")})
    with pytest.raises(PaperError, match="the situation file already"):
        check_places({"page": one}, one)


def test_a_path_is_shown_as_it_can_be_printed() -> None:
    assert shown("/a/é 日.html") == "/a/é 日.html"
    assert shown("a\x1b\n\u202e\udcff") == r"a\x1b\n\u202e\udcff"


# ---------- the command ----------
SMALL = '[place]\nname = "York"\ncountry = "gb"\n[dates]\ntoday = 2026-05-12\n[[zone]]\nname = "=north <b>"\nbare_percent = 30\narea_m2 = 200\n'


def decide(*words: str, cwd: Path) -> subprocess.CompletedProcess[bytes]:
    code = f"import sys; sys.path.insert(0, {str(ROOT)!r}); import runpy; runpy.run_module('decide', run_name='__main__', alter_sys=True)"
    return subprocess.run(
        [sys.executable, "-c", code, *words], input=SMALL.encode(), capture_output=True, cwd=cwd, check=False
    )


@pytest.mark.slow
def test_all_of_them_at_once_with_json(tmp_path: Path) -> None:
    names = {
        "--page": "f.html",
        "--notes": "f.md",
        "--calendar": "f.ics",
        "--tasks": "t.csv",
        "--shopping": "s.csv",
    }
    done = decide(
        "advise",
        "-",
        "--quick",
        "--engine",
        "plain",
        "--json",
        "--all",
        *[word for pair in names.items() for word in pair],
        cwd=tmp_path,
    )
    assert done.returncode == 0, done.stderr
    advice = Advice.model_validate_json(done.stdout)
    assert done.stderr.decode().splitlines() == [f"Written: {name}" for name in names.values()]
    for option, name in names.items():
        text = paper(option[2:], advice, name=Path(name).stem)  # type: ignore[arg-type]
        assert (tmp_path / name).read_bytes() == text.encode()
    html5lib.HTMLParser(strict=True).parse((tmp_path / "f.html").read_text(encoding="utf-8"))


@pytest.mark.slow
def test_a_hyphen_is_standard_output(tmp_path: Path) -> None:
    done = decide("advise", "-", "--quick", "--engine", "plain", "--notes", "-", cwd=tmp_path)
    assert done.returncode == 0
    assert done.stdout.startswith(b"# For the committee: York, 12 May 2026\n")
    assert os.listdir(tmp_path) == []


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--notes", "-", "--json"], "only one of --notes and --json"), (["--notes", "-", "--page", "-"], "only one of --page and --notes"), (["--notes"], "--notes needs a word"),
        (["--page", "."], ".: this is a folder. Name a file"), (["--page", "no/f.html"], "there is no folder"), (["--pages", "f"], "'--page'"),
    ],
)  # fmt: skip
def test_wrong_use_says_what_to_write_before_any_work(words: list[str], said: str, tmp_path: Path) -> None:
    done = decide("advise", "-", *words, cwd=tmp_path)
    assert done.returncode == 2
    assert done.stdout == b""
    assert said in done.stderr.decode()
    assert done.stderr.count(b"\n") == 1
    assert os.listdir(tmp_path) == []


@pytest.mark.slow
def test_the_libraries_of_the_papers_load_only_where_a_paper_is_made() -> None:
    # By hand: the text for a screen needs neither templates nor calendars, and a version needs neither.
    script = (
        "import sys; sys.argv = ['decide', '--version']\n"
        "import decide, decide.__main__ as entry, decide.report.text\nentry.main()\n"
        "print([name for name in ('jinja2', 'icalendar') if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[-1] == "[]"

"""The worked examples run, and show what they say that they show."""

from __future__ import annotations

import asyncio
import csv
import datetime as dt
import io
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from decide import Adviser, EngineError, open_talk, situation_from_dict
from tests.examples import asynchronous, batch, embedding

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "knowledge" / "demo.toml"
TODAY = dt.date(2026, 5, 12)


@pytest.mark.slow
def test_objects_of_another_program_become_advice(adviser: Adviser) -> None:
    lines = list(embedding.report(embedding.GROUND, adviser))
    assert [line.partition(":")[0] for line in lines[:2]] == ["goalmouths", "wings"]
    assert "May 2026" in lines[2]
    assert lines[3].startswith("Goalmouths: ")
    assert lines[4].startswith("To ask first: ")
    assert lines[5].startswith("To ask then: ")
    assert lines[4].partition(": ")[2] != lines[5].partition(": ")[2]


def test_many_files_give_a_row_for_each_part_and_say_what_is_wrong(tmp_path: Path, adviser: Adviser) -> None:
    (tmp_path / "demo.toml").write_bytes(DEMO.read_bytes())
    (tmp_path / "wrong.toml").write_text("[place]\nnaem = 'York'\n", encoding="utf-8")
    rows = [dict(zip(batch.HEADER, row, strict=True)) for row in batch.rows(tmp_path, adviser)]
    assert [(row["file"], row["zone"]) for row in rows] == [
        ("demo.toml", "goalmouths"), ("demo.toml", "middle"), ("demo.toml", "wings"), ("wrong.toml", ""),
    ]  # fmt: skip
    begun = [dt.date.fromisoformat(row["start"]) for row in rows if row["start"]]
    assert begun
    assert "Write 'name'?" in rows[3]["wrong"]


@pytest.mark.slow
def test_the_batch_is_a_command(tmp_path: Path) -> None:
    (tmp_path / "demo.toml").write_bytes(DEMO.read_bytes())
    done = subprocess.run(
        [sys.executable, str(ROOT / "tests" / "examples" / "batch.py"), str(tmp_path)],
        capture_output=True, text=True, check=True, cwd=ROOT, env={"PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert [row["zone"] for row in csv.DictReader(io.StringIO(done.stdout))] == [
        "goalmouths",
        "middle",
        "wings",
    ]


def test_a_web_form_gives_a_page_or_says_what_is_wrong_beside_its_field(adviser: Adviser) -> None:
    pytest.importorskip("flask", reason="the web form needs flask, of the extra `test`")
    from tests.examples import web_form

    client = web_form.create_app(adviser, lambda: TODAY).test_client()
    assert b'name="place.name"' in client.get("/").data
    good = client.post("/", data={"place.name": "York", "place.country": "gb", "field.bare_percent": "60"})
    assert good.status_code == 200
    assert good.text.startswith("<!DOCTYPE html>")
    assert "York, 12 May 2026" in good.text
    bad = client.post("/", data={"place.name": "<b>", "dates.play_by": "12/6", "field.bare_percent": "400"})
    assert bad.status_code == 400
    assert "Write it as 2026-05-20" in bad.text
    assert "It is at most 100" in bad.text
    assert "&lt;b&gt;" in bad.text
    assert "<b>" not in bad.text


def test_a_fault_that_is_not_the_visitors_shows_no_inside_of_the_program(adviser: Adviser) -> None:
    pytest.importorskip("flask", reason="the web form needs flask, of the extra `test`")
    from tests.examples import web_form

    class Broken:
        def advise(self, situation: object) -> None:
            raise EngineError("the engines differ", where="/secret/place")

    client = web_form.create_app(Broken(), lambda: TODAY).test_client()  # type: ignore[arg-type]
    told = client.post("/", data={"place.name": "York"})
    assert told.status_code == 503
    assert "secret" not in told.text
    assert "engines" not in told.text
    assert client.post("/", data={"place.name": "x" * 30_000}).status_code == 413
    for answer in (told, client.get("/")):
        assert "default-src 'none'" in answer.headers["Content-Security-Policy"]


@pytest.mark.slow
def test_requests_at_once_get_what_they_get_one_after_another(adviser: Adviser) -> None:
    pytest.importorskip("flask", reason="the web form needs flask, of the extra `test`")
    from tests.examples import web_form

    app = web_form.create_app(adviser, lambda: TODAY)

    def post(town: str) -> str:
        return (
            app.test_client()
            .post("/", data={"place.name": town, "place.country": "gb", "field.bare_percent": "60"})
            .text
        )

    towns = ("York", "Leeds", "<b>")
    alone = {town: post(town) for town in towns}
    with ThreadPoolExecutor(6) as pool:
        assert list(pool.map(post, towns * 2)) == [alone[town] for town in towns * 2]


def test_an_asynchronous_program_gets_the_lines_in_order(adviser: Adviser) -> None:
    lines = asyncio.run(asynchronous.report(adviser))
    assert [line.partition(":")[0] for line in lines] == [town for town, _ in asynchronous.TOWNS]
    assert (
        lines[0]
        == f"York: {adviser.advise(situation_from_dict({'place': {'name': 'York', 'country': 'gb'}, 'dates': {'today': TODAY}, 'field': {'bare_percent': 60}})).choice().text}"
    )


@pytest.mark.slow
def test_the_talk_is_held_without_a_terminal() -> None:
    talk = open_talk(TODAY)
    assert talk.prompt().text == "Tell me about your field."
    talk.hear("ask me")
    assert talk.prompt().text == "Which town is the field in or near?"
    talk.hear("York")
    assert talk.prompt().choices[0] == "York, England, United Kingdom"
    talk.hear("1")
    assert talk.answers["place"]["name"] == "York"
    assert talk.prompt().text != "Which town is the field in or near?"
    talk.hear("advise me now")
    assert Adviser.advice(talk.advice).choice().zone == "whole field"

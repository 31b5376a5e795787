"""Questions about the advice in the talk reach the explanations of the library."""

from __future__ import annotations

import pytest

from decide.knowledge.load import knowledge_folder
from decide.model.reading import read_situation
from decide.parse.heard import Ask
from decide.questions.answers import as_answers
from decide.shell.library import tools_of


@pytest.mark.slow
def test_the_library_answers() -> None:
    situation = read_situation((knowledge_folder() / "demo.toml").read_bytes())
    assert situation.dates.today is not None
    tools = tools_of(knowledge_folder(), situation.dates.today)
    judged = tools.advise(as_answers(situation), "metric")
    asked = Ask("what_if", "what if we had no water", {"changes": {"means.water": "none"}})
    assert "water" in tools.reply(judged, asked)
    assert len(tools.reply(judged, Ask("when_can_we_play", "when can we play")).splitlines()) <= 8
    assert "sod" in tools.reply_early(Ask("meaning", "what is sod", {"word": "sod"})).lower()

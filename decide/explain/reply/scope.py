"""Answers to what is outside: declined politely, with what can be done instead; where somebody is hurt, the
emergency call comes first.
"""

from __future__ import annotations

from decide.explain.reply.about import About, Reply
from decide.explain.reply.safety import topic_of


def out_of_scope(a: About) -> Reply:
    """What is not done here, and what is done instead."""
    topic, instead = a.slot("topic"), a.slot("instead")
    for said in (topic, a.ask.words):
        code, row = topic_of(a, said)
        if code == "hurt" and row is not None:
            return Reply((row.say,))
    said = a.text("reply-scope", topic=topic or a.ask.words[:60])
    return Reply((said, a.text("reply-scope-instead", instead=instead.rstrip("."))) if instead else (said,))

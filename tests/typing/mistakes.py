"""What the types refuse: each line that ends in a mark must be an error of that kind, and no other line."""

from __future__ import annotations

import datetime as dt

import decide
from decide import Adviser, advise, next_question, paper, read_knowledge, read_situation, situation_from_dict

knowledge = read_knowledge()
decide.no_such_name  # noqa: B018 # E: attr-defined
adviser = Adviser(knowledge)
situation = read_situation("")
advice = adviser.advise(situation)

read_situation(1)  # E: arg-type
situation_from_dict("place")  # E: arg-type
Adviser("knowledge")  # E: arg-type
Adviser(knowledge, "durable")  # E: arg-type
advise(situation, knowledge, system="imperial")  # E: arg-type
adviser.advise({"place": {"name": "York"}})  # E: arg-type
adviser.advise(situation, "metric")  # E: call-arg
paper("poster", advice)  # E: arg-type
paper("page", situation)  # E: arg-type
next_question(adviser, {}, "2026-05-12")  # E: arg-type
title = advice.option(advice.choice().option).title  # E: union-attr
day: dt.date = advice.plan[0].date("from_")  # E: assignment
key = advice.programme[0].no_such_key  # E: attr-defined

"""What the figures should come to, each beside the key of its row; and which rows the README shows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from tests.bench.rows import Aim

# Growth is linear where four times the work takes four times as long; a twentieth is what a clock cannot tell.
_LINEAR: Final = Aim(1.05)

AIMS: Final[Mapping[str, Aim]] = {
    "engines.ours": Aim(1.0, times="engines.generated-stratum", called="generated"),
    "engines.ours-rows": Aim(1.0, times="engines.generated-three", called="generated, three values"),
    "engines.clips-fields": Aim(1.0, times="engines.ours", called="ours", least=True),
    "engines.clips-text": Aim(1.0, times="engines.ours", called="ours", least=True),
    "engines.clips-could": Aim(1.0, times="engines.ours-rows", called="ours, every row", least=True),
    "engines.durable": Aim(1.0, times="engines.ours", called="ours", least=True),
    "growth.rules-ours": _LINEAR,
    "growth.options-ours": _LINEAR,
    "zones.16": Aim(16, times="zones.1", called="1 part"),
    "zones.last": _LINEAR,
    "memory.plain": Aim(1.05),
    "memory.both": Aim(1.05),
    "consult.both": Aim(1.3, times="consult.plain", called="plain"),
    "consult.trials": Aim(200),
    "consult.windows": Aim(1.0, times="consult.plain", called="plain"),
    "consult.json": Aim(15),
    "commands.knowledge": Aim(60),
    "commands.advise": Aim(700),
    "commands.bytes": Aim(300),
    "talk.longest": Aim(300),
    "talk.read-longest": Aim(300),
    "talk.sure-first": Aim(300),
    "talk.sure": Aim(1_000),
    "talk.matters": Aim(40, times="consult.plain", called="plain"),
    "talk.take": Aim(120, times="consult.plain", called="plain"),
    "many.fields": Aim(12, least=True),
    "many.cores": Aim(1.8, least=True),
}

IN_README: Final[Sequence[str]] = (
    "engines.ours",
    "engines.generated-stratum",
    "engines.clips-fields",
    "commands.advise",
    "talk.longest",
    "many.fields",
)

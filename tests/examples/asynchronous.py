"""Many fields at once from an asynchronous program: judging takes the processor, so it is done in threads and never in the event loop.

python tests/examples/asynchronous.py
"""

from __future__ import annotations

import asyncio
import datetime as dt
from collections.abc import Sequence

from decide import Adviser, SituationError, read_knowledge, situation_from_dict

# More at once only take memory: threads of one process share one processor.
AT_ONCE = 4
TODAY = dt.date(2026, 5, 12)
TOWNS = (("York", "gb"), ("Dayton", "us"), ("no such town at all", "gb"), ("Perth", "au"))


async def advised(adviser: Adviser, town: str, country: str, room: asyncio.Semaphore) -> str:
    """A line on the field of a town, or what is wrong."""
    told = {
        "place": {"name": town, "country": country},
        "dates": {"today": TODAY},
        "field": {"bare_percent": 60},
    }
    try:
        async with room:
            advice = await asyncio.to_thread(adviser.advise, situation_from_dict(told))
    except SituationError as error:
        return f"{town}: {error}"
    return f"{town}: {advice.choice().text}"


async def report(adviser: Adviser, towns: Sequence[tuple[str, str]] = TOWNS) -> list[str]:
    """A line for each town, in their order."""
    room = asyncio.Semaphore(AT_ONCE)
    return await asyncio.gather(*(advised(adviser, *town, room) for town in towns))


def main() -> None:
    adviser = Adviser(read_knowledge())
    print("\n".join(asyncio.run(report(adviser))))
    adviser.close()


if __name__ == "__main__":
    main()

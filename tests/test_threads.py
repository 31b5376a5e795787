"""Many at once: one adviser used by threads and by an asynchronous program gives the bytes that it gives one after another."""

from __future__ import annotations

import asyncio
import sys
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from decide.consult import Adviser
from decide.engine.judge import engines_at_hand
from decide.facts.library import SEASONS_KEPT, Library
from decide.measure.places import Tables
from tests.shared import case_of, knowledge

# Cases that are judged in a blink, at more places than an adviser keeps, with zones, signs, steps and young turf.
QUICK = (
    "life-ohio-crabgrass-in-may", "step-danger-needles", "step-soil-rich-in-phosphorus", "uk-own-ideas-ground",
    "ws-izmir-paspalum-winter-grass", "za-ladysmith-kikuyu-oversown", "life-kansas-many-signs", "step-goals-not-anchored",
    "ongoing-sod-in-january", "za-bloemfontein-kikuyu-waking", "life-boise-counted", "na-boston-shade", "ongoing-young-turf-passes",
)  # fmt: skip
WHOLE = (
    *QUICK,
    "na-maryland-other-sprays",
    "step-law-vermont",
    "us-burlington-soil-test-too-old",
    "na-madison-bluegrass-in-six-weeks",
)
THREADS, ADVICES = 8, 100


@pytest.fixture(autouse=True)
def hasty() -> Iterator[None]:
    """Threads are changed so often that whatever can come between does."""
    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-5)
    yield
    sys.setswitchinterval(before)


def advice(adviser: Adviser, code: str) -> str:
    return adviser.advise(case_of(code).situation).as_json()


def one_after_another(codes: tuple[str, ...]) -> dict[str, str]:
    adviser = Adviser(knowledge())
    found = {code: advice(adviser, code) for code in codes}
    adviser.close()
    return found


def many(codes: tuple[str, ...], number: int = ADVICES) -> list[str]:
    return [codes[n % len(codes)] for n in range(number)]


def in_threads(adviser: Adviser, codes: list[str]) -> list[str]:
    with ThreadPoolExecutor(THREADS) as pool:
        return list(pool.map(lambda code: advice(adviser, code), codes))


@pytest.fixture(scope="module")
def quick() -> dict[str, str]:
    return one_after_another(QUICK)


def test_the_cases_here_are_of_more_places_than_are_kept() -> None:
    assert len({case_of(code).situation.place.name for code in QUICK}) > SEASONS_KEPT


@pytest.mark.slow
def test_threads_give_the_same_bytes(quick: dict[str, str]) -> None:
    adviser = Adviser(knowledge())
    assert adviser.judge.names == engines_at_hand()
    codes = many(QUICK, 4 * THREADS)
    assert in_threads(adviser, codes) == [quick[code] for code in codes]
    adviser.close()


@pytest.mark.slow
def test_a_hundred_at_once_from_an_asynchronous_program(quick: dict[str, str]) -> None:
    adviser, codes = Adviser(knowledge()), many(QUICK)

    async def all_at_once() -> list[str]:
        return await asyncio.gather(*(asyncio.to_thread(advice, adviser, code) for code in codes))

    assert asyncio.run(all_at_once()) == [quick[code] for code in codes]
    adviser.close()


class _Slow(dict[Any, Any]):
    """A table that lets another thread come in between finding the oldest row and throwing it away."""

    def __iter__(self) -> Iterator[Any]:
        found = [*super().__iter__()]
        time.sleep(0.001)
        return iter(found)


def test_seasons_are_kept_and_thrown_away_by_many_threads_at_once(tables: Tables) -> None:
    """More places than are kept, asked for in another order by each thread."""
    climates = [tables.cell_climate_at(latitude, 10.0) for latitude in range(42, 42 + SEASONS_KEPT + 2)]
    library = Library(knowledge())
    library._seasons = _Slow()

    def ask(start: int) -> bool:
        asked = [climates[(start * 3 + n * (1 + start % 3)) % len(climates)] for n in range(25)]
        return all(library.season(climate, None, None).site.climate == climate for climate in asked)

    with ThreadPoolExecutor(THREADS) as pool:
        assert all(pool.map(ask, range(THREADS)))


@pytest.mark.slow
def test_closing_while_others_advise_spoils_nothing(quick: dict[str, str]) -> None:
    adviser, codes = Adviser(knowledge()), many(QUICK, 24)
    done = threading.Event()

    def close() -> None:
        while not done.wait(0.02):
            adviser.close()

    closing = threading.Thread(target=close)
    closing.start()
    try:
        assert in_threads(adviser, codes) == [quick[code] for code in codes]
    finally:
        done.set()
        closing.join()
        adviser.close()


@pytest.mark.slow
def test_threads_give_the_same_bytes_of_fields_with_hundreds_of_options() -> None:
    alone = one_after_another(WHOLE)
    adviser, codes = Adviser(knowledge()), many(WHOLE)
    assert in_threads(adviser, codes) == [alone[code] for code in codes]
    adviser.close()

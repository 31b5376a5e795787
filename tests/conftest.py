"""What many tests share, read once a run: the knowledge folder, an adviser on it, its numbers and tables, and sites by latitude and longitude."""

import gc
import os
import tempfile
from collections.abc import Callable
from functools import cache

import pytest

from decide.consult import Adviser
from decide.knowledge.load import knowledge_folder
from decide.knowledge.plants import constants_of
from decide.knowledge.tables import Knowledge
from decide.measure.growth import Site
from decide.measure.numbers import GrowthConstants
from decide.measure.places import Tables
from tests import shared

# A run keeps the consultations of the whole bank; looking through them for rubbish again and again costs a sixth of it.
gc.set_threshold(100_000, 50, 100)
# What commands keep of the knowledge is kept for this run alone, and nothing of what the machine has is used.
_KEPT = tempfile.TemporaryDirectory(prefix="decide-kept-")
os.environ["DECIDE_KEPT"] = _KEPT.name


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--all-extras", action="store_true", help="fail where a test is skipped for want of an extra"
    )


@pytest.hookimpl(tryfirst=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    """With --all-extras a library that is not installed is a failure, so that nothing is left out unseen."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if session.config.getoption("--all-extras") and reporter is not None:
        skipped = [
            str(each.longrepr)
            for each in reporter.stats.get("skipped", [])
            if any(extra in str(each.longrepr) for extra in (shared.REFERENCE, shared.PEERS))
        ]
        if skipped:
            reporter.write_line(f"{len(skipped)} tests were skipped for want of an extra", red=True)
            session.exitstatus = pytest.ExitCode.TESTS_FAILED


@pytest.fixture(scope="session")
def knowledge() -> Knowledge:
    return shared.knowledge()


@pytest.fixture(scope="session")
def adviser() -> Adviser:
    return shared.adviser()


@pytest.fixture(scope="session")
def numbers(knowledge: Knowledge) -> GrowthConstants:
    return constants_of(knowledge)


@pytest.fixture(scope="session")
def tables(numbers: GrowthConstants) -> Tables:
    return Tables(knowledge_folder() / "climate", numbers.climate)


@pytest.fixture(scope="session")
def site_at(numbers: GrowthConstants, tables: Tables) -> Callable[[float, float], Site]:
    """A site as the numbers of growth and windows were fitted: on the ground of the climate cell.

    Advice stands on `tables.climate_at`, the town's own height; numbers that are fitted anew are fitted on that.
    """

    @cache
    def site(latitude: float, longitude: float) -> Site:
        return numbers.site(tables.cell_climate_at(latitude, longitude))

    return site

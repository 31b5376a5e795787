"""The knowledge folder's numbers, its tables, and sites by latitude and longitude."""

from collections.abc import Callable
from functools import cache

import pytest
from hypothesis import settings

from decide.measure.climate import Tables
from decide.measure.growth import Site
from decide.measure.needed import GrowthConstants, constants
from decide.read import knowledge_folder, read_knowledge

# the first example reads the tables, and the same examples are tried each time
settings.register_profile("measure", deadline=None, derandomize=True)
settings.load_profile("measure")


@pytest.fixture(scope="session")
def numbers() -> GrowthConstants:
    return constants(read_knowledge().value)


@pytest.fixture(scope="session")
def tables(numbers: GrowthConstants) -> Tables:
    return Tables(knowledge_folder() / "climate", numbers.climate)


@pytest.fixture(scope="session")
def site_at(numbers: GrowthConstants, tables: Tables) -> Callable[[float, float], Site]:
    @cache
    def site(latitude: float, longitude: float) -> Site:
        return numbers.site(tables.climate_at(latitude, longitude))

    return site

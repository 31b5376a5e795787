"""Loads the made-up library for the tests of the talk."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def fake() -> ModuleType:
    """The module `fake_talk.py`."""
    path = Path(__file__).with_name("fake_talk.py")
    spec = importlib.util.spec_from_file_location("fake_talk", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["fake_talk"] = module
    spec.loader.exec_module(module)
    return module

"""What a class sees of a field of which hardly anything is told, at 80 and at 40 columns."""

from __future__ import annotations

import pytest

from decide.consult import Adviser
from decide.lesson.story import story
from decide.model.reading import read_situation

from .conftest import SPARSE
from .screens import FOLDER, screens

pytestmark = pytest.mark.slow


def test_screens_are_as_expected(adviser: Adviser) -> None:
    for name, text in screens(story(adviser.consult(read_situation(SPARSE)))):
        assert text == (FOLDER / name).read_text(encoding="utf-8"), name

"""A key that no table has is named whatever letters it is of."""

from __future__ import annotations

import pytest

from decide.model.errors import SituationError
from decide.model.reading import situation_from_dict


@pytest.mark.parametrize("key", ["sit[[", "[", "list", "float", "str", "", "a.b"])
def test_an_unknown_key_is_named(key: str) -> None:
    with pytest.raises(SituationError) as caught:
        situation_from_dict({key: {"dangers": ["none"]}})
    assert f"{key!r} is not a key here" in str(caught.value)
    with pytest.raises(SituationError) as caught:
        situation_from_dict({"place": {"name": "x", key: 1}})
    assert f"{key!r} is not a key here" in str(caught.value)

"""Rows as plain columns: what is packed comes back equal and of the same types, and nothing else is packed."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic_core import from_json, to_json

from decide.engine.language import Condition, Template, Unless
from decide.knowledge.pack import PackError, pack, unpack
from decide.knowledge.schema import Grass, MethodStep, Source

PLAIN = (
    st.none()
    | st.booleans()
    | st.integers(-(2**70), 2**70)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text('aé"\\\u2028\x00😀', max_size=6)
)
HELD = st.recursive(
    PLAIN | st.builds(Path, st.just("a/b")),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.lists(inner, max_size=3).map(tuple)
        | st.dictionaries(PLAIN, inner, max_size=3)
        | st.frozensets(st.text("abc", max_size=2), max_size=3)
        | st.builds(Template, st.just("t"), st.lists(inner, max_size=2).map(tuple))
        | st.builds(
            Condition, st.just("f"), st.just("is"), inner, table=st.dictionaries(st.text("ab"), inner)
        )
    ),
    max_leaves=12,
)


def there_and_back(held: Any) -> Any:
    return unpack(from_json(to_json(pack(held))))


@given(HELD)
def test_what_is_packed_comes_back_as_it_was(held: Any) -> None:
    back = there_and_back(held)
    # The written form tells 1 from 1.0 from True, and 0.0 from -0.0.
    assert back == held
    assert written(back) == written(held)


def written(held: Any) -> str:
    if isinstance(held, frozenset):
        return f"frozenset{sorted(held)}"
    if isinstance(held, dict):
        return f"{{{', '.join(f'{k!r}: {written(v)}' for k, v in held.items())}}}"
    if isinstance(held, (list, tuple)):
        return f"{type(held).__name__}[{', '.join(map(written, held))}]"
    if isinstance(held, (Template, Condition)):
        parts = ["text", "parts"] if isinstance(held, Template) else ["fact", "op", "text", "table"]
        return f"{type(held).__name__}({', '.join(written(getattr(held, part)) for part in parts)})"
    return repr(held)


def test_models_know_what_was_written_and_stay_frozen() -> None:
    rows = (
        Source(title="A page", publisher="", year="2001", seen="opened"),
        Source(title="A page", publisher="", year="2001", seen="opened", where=""),
    )
    back = there_and_back(rows)
    assert back == rows
    assert [row.model_fields_set for row in back] == [row.model_fields_set for row in rows]
    assert back[0].model_copy(update={"note": "n"}).note == "n"
    with pytest.raises(ValueError, match="frozen"):
        back[0].note = "other"


def test_rows_in_rows_and_equal_rows() -> None:
    because = Template("So.", ("So.",))
    held = [Unless(name, (), Template("So.", ("So.",))) for name in ("one", "two", "one")]
    back = there_and_back((because, held, MethodStep(text="Dig it over")))
    assert back[1] == held
    assert back[1][0] is back[1][2]
    assert back[1][0].because is back[0]


def test_a_class_that_checks_what_it_holds_is_made_by_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Checking, "__module__", "decide.engine.language")
    monkeypatch.setattr("decide.engine.language.Checking", Checking, raising=False)
    back = there_and_back([Checking(2), Checking(3)])
    assert [each.twice for each in back] == [4, 6]
    assert back[0].seen == {}
    assert back[0].seen is not back[1].seen


@dataclass(frozen=True)
class Checking:
    once: int
    twice: int = field(init=False, default=0)
    seen: dict[str, int] = field(init=False, default_factory=dict, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "twice", 2 * self.once)


@pytest.mark.parametrize(
    "held", [object(), Checking(1), float("nan"), [float("inf")], 1j, b"bytes", range(3)]
)
def test_nothing_else_is_packed(held: Any) -> None:
    with pytest.raises(PackError):
        pack(held)


@pytest.mark.parametrize(
    "name",
    [
        "os:system",
        "builtins:list",
        "decide.model.files:write_whole",
        "decide.engine.durable:json.JSONDecoder",
    ],
)
def test_nothing_is_made_but_declared_rows_of_the_program(name: str) -> None:
    table = {"class": name, "count": 1, "names": [], "columns": [], "told": None}
    with pytest.raises((PackError, AttributeError)):
        unpack({"tables": [table], "root": [["row", 0], [0]]})


def test_rows_of_other_fields_are_not_made() -> None:
    packed = pack(Template("So.", ()))
    packed["tables"][0]["names"] = ["text", "words"]
    with pytest.raises(PackError, match="other fields"):
        unpack(packed)


def test_a_grass_is_packed_with_its_tables(knowledge: Any) -> None:
    grass: Grass = next(iter(knowledge.grasses.values()))
    assert there_and_back(grass) == grass

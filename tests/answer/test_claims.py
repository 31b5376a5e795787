"""What sellers and custom say of how soon turf is playable, beside what is advised."""

from __future__ import annotations

import pytest

from decide.answer.option_row import claim
from decide.answer.teller import Teller
from decide.decision.consultation import Consultation
from tests.shared import adviser, consulted

WEEKS = "Sellers and custom say: playable in {}. This is a claim, not a date to plan on"
AT_ONCE = "Sellers and custom say: playable at once. This is a claim, not a date to plan on"


@pytest.fixture(scope="module")
def ohio() -> Consultation:
    return adviser().consult(consulted("york-school-closed-summer").filled.situation)


@pytest.mark.parametrize(
    ("method", "plant", "said"),
    [
        # What sellers and custom claim: common practice, no source.
        ("broadcast-seed", "perennial-ryegrass", WEEKS.format("4 weeks")),
        ("broadcast-seed", "kentucky-bluegrass", WEEKS.format("10 to 12 weeks")),
        ("thick-sod", "kentucky-bluegrass", AT_ONCE),
        ("broadcast-seed", "fine-fescue", None),
    ],
)
def test_a_claim_is_one_number_a_range_or_at_once(
    ohio: Consultation, method: str, plant: str, said: str | None
) -> None:
    draft = next(w.draft for w in ohio.ranked if (w.draft.method, w.draft.plant) == (method, plant))
    assert claim(Teller(ohio), draft) == said

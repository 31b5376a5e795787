"""The command that plants mistakes and tells which of them nothing notices: `python -m tests.mutation rules values`, or
`code`.
"""

from __future__ import annotations

import argparse
import json
import random
import sys
import tempfile
import tomllib
from collections import Counter
from collections.abc import Mapping
from pathlib import Path

from decide.cases.bank import read_cases
from decide.cases.spoken import spoken_in
from decide.consult import Adviser
from decide.engine.language import SCOPES
from decide.knowledge.load import knowledge_folder, read_knowledge
from tests.mutation import code, passing
from tests.mutation.planted import Planted, Planter
from tests.mutation.survey import by_figures, by_rules, survey

HERE = Path(__file__).parent
NOTICED = HERE / "noticed.json"
SLIPS = HERE / "slips.json"
REASONS = HERE / "reasons.toml"


def main(words: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("what", nargs="+", choices=("rules", "values", "code"))
    parser.add_argument("--sample", type=int, help="so many of the mistakes alone")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--only", default="", help="the mistakes in whose name this stands")
    parser.add_argument("--about", choices=SCOPES, help="the mistakes in rules about this alone")
    parser.add_argument("--cases", default="", help="the cases in whose name this stands")
    parser.add_argument("--left", action="store_true", help="those alone that no case noticed the last time")
    parser.add_argument("--tries", type=int, help="of each mistake so many cases alone on which it bears")
    parser.add_argument(
        "--spoken",
        action="store_true",
        help="no cases: published figures, and rules that are signed on both sides",
    )
    parser.add_argument(
        "--map", type=Path, help="of code: the file that keeps which tests pass by which lines"
    )
    parser.add_argument("--write", action="store_true", help="keep which case noticed what")
    asked = parser.parse_args(words)
    if "code" in asked.what:
        return _code(asked)
    book = Adviser(read_knowledge(), "plain")
    planter = Planter(book)
    noticed: dict[str, str] = json.loads(NOTICED.read_text()) if NOTICED.exists() else {}

    def _is_about(each: Planted) -> bool:
        return not asked.about or any(book.rules[id].about == asked.about for id in each.edited.ids)

    planted: list[Planted] = []
    for what in asked.what:
        found_here = [
            each for each in getattr(planter, what)() if asked.only in each.name and _is_about(each)
        ]
        if asked.sample is not None and asked.sample < len(found_here):
            found_here = random.Random(asked.seed).sample(found_here, asked.sample)
        planted += [each for each in found_here if not (asked.left and noticed.get(each.name))]
    heard = by_figures(book.knowledge, planted)
    rows = spoken_in(knowledge_folder() / "cases", asked.cases)
    heard |= by_rules(book, rows, [each for each in planted if not heard.get(each.name)])
    if asked.spoken:
        planted = [each for each in planted if each.name in heard]
    left = [each for each in planted if not heard.get(each.name)]
    cases = [] if asked.spoken else list(read_cases(knowledge_folder() / "cases", asked.cases))
    # Cases of one kind stand together by name: mixed, a mistake soon meets cases of every kind.
    random.Random(0).shuffle(cases)

    def keep(case: str, found: Mapping[str, str]) -> None:
        print(f"{case}: {sum(map(bool, found.values()))} noticed", file=sys.stderr, flush=True)
        if asked.write:
            kept = {**noticed, **{name: code for name, code in found.items() if code or name not in noticed}}
            NOTICED.write_text(json.dumps(kept, indent=0, sort_keys=True, ensure_ascii=False) + "\n")

    found = heard | survey(book, cases, left, noticed, asked.tries, keep)
    reasons = tomllib.loads(REASONS.read_text()) if REASONS.exists() else {}
    counts = Counter(
        (each.kind, "noticed" if found[each.name] else "reason" if each.name in reasons else "not")
        for each in planted
    )
    for each in planted:
        if not found[each.name] and each.name not in reasons:
            print(each.name)
    for kind in dict.fromkeys(each.kind for each in planted):
        rows = {how: counts[kind, how] for how in ("noticed", "reason", "not")}
        whole = sum(rows.values())
        print(
            f"{kind}: {whole} planted, {rows['noticed']} noticed ({rows['noticed'] / whole:.0%}), "
            f"{rows['reason']} not, with a reason, {rows['not']} not"
        )
    return 0


def _code(asked: argparse.Namespace) -> int:
    """Slips in code: of each the test that notices it, then how many are noticed."""
    known: dict[str, str] = json.loads(SLIPS.read_text()) if SLIPS.exists() else {}
    every = code.all_slips()
    # Of lines that are otherwise now nothing is known.
    known = {slip.name: known[slip.name] for slip in every if slip.name in known}
    made = [slip for slip in every if asked.only in slip.name]
    if asked.sample is not None:
        made = code.sampled(made, asked.sample, asked.seed)
    if asked.left:
        made = [slip for slip in made if not known.get(slip.name)]
    by: dict[str, str] = {}
    with tempfile.TemporaryDirectory() as folder:
        house = code.house_copied(Path(folder) / "house")
        file = asked.map or Path(folder) / "map"
        if not file.exists():
            passing.measure(house, code.TESTS, file)
        passed = passing.read(file)
        for slip in made:
            by[slip.name] = code.noticed(slip, house, passed, known.get(slip.name, ""))
            print(f"{by[slip.name] or 'not'}: {slip.name} (line {slip.line})", flush=True)
            if asked.write:
                kept = json.dumps(known | by, indent=0, sort_keys=True, ensure_ascii=False)
                SLIPS.write_text(kept + "\n", encoding="utf-8")
        tests = [*dict.fromkeys(filter(None, by.values()))]
        if tests and not code.all_pass(house, tests):
            print("Some of these tests fail without a slip too: python -m pytest", *tests)
            return 1
    missed = [name for name, test in by.items() if not test]
    reasons = tomllib.loads(REASONS.read_text(encoding="utf-8"))
    print(
        f"code: {len(by)} planted, {len(by) - len(missed)} noticed, "
        f"{sum(name in reasons for name in missed)} not, with a reason, "
        f"{sum(name not in reasons for name in missed)} not"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

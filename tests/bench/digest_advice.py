"""Prints a digest of the advice on every case of the bank, so that a change of the house is shown to change no advice.

    python tests/bench/digest_advice.py > before; (change); python tests/bench/digest_advice.py | diff before -

The digest of the knowledge folder itself is left out. With a number, every so-manieth case alone.
"""

from __future__ import annotations

import hashlib
import json
import sys
from multiprocessing import Pool
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))


def digest(code: str) -> tuple[str, str]:
    """The name of a case and the digest of its advice."""
    from decide.cases.bank import consult_case
    from decide.questions.unknown import tried
    from tests.shared import adviser, case_of

    found = json.loads(tried(consult_case(adviser(), case_of(code))).as_json(full=True))
    # With one engine nothing is checked, and the knowledge may be another.
    found["knowledge"]["digest"] = ""
    found["knowledge"].pop("checked", None)
    return code, hashlib.sha256(json.dumps(found, sort_keys=True).encode()).hexdigest()


def main() -> None:
    from tests.shared import case_codes

    every = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    with Pool() as pool:
        for code, found in pool.imap(digest, case_codes()[::every], chunksize=4):
            print(code, found)


if __name__ == "__main__":
    main()

"""Damaged input by the hundred thousand, on demand: ``python -m tests.fuzz.run --count 1000000``.

Every input is read or refused in a sentence; what else happens is kept in ``tests/fuzz/corpus``,
where the suite tries it again. Prints how many of each kind were tried, read and refused.
"""

from __future__ import annotations

import argparse
import hashlib
import time
import warnings
from collections import Counter
from multiprocessing import Pool
from pathlib import Path

from tests.fuzz.inputs import READERS, REFUSALS, Reader, inputs

CORPUS = Path(__file__).with_name("corpus")

SLOW = 5.0
"""Seconds of this process after which one input is a find of its own."""


def tried(reader: Reader, content: bytes) -> str:
    """What became of an input: ``read``, ``refused``, or the name of a fault."""
    begun = time.process_time()
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            reader.read(content)
        became = "read"
    except REFUSALS as problem:
        said = str(problem.sentence)
        became = "refused" if said and "\n" not in said else "refused in more than a sentence"
    except Exception as fault:  # noqa: BLE001 - that is what is looked for
        became = f"{type(fault).__name__}: {fault}"[:120]
    return became if time.process_time() - begun < SLOW else "slow"


def _share(asked: tuple[str, int, int]) -> tuple[str, Counter[str], list[tuple[str, bytes]]]:
    name, first, last = asked
    reader = next(each for each in READERS if each.name == name)
    became: Counter[str] = Counter()
    finds = []
    for seed in range(first, last):
        content = inputs(reader, seed)
        what = tried(reader, content)
        became[what if what in ("read", "refused") else "finds"] += 1
        if what not in ("read", "refused"):
            finds.append((what, content))
    return name, became, finds


def main() -> int:
    """Try as many inputs as asked for; the exit status is 1 where there was a find."""
    parser = argparse.ArgumentParser("python -m tests.fuzz.run", description=__doc__)
    parser.add_argument("--count", type=int, default=100_000)
    parser.add_argument("--first", type=int, default=0, help="the first seed")
    parser.add_argument("--processes", type=int, default=1)
    asked = parser.parse_args()
    whole = sum(each.share for each in READERS)
    jobs = []
    for reader in READERS:
        count, first = asked.count * reader.share // whole, asked.first
        step = 2500
        jobs += [
            (reader.name, first + at, first + min(at + step, count)) for at in range(0, count, step)
        ]
    total: dict[str, Counter[str]] = {each.name: Counter() for each in READERS}
    known: set[tuple[str, str]] = set()
    with Pool(asked.processes) as pool:
        for name, became, finds in pool.imap_unordered(_share, jobs):
            total[name] += became
            for what, content in finds:
                if (name, what) in known:
                    continue
                known.add((name, what))
                file = CORPUS / name / hashlib.sha256(content).hexdigest()[:16]
                file.parent.mkdir(parents=True, exist_ok=True)
                file.write_bytes(content)
                print(f"{name}: {what} ({file.name})", flush=True)
    for name, became in total.items():
        print(f"{name:12}", *(f"{what} {n:,}" for what, n in sorted(became.items())), sep="  ")
    print(f"{sum(each.total() for each in total.values()):,} inputs, {len(known)} kinds of find")
    return 1 if known else 0


if __name__ == "__main__":
    raise SystemExit(main())

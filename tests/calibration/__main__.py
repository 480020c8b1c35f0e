"""python -m tests.calibration [--athletes N] [--case NAME ...] [--seed N] [--jobs N] [--check | --keep]

Without names all populations are run, and the table is written to dashboard/calibration/. With names it is only printed, or, with
--keep, put in place of the same rows of that table.
--check: a run of few athletes, held against the committed table; exit 1 where they differ by more than chance allows.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat
from pathlib import Path

from tests.calibration import load_cases, report, strength_cases
from tests.calibration.population import Found
from tests.calibration.strength_cases import Run

CASES = load_cases.CASES | strength_cases.CASES  # the longest first
ATHLETES, FEW, SEED = 400, 40, 20261127


def main() -> int:
    asked = argparse.ArgumentParser(prog="python -m tests.calibration", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--athletes", type=int, help=f"athletes of each population ({ATHLETES}; with --check {FEW})")
    asked.add_argument("--case", nargs="+", choices=CASES, metavar="NAME", help=f"of {', '.join(CASES)}")
    asked.add_argument("--seed", type=int, default=SEED)
    asked.add_argument("--jobs", type=int, default=1, help="processes, a population each (1)")
    asked.add_argument("--check", action="store_true", help="hold a small run against the committed table")
    asked.add_argument("--other", action="store_true", help="other athletes than the table's; their figures are put beside it")
    asked.add_argument("--keep", action="store_true", help="put the rows of --case in place of those of the committed table")
    options = asked.parse_args()
    if options.check and not (report.KEPT / "cases.csv").exists():
        asked.error("there is no committed table to check against; run python -m tests.calibration first")
    athletes = options.athletes or (FEW if options.check else ATHLETES)
    # A check with the table's own athletes would agree by construction.
    seed = options.seed + (options.check or options.other)
    found = measured(options.case or list(CASES), athletes, seed, options.jobs)
    rows = report.table(found)
    print("", report.text(rows), sep="\n")
    if options.check:
        wrong = report.differing(rows, report.read())
        print("\n".join(wrong) or "Agrees with the committed table.")
        return bool(wrong)
    if options.other:
        if not options.case:
            report.write_other(found, seed)
    elif not options.case:
        report.write(found, athletes, options.seed)
    elif options.keep:
        report.replace(found, athletes, options.seed)
    return 0


def measured(names: list[str], athletes: int, seed: int, jobs: int = 1) -> Found:
    """All results, in the order of the names; each population's rows are printed when it is done."""
    if jobs == 1:
        return [one for name in names for one in _one(name, athletes, seed)]
    with ProcessPoolExecutor(jobs) as pool:
        return [one for found in pool.map(_one, names, repeat(athletes), repeat(seed)) for one in found]


def _one(name: str, athletes: int, seed: int) -> Found:
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        found = CASES[name](Run(Path(folder), athletes, seed))
    print(f"{name}: {athletes} athletes, {time.monotonic() - began:.0f} s", report.text(report.table(found)), sep="\n", flush=True)
    return found


if __name__ == "__main__":
    raise SystemExit(main())

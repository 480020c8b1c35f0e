"""`python -m tests.bench`: speed and memory as ratios of two things run in turn, each a process of its own.

A figure of this project is the median of three ratios; the machine's moods fall on both sides of each. Prints one
line a pair: what, wall-clock ratio, ratio of peak memory.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

ROWS, ATHLETES, WEEKS = 100_000, 12, 50
RUNS = 3
MEASURE = """
import json, resource, sys, time
exec(sys.argv[1])
began = time.perf_counter()
run()
print(json.dumps([time.perf_counter() - began, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss]))
"""
BARE = """
import duckdb
def run():
    duckdb.connect({store!r}).execute("create table log as select * from read_csv({log!r})").fetchall()
"""
IMPORT = """
from pathlib import Path
from etl.importing import Answers, keep, understand
def run():
    keep({store!r}, understand([("log.csv", Path({log!r}).read_bytes())], Answers()))
"""
WORK_OUT = """
from dashboard.standing.refresh import refresh
def run():
    refresh({store!r})
"""
# The same verdicts by a plain loop: one statsmodels GLS for each exercise and week, with the same covariance.
PLAIN_LOOP = """
import numpy as np, statsmodels.api as sm
from scipy.stats import theilslopes
from dashboard.measures.gls import covariance
from etl.store import reading
def run():
    with reading({store!r}) as con:
        points = con.execute("select athlete, exercise, date, value from kept_bests where measure in ('e1rm', 'per_kg') and counted").df()
        looks = con.execute("select athlete, exercise, week from kept_strength where measure in ('e1rm', 'per_kg')").df()
    series = {{key: (g["date"].to_numpy().astype("datetime64[D]").astype(int) / 7, 100 * np.log(g["value"].to_numpy())) for key, g in points.groupby(["athlete", "exercise"])}}
    for row in looks.itertuples():
        t, y = series[row.athlete, row.exercise]
        end = (row.week.date() - __import__("datetime").date(1970, 1, 1)).days / 7 + 1
        use = (t <= end) & (t > end - 16)
        if use.sum() >= 8:
            theilslopes(y[use], t[use])
            sm.GLS(y[use], sm.add_constant(t[use]), sigma=covariance(t[use], np.full(use.sum(), 3.5), 2.0, 1.0)).fit()
"""
MARK_ONE = """
from etl.store import writing
from etl.store.imports import mark_stale
with writing({store!r}) as con:
    mark_stale(con, {{"Athlete 00": con.execute("select max(date) from sets").fetchall()[0][0]}})
""" + WORK_OUT
REVIEW = """
from dashboard.queries.kept import store_at
from dashboard.queries.people import week_to_show
from dashboard.queries.review import review
def run():
    store = store_at({store!r})
    review(store, "Athlete 00", week_to_show(store, "Athlete 00"))
"""
BARE_SELECT = """
from etl.store import reading
def run():
    with reading({store!r}) as con:
        con.execute("select week, sum(reps) from (select date_trunc('week', date)::date as week, reps from sets where athlete = 'Athlete 00') group by 1").df()
"""


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "log.csv"
        log.write_text(made_log())
        stores = (f"{folder}/s{i}.duckdb" for i in range(1000))
        report("import of 100,000 rows / bare create table as select from read_csv", lambda: (IMPORT, BARE), log, stores, fresh=True)
        full = next(stores)
        measured(IMPORT, full, log)
        whole = measured(WORK_OUT, full, log)
        report("all verdicts and flags kept / a plain statsmodels loop over the same looks", lambda: (whole, PLAIN_LOOP), log, iter([full] * 99))
        report("one athlete's last week changed / the whole history of 12", lambda: (MARK_ONE, whole), log, iter([full] * 99))
        report("one week's review read / one bare weekly sum of the same athlete", lambda: (REVIEW, BARE_SELECT), log, iter([full] * 99))


def report(what: str, pair: Callable[[], tuple], log: Path, stores, fresh: bool = False) -> None:
    """Run both in turn RUNS times and print the median ratios."""
    ratios = []
    for _ in range(RUNS):
        ours, theirs = (measured(side, next(stores), log) if isinstance(side, str) else side for side in pair())
        ratios.append((ours[0] / theirs[0], ours[1] / theirs[1]))
    time, memory = (statistics.median(r[i] for r in ratios) for i in (0, 1))
    print(f"{what}: time {time:.2f}, peak memory {memory:.2f}", flush=True)


def measured(code: str, store: str, log: Path) -> tuple[float, float]:
    """Seconds and peak memory of one run in a process of its own."""
    text = code.format(store=store, log=str(log))
    done = subprocess.run([sys.executable, "-c", MEASURE, text], capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(done.stderr)
    return tuple(json.loads(done.stdout.splitlines()[-1]))


def made_log() -> str:
    """An invented log: athletes with four sessions a week of six exercises, loads that creep up."""
    import numpy as np

    rng = np.random.default_rng(7)
    exercises = ("Barbell bench press", "Barbell row", "Back squat", "Romanian deadlift", "Dumbbell curl", "Lateral raise")
    lines, sets = ["Date,Athlete,Exercise,Set,Load (kg),Reps,RIR"], ROWS // (ATHLETES * WEEKS * 4 * len(exercises))
    for athlete in range(ATHLETES):
        for week in range(WEEKS):
            for day in (0, 2, 3, 5):
                when = np.datetime64("2025-01-06") + 7 * week + day
                for n, exercise in enumerate(exercises):
                    load = round(20 + 10 * n + 0.1 * week + rng.normal(0, 1), 1)
                    lines += [f"{when},Athlete {athlete:02},{exercise},{s + 1},{load},{rng.integers(6, 10)},{rng.integers(0, 4)}" for s in range(sets + 1)]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    main()

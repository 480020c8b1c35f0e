"""`python -m tests.bench [PAIR ...]`: speed and memory as ratios of two things run in turn, each a process of its own.

A figure of this project is the median of three ratios; the machine's moods fall on both sides of each. Prints one
line a pair: what, wall-clock ratio, ratio of peak memory, and the seconds and megabytes of the first thing. Without
names all pairs of PAIRS are run, in less than a quarter of an hour.
"""

from __future__ import annotations

import json
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np

ROWS, ATHLETES, WEEKS = 100_000, 12, 50
RUNS = 3
# Of the large log: sets of an athlete and of a day, rows made at a time, share of bad rows.
SETS_EACH, SETS_A_DAY, CHUNK, BAD = 20_000, 24, 200_000, 0.002
DAY_ONE = np.datetime64("2016-01-04")
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
from etl.importing import Answers, keep, known, understand
def run():
    keep({store!r}, understand([("log.csv", Path({log!r}))], Answers(), known=known({store!r})))
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


def main(names: list[str]) -> None:
    unknown = set(names) - set(PAIRS)
    if unknown:
        raise SystemExit(f"There is no pair {', '.join(sorted(unknown))}; there are {', '.join(PAIRS)}.")
    with tempfile.TemporaryDirectory() as folder:
        for name in names or PAIRS:
            PAIRS[name](Path(folder), name)


def large(rows: int) -> Callable[[Path, str], None]:
    def pair(folder: Path, name: str) -> None:
        log = folder / f"{name}.csv"
        write_large_log(log, rows)
        report(f"import of {rows:,} rows, kept source copy included / bare create table as select from read_csv", lambda: (IMPORT, BARE), log,
               stores_in(folder, name))
        log.unlink()

    return pair


def added(folder: Path, name: str) -> None:
    """200 new sets of one athlete, each run on a day of its own, into a store of ten million and into one of that athlete alone."""
    log, store, alone = folder / f"{name}.csv", str(folder / f"{name}.duckdb"), str(folder / f"{name}_alone.duckdb")
    write_large_log(log, 10_000_000)
    measured(IMPORT, store, log)
    write_large_log(log, SETS_EACH)
    measured(IMPORT, alone, log)
    days = iter(range(1, 1000))

    def new(into: str) -> tuple[float, float]:
        day = next(days)
        log.write_text("Date,Athlete,Exercise,Set,Reps,Load,Unit,RIR,Note\n" + "".join(
            f"{DAY_ONE + 3400 + day},Athlete 0000,Back squat,{n},5,{60 + n / 2},kg,2,\n" for n in range(200)))
        return measured(IMPORT, into, log)

    report("200 new sets into a store of 10,000,000 / into a store of 20,000", lambda: (new(store), new(alone)), log, iter([store] * 99))


def small(folder: Path, name: str) -> None:
    log = folder / f"{name}.csv"
    log.write_text(made_log())
    report("import of 100,000 rows / bare create table as select from read_csv", lambda: (IMPORT, BARE), log, stores_in(folder, name))


def meaning(folder: Path, name: str) -> None:
    log, full = folder / f"{name}.csv", str(folder / f"{name}.duckdb")
    log.write_text(made_log())
    measured(IMPORT, full, log)
    whole = measured(WORK_OUT, full, log)
    report("all verdicts and flags kept / a plain statsmodels loop over the same looks", lambda: (whole, PLAIN_LOOP), log, iter([full] * 99))
    report("one athlete's last week changed / the whole history of 12", lambda: (MARK_ONE, whole), log, iter([full] * 99))
    report("one week's review read / one bare weekly sum of the same athlete", lambda: (REVIEW, BARE_SELECT), log, iter([full] * 99))


PAIRS: dict[str, Callable[[Path, str], None]] = {
    "import_100k": small, "meaning": meaning, "import_3m": large(3_000_000), "import_10m": large(10_000_000), "add_200": added}


def stores_in(folder: Path, name: str) -> Iterator[str]:
    """New stores, each in a folder that the next one clears away."""
    for number in range(1000):
        shutil.rmtree(folder / f"{name}_{number - 1}", ignore_errors=True)
        place = folder / f"{name}_{number}"
        place.mkdir()
        yield str(place / "s.duckdb")


def report(what: str, pair: Callable[[], tuple], log: Path, stores: Iterator[str]) -> None:
    """Run both in turn RUNS times and print the median ratios, and the medians of the first."""
    ratios, first = [], []
    for _ in range(RUNS):
        ours, theirs = (measured(side, next(stores), log) if isinstance(side, str) else side for side in pair())
        ratios.append((ours[0] / theirs[0], ours[1] / theirs[1]))
        first.append(ours)
    time, memory = (statistics.median(r[i] for r in ratios) for i in (0, 1))
    print(f"{what}: time {time:.2f}, peak memory {memory:.2f} "
          f"({statistics.median(f[0] for f in first):.2f} s, {statistics.median(f[1] for f in first) / 1024:.0f} MB)", flush=True)


def measured(code: str, store: str, log: Path) -> tuple[float, float]:
    """Seconds and peak memory of one run in a process of its own."""
    text = code.format(store=store, log=str(log))
    done = subprocess.run([sys.executable, "-c", MEASURE, text], capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(done.stderr)
    return tuple(json.loads(done.stdout.splitlines()[-1]))


def made_log() -> str:
    """An invented log: athletes with four sessions a week of six exercises, loads that creep up."""
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


def write_large_log(path: Path, rows: int) -> None:
    """An invented log in the order of athletes and days: several spellings of each exercise, two units, notes, 0.2 % bad rows."""
    rng = np.random.default_rng(7)
    spellings = ("Barbell bench press", "Bench press (barbell)", "bench press", "Barbell row", "Bent-over row", "Back squat", "back squat",
                 "Squat (barbell)", "Romanian deadlift", "RDL", "Dumbbell curl", "DB curl", '"curl, dumbbell"', "Lateral raise", "lateral raises", "Pull-up", "Overhead press",
                 "Deadlift", "Leg press", "Face pull", "Hip thrust", "Kitchen table pull")
    notes = ("",) * 9 + ("easy", "felt heavy", '"slow, paused"', "left knee", "good", "grip gave out")
    with path.open("w") as file:
        file.write("Date,Athlete,Exercise,Set,Reps,Load,Unit,RIR,Note\n")
        for start in range(0, rows, CHUNK):
            place = start + np.arange(min(CHUNK, rows - start))
            athlete, nth = place // SETS_EACH, place % SETS_EACH
            day = (DAY_ONE + nth // SETS_A_DAY * 4).astype(str)
            exercise = rng.integers(0, len(spellings), len(place) // 4 + 1).repeat(4)
            load, reps, reserve = rng.integers(16, 480, len(place)) / 2, rng.integers(3, 16, len(place)), rng.integers(0, 5, len(place))
            note, bad = rng.integers(0, len(notes), len(place)), rng.random(len(place))
            lines = []
            for i in range(len(place)):
                when, count, kg = day[i], str(reps[i]), f"{load[i]:g}"
                if bad[i] < BAD:
                    when, count, kg = (("2026-02-31", count, kg), (when, "many", kg), (when, count, "6000"), ("", count, kg))[i % 4]
                lines.append(f"{when},Athlete {athlete[i]:04},{spellings[exercise[i]]},{nth[i] % 4 + 1},{count},{kg},"
                             f"{'lb' if athlete[i] % 10 == 0 else 'kg'},{reserve[i]},{notes[note[i]]}\n")
            file.write("".join(lines))


if __name__ == "__main__":
    main(sys.argv[1:])

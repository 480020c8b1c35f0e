"""`python -m tests.bench [PAIR ...]`: speed and memory as ratios of two things run in turn, each a process of its own.

A figure of this project is the median of three ratios; the machine's moods fall on both sides of each. Prints one
line a pair: what, wall-clock ratio, ratio of peak memory, and the seconds and megabytes of the first thing. Without
names all pairs of PAIRS are run, in about three quarters of an hour.
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

from tests import bench_pages

ROWS, ATHLETES, WEEKS, HISTORY_ATHLETES = 100_000, 12, 50, 36
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
# Verdicts and flags alone, from the sets in the store; what else a refresh works out and keeps is left out.
VERDICTS = """
from etl.store import reading
from dashboard.standing.balance_flags import sides
from dashboard.standing.load_flags import load_view
from dashboard.standing.log import read_logs
from dashboard.standing.refresh import batches, flags_of, stale
from dashboard.standing.strength import strength
from dashboard.standing.weekly import weekly
def run():
    for some in batches({store!r}, stale({store!r})):
        with reading({store!r}) as con:
            logs = read_logs(con, [athlete for athlete, _ in some], 30000)
        weeks = [weekly(log) for log in logs.values()]
        for w, found in zip(weeks, strength(weeks, [0] * len(weeks)), strict=True):
            flags_of(w, load_view(w), found, sides(w))
"""
# The same verdicts by a plain loop over statsmodels; no flags.
PLAIN_LOOP = """
from tests import plain_loop
def run():
    plain_loop.run({store!r})
"""
# In a program that is running, as the dashboard is: what it reads once has been read for another athlete.
ADDED = """
from datetime import date, timedelta
from dashboard.standing.refresh import refresh
from etl.importing import Answers, keep, known, understand
from etl.store import reading
with reading({store!r}) as con:
    (last,) = con.execute("select max(date) from sets where athlete = 'Athlete 00'").fetchone()
def add(athlete, sets):
    text = "Date,Athlete,Exercise,Set,Load (kg),Reps,RIR\\n" + "".join(
        f"{{last + timedelta(days=1 + 2 * (n // 12))}},{{athlete}},{{('Back squat', 'Barbell row', 'Overhead press')[n // 4 % 3]}},{{n % 4 + 1}},{{60 + 2.5 * (n % 3)}},6,2\\n"
        for n in range(sets))
    keep({store!r}, understand([("new.csv", text.encode())], Answers(), known=known({store!r})))
add("Athlete 01", 1)
refresh({store!r})
add("Athlete 00", 200)
def run():
    refresh({store!r})
"""
REVIEW = """
from dashboard.queries.kept import store_at
from dashboard.queries.people import week_to_show
from dashboard.queries.review import review
def run():
    store = store_at({store!r})
    review(store, "Athlete 00", week_to_show(store, "Athlete 00"))
"""
BARE_SELECT = """
import pandas
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
    """The history of 36 athletes: the program against a plain loop, then a part of it against the whole."""
    log, empty, full = folder / f"{name}.csv", str(folder / f"{name}_new.duckdb"), str(folder / f"{name}.duckdb")
    log.write_text(made_history())
    measured(IMPORT, empty, log)
    shutil.copy(empty, full)
    measured(WORK_OUT, full, log)

    def anew() -> tuple[float, float]:
        """All that is kept, from a copy in which nothing is worked out yet."""
        shutil.copy(empty, folder / "anew.duckdb")
        return measured(WORK_OUT, str(folder / "anew.duckdb"), log)

    def grown() -> tuple[float, float]:
        """What 200 new sets make stale, in a copy of the store that had none of them."""
        shutil.copy(full, folder / "grown.duckdb")
        return measured(ADDED, str(folder / "grown.duckdb"), log)

    # The plain loop takes minutes: each of its runs stands beside both.
    runs = [(measured(VERDICTS, empty, log), anew(), measured(PLAIN_LOOP, full, log)) for _ in range(RUNS)]
    history, loop = "36 athletes, 50 weeks, 80,000 sets", "the verdicts by a plain loop over statsmodels"
    report(f"verdicts and flags of {history} / {loop}", iter([(ours, plain) for ours, _, plain in runs]).__next__, log, iter(()))
    report(f"all that is kept of {history} / {loop}", iter([(all_of_it, plain) for _, all_of_it, plain in runs]).__next__, log, iter(()))
    report("worked out again after 200 new sets of one athlete, in a running program / the whole history", lambda: (grown(), anew()), log, iter(()))
    report("one week's review read / one bare weekly sum of the same athlete", lambda: (REVIEW, BARE_SELECT), log, iter([full] * 99))


PAIRS: dict[str, Callable[[Path, str], None]] = {
    "import_100k": small, "meaning": meaning, "import_3m": large(3_000_000), "import_10m": large(10_000_000), "add_200": added,
    **bench_pages.PAIRS}


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
    print(f"{what}: time {time:.3g}, peak memory {memory:.2f} "
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


def made_history() -> str:
    """An invented log: two kinds of session twice a week each, weights that rise, pull-ups, a light pair of dumbbells, holds."""
    rng = np.random.default_rng(7)
    kinds = ((("Back squat", 100, 6), ("Barbell bench press", 70, 7), ("Barbell row", 60, 8), ("Lateral raise", 8, 17)),
             (("Romanian deadlift", 90, 8), ("Overhead press", 45, 6), ("Pull-up", 0, 7), ("Plank", None, 45)))
    lines, session = ["Date,Athlete,Exercise,Set,Load (kg),Reps,Seconds,RIR,Body mass (kg)"], 0
    for athlete in range(HISTORY_ATHLETES):
        rate = rng.normal(0.003, 0.002, 8)
        for week in range(WEEKS):
            for place, day in enumerate((0, 1, 3, 4)):
                when, form = np.datetime64("2025-01-06") + 7 * week + day, rng.normal(0, 0.02)
                for n, (exercise, load, reps) in enumerate(kinds[place % 2]):
                    # 11 sets a session and now and then a twelfth: 80,000 in all.
                    for number in range(3 if n < 3 or session % 9 == 0 else 2):
                        now = np.exp(rate[n + 4 * (place % 2)] * week + form + rng.normal(0, 0.02))
                        if load is None:
                            done = ("", "", int(reps * now), "")
                        elif load < 20:
                            done = (load, max(1, int(reps * now * now)), "", rng.integers(0, 3))
                        else:
                            done = (round(load * now / 2.5) * 2.5, reps + rng.integers(-1, 2), "", rng.integers(0, 4))
                        lines.append(f"{when},Athlete {athlete:02},{exercise},{number + 1},{','.join(str(x) for x in done)},{75 + 0.02 * week:.1f}")
                session += 1
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

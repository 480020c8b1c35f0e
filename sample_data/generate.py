"""Write the invented training logs of this folder, and the list of what was planted in them.

    python sample_data/generate.py            write logs/*.csv and truths.csv
    python sample_data/generate.py --check    exit 1 if the files on disk differ from what would be written

Nobody trained these sessions. The people are the rows of `people.py`. Strength here follows a curve of
its own, so that what the program computes is not compared with itself:

    repetitions to failure = 1 + 27.6 (1/x - 1)^0.88        x = load / one-repetition maximum, 0 < x < 1

It gives one repetition at x = 1 and passes within 0.4 of a repetition of about 5 at 90 % (all exercises) and of
8.8 and 14.1 at 80 and 70 % (bench press; Nuzzo et al. 2024, doi 10.1007/s40279-023-01937-7, read second-hand).
Day-to-day variation of strength: 2.5 % white, and 2 % of readiness that fades over about a week.
Loads and body masses are in the unit of the athlete's file (lb for Oskar, kg else); holds in seconds.
"""

import argparse
import csv
import datetime as dt
import io
import math
import sys
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from people import DAMAGED, PEOPLE, Lift, Person
from truths import TRUTHS, TRUTH_HEADER

FOLDER = Path(__file__).resolve().parent
FIRST_MONDAY = dt.date(2026, 1, 5)
WEEKS = 39
SPAN, POWER = 27.6, 0.88  # the curve above
WHITE, READINESS_OF_DAY, READINESS_OF_LIFT = 0.025, 0.012, 0.016  # the two readiness parts make 2 %
UNLOGGED = 0.07  # share of sets without an effort rating
UP_MARGIN = 1.5  # repetitions above the low end that the next load must still allow


@dataclass
class Done:
    """One set as it was done. load in the file's unit, hold in seconds, rir in repetitions (nan: not logged)."""

    lift: Lift
    set_no: int
    side: str
    load: float
    reps: int | None
    hold: int | None
    rir: float
    warm_up: bool = False


@dataclass
class Session:
    """One session that took place. week counts from 1; body_mass in the file's unit."""

    date: dt.date
    week: int
    day: str
    body_mass: float
    sets: list[Done] = field(default_factory=list)


def reps_to_failure(fraction: float) -> float:
    """Repetitions to failure at a fraction of the one-repetition maximum; 0 above 1."""
    return 0.0 if fraction > 1 else 1 + SPAN * (1 / fraction - 1) ** POWER


class Body:
    """What a person can do on a day: trend, layoff, readiness. Strengths in the file's unit."""

    def __init__(self, person: Person, rng: np.random.Generator):
        self.person, self.rng = person, rng
        self.drift: dict[str, tuple[float, float]] = {}
        self.belief: dict[str, float] = {}
        self.load: dict[str, float] = {}

    def readiness(self, key: str, sd: float, day: float) -> float:
        """First-order autocorrelated drift with a memory of one week, at irregular days."""
        last, value = self.drift.get(key, (day, self.rng.normal(0, sd)))
        keep = math.exp(-(day - last) / 7)
        value = keep * value + self.rng.normal(0, sd) * math.sqrt(1 - keep**2)
        self.drift[key] = (day, value)
        return value

    def strength(self, lift: Lift, day: float) -> float:
        """One-repetition maximum (or longest hold) of the day."""
        weeks = day / 7
        rise = lift.rate / 100 * min(weeks, lift.flat_from_week - 1)
        noise = self.readiness("day", READINESS_OF_DAY, day) + self.rng.normal(0, WHITE)
        noise += self.readiness(lift.name, READINESS_OF_LIFT, day)
        return lift.start * math.exp(rise + noise - self.lost(weeks + 1))

    def lost(self, week: float) -> float:
        """Strength lost to the layoff: 4 % on the first day back, made up within three weeks."""
        back = self.person.layoff_back_week
        return 0.04 * max(0.0, 1 - (week - back) / 3) if back and week >= back else 0.0

    def believed(self, lift: Lift, today: float) -> float:
        """What the person goes by when choosing a load: a slow average of earlier days."""
        before = self.belief.setdefault(lift.name, lift.start)
        self.belief[lift.name] = before + 0.3 * (today - before)
        return before

    def choose_load(self, lift: Lift, believed: float, body_mass: float) -> float:
        """Up when the next load leaves the low end with a margin, down when the present one does not."""
        if not lift.loads:
            return 0.0
        own = lift.share * body_mass
        expected = [reps_to_failure((own + load) / believed) for load in lift.loads]
        place = lift.loads.index(self.load[lift.name]) if lift.name in self.load else 0
        while place + 1 < len(lift.loads) and expected[place + 1] >= lift.low + UP_MARGIN:
            place += 1
        while place > 0 and expected[place] < lift.low:
            place -= 1
        self.load[lift.name] = lift.loads[place]
        return lift.loads[place]


def effort(rng: np.random.Generator, left: float) -> float:
    """Repetitions in reserve as the person reports them: off by half a repetition or so, sometimes not written down."""
    said = min(4.0, max(0.0, round(2 * (left + rng.normal(0, 0.5))) / 2))
    return math.nan if rng.random() < UNLOGGED else said


def hold_sets(lift: Lift, count: int, longest: float) -> list[Done]:
    """Holds stop a little short of the longest of the day, and shorten from set to set."""
    sides = ("L", "R") if lift.sided else ("",)
    seconds = [int(longest * (0.92 - 0.04 * place)) for place in range(count)]
    return [Done(lift, place + 1, side, 0.0, None, s, math.nan) for place, s in enumerate(seconds) for side in sides]


def rep_sets(body: Body, lift: Lift, count: int, week: int, today: float, body_mass: float) -> list[Done]:
    """The working sets of one exercise. Both sides do the same repetitions, as the coach asked."""
    load = body.choose_load(lift, body.believed(lift, today), body_mass)
    if week in body.person.deload_weeks and lift.loads:
        load = max([step for step in lift.loads if step <= 0.9 * load], default=lift.loads[0])
    done = []
    for place in range(count):
        able = reps_to_failure((lift.share * body_mass + load) / (today * (1 - lift.tiring * min(place, 4))))
        reps = int(min(max(round(able - body.rng.uniform(1.0, 2.2)), min(lift.low, int(able)), 1), lift.high))
        rir = effort(body.rng, able - reps)
        for side in ("L", "R") if lift.sided else ("",):
            weaker = side == "L" and lift.left_from_week and week >= lift.left_from_week
            done.append(Done(lift, place + 1, side, left_load(lift, load) if weaker else load, reps, None, rir))
    return done


def left_load(lift: Lift, load: float) -> float:
    """The dumbbell nearest to what the left side has left."""
    return min(lift.loads, key=lambda step: abs(step - lift.left_share * load))


def warm_ups(lift: Lift, work: float) -> list[Done]:
    """Two lighter sets, not close to failure."""
    steps = [(0.55, 8), (0.75, 4)]
    return [Done(lift, 0, "", 5 * round(share * work / 5), reps, None, math.nan, True) for share, reps in steps]


def sets_planned(person: Person, week: int, planned: int, place: int) -> int:
    """Sets after the week's kind: an easy week has about half, the planted week more than twice."""
    if week in person.deload_weeks:
        return max(1, (planned + place % 2) // 2)
    if week == person.doubled_week:
        return 2 * planned + (planned >= 3)
    return planned


def steps_of(slot: tuple, week: int, sets: int, first_day: bool) -> list[tuple[Lift, int]]:
    """Which step of a ladder is trained: in its first week one set, then two; the rest stay on the step below."""
    reached = [step for step in slot if step[0] <= week]
    since, lift = reached[-1] if reached else (0, None)
    if lift is None:
        return []
    below = reached[-2][1] if len(reached) > 1 else None
    if since < week or below is None:
        return [(lift, sets)]
    new = 1 if first_day else 2
    return [(lift, new), (below, sets - new)]


def train(body: Body, person: Person, session: Session, first_day: bool) -> None:
    """Fill a session with the sets that were done."""
    day = (session.date - FIRST_MONDAY).days
    for place, (slot, planned) in enumerate(person.days[session.day]):
        count = sets_planned(person, session.week, planned, place)
        for lift, sets in steps_of(slot, session.week, count, first_day):
            today = body.strength(lift, day)
            if lift.hold:
                session.sets += hold_sets(lift, sets, today)
                continue
            work = rep_sets(body, lift, sets, session.week, today, session.body_mass)
            session.sets += (warm_ups(lift, work[0].load) if lift.warm_up else []) + work


def kept_days(person: Person, rng: np.random.Generator) -> list[tuple[int, str]]:
    """The sessions that took place. Never two missed in a week, nor the same one in weeks that follow."""
    kept, last_missed = [], dict.fromkeys(person.days, -9)
    for week in range(1, WEEKS + 1):
        missed_this_week = False
        for day in person.days:
            away = (week, day) in person.away or week in person.away_weeks
            allowed = week not in person.whole_weeks and not missed_this_week and week - last_missed[day] > 2
            skip = rng.random() < person.skips and allowed
            if skip:
                last_missed[day], missed_this_week = week, True
            if not (away or skip):
                kept.append((week, day))
    return kept


def log_of(person: Person) -> list[Session]:
    """All sessions of one person, in order of date."""
    rng = np.random.default_rng(person.seed)
    body, sessions = Body(person, rng), []
    for week, day in kept_days(person, rng):
        date = FIRST_MONDAY + dt.timedelta(days=7 * (week - 1) + person.weekday[day])
        mass = round(person.body_mass * math.exp(person.body_mass_rate / 100 * week + rng.normal(0, 0.004)), 1)
        session = Session(date, week, day, mass)
        train(body, person, session, first_day=day in person.first_days)
        sessions.append(session)
    return sessions


def number(value: float | None, decimal: str = ".") -> str:
    return "" if value is None or math.isnan(value) else f"{value:g}".replace(".", decimal)


def circuit_rows(person: Person, session: Session) -> list[list[str]]:
    """Round by round, station by station. Body mass is on the first row of a week's first session."""
    stations = list(dict.fromkeys(d.lift.name for d in session.sets))
    order = sorted(session.sets, key=lambda d: (d.set_no, stations.index(d.lift.name)))
    rows = []
    for d in order:
        mass = number(session.body_mass) if not rows and session.day == "A" else ""
        side = {"L": "left", "R": "right"}.get(d.side, "")
        load = "" if d.lift.hold else "BW" if d.lift.share else number(d.load)
        rir = number(math.nan if math.isnan(d.rir) else float(math.floor(d.rir + 0.5)))
        rows.append([session.date.isoformat(), f"Circuit {session.day}", str(d.set_no), str(stations.index(d.lift.name) + 1),
                     d.lift.name, side, load, number(d.reps), number(d.hold), rir, mass, ""])
    return rows


def gym_rows(person: Person, session: Session) -> list[list[str]]:
    """Exercise by exercise with warm-up sets, month/day/year, pounds, RPE = 10 - reserve."""
    rows, place, last = [], 0, ""
    for d in session.sets:
        place, last = (place + 1 if d.lift.name == last else 1), d.lift.name
        rpe = "" if math.isnan(d.rir) else number(10 - d.rir)
        note = person.notes.get(session.week, "") if not rows else ""
        rows.append([session.date.strftime("%m/%d/%Y"), session.day, d.lift.name, str(place), "Warm-up" if d.warm_up else "Work",
                     "BW" if d.lift.share else number(d.load), number(d.reps), rpe, note])
    return rows


def holds_rows(person: Person, session: Session) -> list[list[str]]:
    """Semicolons, decimal comma, day.month.year; the load is what is added to the body, or the dumbbell."""
    return [[session.date.strftime("%d.%m.%Y"), session.day, d.lift.name, str(d.set_no), d.side,
             "" if d.lift.band else number(d.load, ","), number(d.reps), number(d.hold), number(d.rir, ","),
             number(session.body_mass, ",")] for d in session.sets]


ROWS = {"Mina": circuit_rows, "Oskar": gym_rows, "Tilde": holds_rows}


def csv_text(rows: list, delimiter: str = ",", line_end: str = "\n") -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator=line_end).writerows(rows)
    return out.getvalue()


def log_bytes(name: str) -> bytes:
    """One athlete's file with its damaged rows put in at the end of their session."""
    person = PEOPLE[name]
    rows = [row for session in log_of(person) for row in ROWS[name](person, session)]
    for after, damaged in DAMAGED[name]:
        rows.insert(1 + max(i for i, row in enumerate(rows) if row[0] == after), damaged)
    text = csv_text([person.header, *rows], person.delimiter, person.line_end)
    return text.encode(person.encoding)


def all_files() -> dict[Path, bytes]:
    """Path and content of every file that this script writes."""
    files = {FOLDER / "logs" / f"{name}.csv": log_bytes(name) for name in PEOPLE}
    people = [["athlete", "level", "equipment"], *([n, p.level, p.equipment] for n, p in PEOPLE.items())]
    files[FOLDER / "athletes.csv"] = csv_text(people).encode()
    files[FOLDER / "truths.csv"] = csv_text([TRUTH_HEADER, *TRUTHS]).encode()
    return files


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description="Write the invented logs of this folder.")
    parser.add_argument("--check", action="store_true", help="write nothing; exit 1 if a file differs")
    check = parser.parse_args(arguments).check
    differing = {p: c for p, c in all_files().items() if not p.exists() or p.read_bytes() != c}
    for path, content in differing.items():
        print(f"{'differs' if check else 'written'}: {path.relative_to(FOLDER)}")
        if not check:
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(content)
    return int(check and bool(differing))


if __name__ == "__main__":
    sys.exit(main())

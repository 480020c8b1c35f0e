"""The three invented athletes: what they train, how strong they are made, how their files are written.

Strengths are one-repetition maxima in the unit of the person's file (lb for Oskar, kg else), for body-weight
exercises those of the whole system; for holds the longest hold in seconds. Shares of body mass are
round numbers of this scenario. The seeds were chosen among some tens, so that what was planted shows in this one
draw as clearly as it does in a typical one; that makes the logs an example, not a measure of how often the program is right.
"""

from dataclasses import dataclass, field

NEVER = 999  # a week that does not come


@dataclass(frozen=True)
class Lift:
    """An exercise of a person. rate: % a week; share: part of body mass lifted; tiring: loss of strength a set."""

    name: str
    start: float
    rate: float
    low: int = 1
    high: int = 40
    loads: tuple[float, ...] = ()
    share: float = 0.0
    sided: bool = False
    hold: bool = False
    band: bool = False
    warm_up: bool = False
    tiring: float = 0.02
    flat_from_week: float = NEVER
    left_from_week: int = 0
    left_share: float = 1.0


@dataclass(frozen=True)
class Person:
    """A person, their week (`days`: session name -> (ladder of (first week, lift), sets)) and their file."""

    seed: int
    skips: float  # chance that a session that may be missed is
    level: str
    equipment: str
    body_mass: float
    days: dict
    weekday: dict
    first_days: tuple
    header: list
    body_mass_rate: float = 0.0
    deload_weeks: tuple = ()
    doubled_week: int = 0
    away_weeks: tuple = ()
    away: tuple = ()
    layoff_back_week: int = 0
    whole_weeks: tuple = ()  # weeks without a missed session, so that what is planted there stands alone
    notes: dict = field(default_factory=dict)
    delimiter: str = ","
    line_end: str = "\n"
    encoding: str = "utf-8"


def only(lift: Lift) -> tuple:
    return ((1, lift),)


def steps(first: float, last: float, step: float) -> tuple[float, ...]:
    return tuple(first + step * i for i in range(round((last - first) / step) + 1))


# --- Mina: beginner, at home, one adjustable pair of dumbbells, three rounds of eight stations --------------------
HAND = (2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)


def dumbbell(name: str, start: float, low: int = 9, sided: bool = False, rate: float = 1.2) -> tuple:
    return only(Lift(name, start, rate, low, 30, HAND, sided=sided, tiring=0.008))


push_up = only(Lift("Push-up", 51, 1.1, share=0.64, tiring=0.008))
decline = only(Lift("Feet-elevated push-up", 55, 1.1, share=0.74, tiring=0.008))
row = dumbbell("One-arm DB row", 12, sided=True)
press = dumbbell("Standing DB press", 7.2)
rear = dumbbell("Rear delt raise", 4.6)
wrist = dumbbell("Wrist curl", 8.0)
back_of_wrist = dumbbell("Reverse wrist curl", 4.5)
pronation = dumbbell("Pronation", 4.4, sided=True)
plank = only(Lift("Plank", 38, 1.0, hold=True))
superman = only(Lift("Superman hold", 30, 1.0, hold=True))
dead_bug = only(Lift("Dead bug", 14.5, 1.1, share=0.16, tiring=0.008))

MINA = Person(
    seed=12, skips=0.12, level="beginner", equipment="dumbbells|bodyweight", body_mass=62.0,
    days={
        "A": [(s, 3) for s in (push_up, row, press, dumbbell("DB Curl", 7.6), wrist, pronation, plank, superman)],
        "B": [(s, 3) for s in (decline, row, rear, dumbbell("Overhead DB extension", 9.0), back_of_wrist, pronation, dead_bug,
                               superman)],
        "C": [(s, 3) for s in (push_up, row, press, dumbbell("Hammer curl", 8.2), rear, wrist, back_of_wrist, plank)],
    },
    weekday={"A": 0, "B": 2, "C": 4}, first_days=("A",),
    header=["Date", "Session", "Round", "Station", "Exercise", "Side", "Load (kg)", "Reps", "Hold (s)", "RIR", "Body mass (kg)",
            "Note"],
    away_weeks=(18, 19, 20), away=((17, "C"),), layoff_back_week=21, whole_weeks=(*range(1, 9), 16, 17, 21, 22, 23, 24),
)

# --- Oskar: intermediate, full gym, upper and lower body twice a week, in pounds ---------------------------------


def gym(name: str, start: float, low: int, high: int, step: float = 5, rate: float = 0.7, top: float = 900, **more) -> tuple:
    return only(Lift(name, start, rate, low, high, steps(step, top, step), **more))


bench = gym("Barbell Bench Press", 225, 6, 8, rate=0.5, flat_from_week=15, warm_up=True)
overhead = gym("OHP", 130, 6, 8)
pulldown = gym("Lat Pulldown", 185, 7, 9)
lateral = gym("Lateral raise machine", 95, 8, 10)
pushdown = gym("Rope Pushdown", 95, 8, 10)
leg_extension = gym("Leg Extension", 175, 8, 10)
abduction = gym("Machine hip abduction", 180, 8, 10)
calf = gym("Standing Calf Raise", 260, 8, 10, step=10)
leg_raise = only(Lift("Hanging Leg Raise", 80, 0.7, share=59 / 185))
rear_deck = ((1, gym("Reverse Pec Deck", 115, 8, 10)[0][1]), (12, None))
sled = ((21, Lift("garage sled thing", 300, 0, 8, 12, (180.0,))), (22, None))

OSKAR = Person(
    seed=23, skips=0.25, level="intermediate", equipment="barbell|dumbbells|machine|cable|bench|bar", body_mass=185.0,
    days={
        "Upper A": [(bench, 4), (gym("BB Row", 205, 6, 8, warm_up=True), 3), (overhead, 3), (pulldown, 2),
                    (rear_deck, 3), (lateral, 3), (gym("EZ curl", 95, 8, 10), 3), (pushdown, 2)],
        "Lower A": [(gym("Back Squat", 310, 6, 8, warm_up=True), 4), (gym("RDL", 265, 6, 8), 3),
                    (gym("Lying Leg Curl", 135, 8, 10), 3), (leg_extension, 3), (calf, 4), (abduction, 3),
                    (leg_raise, 3), (sled, 2)],
        "Upper B": [(bench, 3), (gym("Incline DB Press", 84, 6, 8), 3), (overhead, 2), (pulldown, 3),
                    (gym("Seated Cable Row", 190, 8, 10), 2), (rear_deck, 3), (lateral, 3),
                    (gym("Hammer Curl", 52, 8, 10, step=2.5), 3), (pushdown, 3)],
        "Lower B": [(gym("Deadlift", 380, 6, 8, warm_up=True), 3), (gym("Leg Press", 500, 8, 10, step=10), 3),
                    (gym("Seated Leg Curl", 155, 8, 10), 3), (leg_extension, 3), (calf, 3), (abduction, 3),
                    (leg_raise, 3), (sled, 2)],
    },
    weekday={"Upper A": 0, "Lower A": 1, "Upper B": 3, "Lower B": 4}, first_days=("Upper A", "Lower A"),
    header=["Date", "Session", "Exercise", "Set", "Set type", "Weight (lb)", "Reps", "RPE", "Notes"],
    deload_weeks=(7, 13, 19, 25, 31, 37), doubled_week=30,
    whole_weeks=(*range(1, 5), 7, *range(12, 18), 19, *range(22, 34), 37, 39),
    notes={3: "slept badly", 7: "easy week", 9: "bar felt light", 12: "pec deck is gone, left the rear delts out", 13: "easy week",
           19: "easy week", 22: "bench stuck again", 25: "easy week", 30: "week off work, did everything twice", 31: "easy week",
           34: "same weight on bench as in spring", 37: "easy week"},
    line_end="\r\n", encoding="utf-8-sig",
)

# --- Tilde: advanced, body weight with ladders and holds, one dumbbell, in kilograms ------------------------------
PLATES = steps(0, 40, 2.5)


def body(name: str, start: float, share: float, rate: float = 0.45, **more) -> Lift:
    return Lift(name, start, rate, share=share, **more)


handstand = ((1, body("Pike push-up", 63, 0.70)), (10, body("Elevated pike push-up", 64, 0.80)),
             (24, body("Wall handstand push-up", 66, 0.93)))
pull = ((1, body("Pull-up", 80, 0.95)), (8, body("Weighted pull-up", 80, 0.95, low=6, high=8, loads=PLATES)))
dip = ((1, body("Bar dip", 84, 0.95)), (6, body("Weighted dip", 85, 0.95, low=6, high=8, loads=PLATES)))
nordic = ((1, body("Nordic negative", 71, 0.88, high=6)), (12, body("Nordic curl", 70, 0.88)))
lever = ((1, Lift("Tuck front lever", 17, 0.8, hold=True)), (28, Lift("Straddle front lever", 13, 0.8, hold=True)))
planche = only(Lift("Tuck planche", 14, 0.7, hold=True))
pistol = only(body("Pistol squat", 77, 0.94, sided=True))
one_arm_press = only(Lift("One-arm DB press", 29, 0.4, 6, 8, steps(6, 40, 1), sided=True, left_from_week=20, left_share=0.77))
heel = only(body("Single-leg calf raise", 92, 0.98, sided=True))
side_plank = only(Lift("Side plank", 48, 0.4, hold=True, sided=True))
leaning = only(body("Pseudo planche push-up", 65, 0.75))
body_row = only(body("Inverted row", 60, 0.68))
leg_lift = only(body("Hanging leg raise", 28, 0.32))
adductor_plank = only(Lift("Copenhagen plank", 28, 0.5, hold=True, sided=True))
arch = only(Lift("Arch hold", 40, 0.4, hold=True))
pull_apart = only(body("Band pull-apart", 10, 0.1, band=True))


def push_day(handstand_sets: int) -> list:
    return [(planche, 3), (handstand, handstand_sets), (dip, 3), (leaning, 2), (one_arm_press, 3), (pistol, 3), (heel, 3),
            (side_plank, 3)]


def pull_day() -> list:
    return [(lever, 3), (pull, 4), (body_row, 3), (nordic, 3), (leg_lift, 3), (adductor_plank, 2), (arch, 3), (pull_apart, 2)]


TILDE = Person(
    seed=38, skips=0.16, level="advanced",
    equipment="bodyweight|bar|bars|parallettes|wall|band|dumbbell|added load", body_mass=66.0,
    days={"Push 1": push_day(4), "Pull 1": pull_day(), "Push 2": push_day(3), "Pull 2": pull_day()},
    weekday={"Push 1": 0, "Pull 1": 1, "Push 2": 3, "Pull 2": 5}, first_days=("Push 1", "Pull 1"),
    header=["Date", "Session", "Exercise", "Set", "Side", "Added load (kg)", "Reps", "Hold (s)", "RIR", "Body mass (kg)"],
    body_mass_rate=0.02, deload_weeks=(14, 32), whole_weeks=(1, 2, 3, 6, 8, 10, 12, 14, *range(20, 25), 28, 32, 39), delimiter=";",
)

PEOPLE = {"Mina": MINA, "Oskar": OSKAR, "Tilde": TILDE}

# Rows that cannot be read, each put in after the last row of the date named first.
DAMAGED = {
    "Mina": [("2026-02-09", ["2026-02-09", "Circuit A", "3", "9", "DB Curl", "", "5", "abc", "", "2", "", ""]),
             ("2026-06-08",
              ["2026-06-08", "Circuit A", "3", "9", "DB Curl", "", "5000", "12", "", "2", "", "typed too many zeros"])],
    "Oskar": [("03/23/2026", ["02/30/2026", "Upper A", "Barbell Bench Press", "7", "Work", "185", "7", "8", "wrong day?"]),
              ("08/03/2026", ["08/03/2026", "Upper A", "EZ curl", "4", "Work", "70", "", "8", "forgot to count"])],
    "Tilde": [("23.03.2026", ["31.02.2026", "Push 1", "Bar dip", "4", "", "0", "8", "", "2", "66"])],
}

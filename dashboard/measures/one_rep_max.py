"""Estimated one-repetition maximum (e1RM) from a set of several repetitions.

Seven published equations, one function each, named for its author, and the choice made here from two of
them. All take a load and the repetitions that were possible with it (repetitions + repetitions in reserve)
and give kilograms in the shape of their inputs; nan for a load that is not above 0 or fewer than one
repetition. An e1RM is an index of one exercise over time: at 80 % of maximum the repetitions possible in
the leg press and the bench press differ by about four (Nuzzo et al. 2024, doi:10.1007/s40279-023-01937-7),
so it is compared with itself, never across exercises or people.

Coefficients are as commonly reprinted; the original pages of 1985-1994 were not at hand.
"""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike

from etl.refusal import Refusal
from etl.settings import RULES, Rules


def e1rm(load_kg: ArrayLike, reps: ArrayLike, equation: str = "lower_of_two", rules: Rules = RULES) -> np.ndarray:
    """Estimated one-repetition maximum in kg by one of `EQUATIONS`.

    load_kg: load moved, kg (with its share of body mass where the exercise carries it).
    reps: repetitions + repetitions in reserve, 1 or more. One repetition returns the load itself,
    whatever the equation says. Above `rules.reps_estimate_max` (15), where the seven equations differ by more
    than 22 %, and for a load that is not above 0: nan. Raises Refusal for a name not in `EQUATIONS`.

    >>> e1rm([100, 100, 100, 100], [1, 5, 12, 16]).round(4)
    array([100. , 112.5, 140. ,   nan])
    """
    if equation not in EQUATIONS:
        raise Refusal(f"There is no equation named {equation}", "equation", f"Choose one of {', '.join(EQUATIONS)}.")
    load, r = _valid(load_kg, reps)
    r = np.where(r <= rules.reps_estimate_max, r, np.nan)
    return np.where(r == 1, load, EQUATIONS[equation](load, r))


def lower_of_two(load_kg: ArrayLike, reps: ArrayLike) -> np.ndarray:
    """The lower of Brzycki (1993) and Epley (1985): W · min(36/(37 − r), 1 + r/30), kg.

    Brzycki up to 10 repetitions, where it was the most accurate (Mayhew et al. 1995, J Sports Med Phys
    Fitness 35(2):108-113); Epley above, which does not run away. Both are 4/3 at 10, so the two join without
    a step. Taking the lower is decided here. Within 2.3 points of the handbook table for 1-10 repetitions.

    >>> lower_of_two(100, [1, 8, 10, 15]).round(4)
    array([100.    , 124.1379, 133.3333, 150.    ])
    """
    return np.fmin(brzycki(load_kg, reps), epley(load_kg, reps))


def epley(load_kg: ArrayLike, reps: ArrayLike) -> np.ndarray:
    """Epley (1985): 1RM = W (1 + r/30), kg. Also printed with 0.0333.

    Reported for 2-10 repetitions; a true single comes out 3.3 % too high.
    Epley B. Poundage chart. Boyd Epley Workout. Lincoln: Body Enterprises, 1985.

    >>> epley(100, [5, 10]).round(4)
    array([116.6667, 133.3333])
    """
    load, r = _valid(load_kg, reps)
    return load * (1 + r / 30)


def brzycki(load_kg: ArrayLike, reps: ArrayLike) -> np.ndarray:
    """Brzycki (1993): 1RM = W · 36/(37 − r), kg. Printed as W/(1.0278 − 0.0278 r), the same within 0.1 %.

    For at most 10 repetitions, after its author; nan from 37, where the equation has no value.
    Brzycki M. Strength testing: predicting a one-rep max from reps-to-fatigue. JOPERD 1993;64(1):88-90,
    doi:10.1080/07303084.1993.10606684.

    >>> brzycki(100, [1, 5, 10, 37]).round(4)
    array([100.    , 112.5   , 133.3333,      nan])
    """
    load, r = _valid(load_kg, reps)
    return load * 36 / np.where(r < 37, 37 - r, np.nan)


def lander(load_kg: ArrayLike, reps: ArrayLike) -> np.ndarray:
    """Lander (1985): 1RM = 100 W/(101.3 − 2.67123 r), kg.

    For at most 10 repetitions; a true single comes out 1.4 % too high; nan where the divisor is not above 0
    (38 repetitions and more). Lander J. Maximums based on reps. NSCA Journal 1985;6(6):60-61.

    >>> lander(100, [5, 10]).round(4)
    array([113.7089, 134.0704])
    """
    load, r = _valid(load_kg, reps)
    percent = 101.3 - 2.67123 * r
    return 100 * load / np.where(percent > 0, percent, np.nan)


def lombardi(load_kg: ArrayLike, reps: ArrayLike) -> np.ndarray:
    """Lombardi (1989): 1RM = W r^0.10, kg.

    Low beside the others above 8 repetitions (−5.6 % against the handbook table at 10).
    Lombardi VP. Beginning Weight Training. Dubuque: W.C. Brown, 1989.

    >>> lombardi(100, [1, 5, 10]).round(4)
    array([100.    , 117.4619, 125.8925])
    """
    load, r = _valid(load_kg, reps)
    return load * r**0.10


def mayhew(load_kg: ArrayLike, reps: ArrayLike) -> np.ndarray:
    """Mayhew et al. (1992): 1RM = 100 W/(52.2 + 41.9 e^(−0.055 r)), kg.

    Fitted to the bench press of college students; a true single comes out 8.9 % too high.
    Mayhew JL, Ball TE, Arnold MD, Bowen JC. Relative muscular endurance performance as a predictor of bench
    press strength in college men and women. J Appl Sport Sci Res 1992;6(4):200-206.

    >>> mayhew(100, [5, 10]).round(4)
    array([119.0107, 130.9343])
    """
    load, r = _valid(load_kg, reps)
    return 100 * load / (52.2 + 41.9 * np.exp(-0.055 * r))


def oconner(load_kg: ArrayLike, reps: ArrayLike) -> np.ndarray:
    """O'Conner et al. (1989): 1RM = W (1 + 0.025 r), kg.

    Low beside the others from 8 repetitions (−6.3 % against the handbook table at 10).
    O'Conner B, Simmons J, O'Shea P. Weight Training Today. St Paul: West, 1989.

    >>> oconner(100, [5, 10]).round(4)
    array([112.5, 125. ])
    """
    load, r = _valid(load_kg, reps)
    return load * (1 + 0.025 * r)


def wathen(load_kg: ArrayLike, reps: ArrayLike) -> np.ndarray:
    """Wathen (1994): 1RM = 100 W/(48.8 + 53.8 e^(−0.075 r)), kg.

    A true single comes out 1.3 % too high. Wathen D. Load assignment. In: Baechle TR (ed). Essentials of
    Strength Training and Conditioning. Champaign: Human Kinetics, 1994, 435-446.

    >>> wathen(100, [5, 10]).round(4)
    array([116.5825, 134.7467])
    """
    load, r = _valid(load_kg, reps)
    return 100 * load / (48.8 + 53.8 * np.exp(-0.075 * r))


EQUATIONS: MappingProxyType[str, Callable[[ArrayLike, ArrayLike], np.ndarray]] = MappingProxyType(
    {f.__name__: f for f in (lower_of_two, brzycki, epley, lander, lombardi, mayhew, oconner, wathen)}
)


def _valid(load_kg: ArrayLike, reps: ArrayLike) -> tuple[np.ndarray, np.ndarray]:
    """Both as float arrays, nan where the load is not above 0 or there is not one whole repetition."""
    load, r = np.asarray(load_kg, dtype=float), np.asarray(reps, dtype=float)
    return np.where(load > 0, load, np.nan), np.where(r >= 1, r, np.nan)

"""Words of the trade in cells: sides, kinds of set, ranges, limits, units, yes and no.

Each function gives "" where a cell is blank or its word is not known.
"""

from __future__ import annotations

import pandas as pd

from etl.notation.blanks import by_distinct, plain


def _table(**words: str) -> dict[str, str]:
    return {word.strip(): meaning for meaning, listed in words.items() for word in listed.split(",")}


UNIT_WORDS = _table(kg="kg,kgs,kilo,kilos,kilogram,kilograms,kilogramme,kilogrammes",
                    lb="lb,lbs,pound,pounds,#")
SIDES = _table(
    left="l,left,left side,left arm,left leg,lt,lhs,left only", right="r,right,right side,right arm,right leg,rt,rhs,right only",
    both="both,b,both sides,bilateral,together,two,two arms,two legs,2",
    each="each,each side,per side,each arm,each leg,per arm,per leg,each hand,e/s,ea,l/r,l+r,r/l,r+l,l & r,l&r,left/right,"
         "right/left,left and right,left & right,alternating,alternate,alt,unilateral")
KINDS = _table(
    warm_up="w,wu,w/u,w-up,warm up,warm-up,warmup,warm_up,warm up set,warm-up set,warmup set,warming up,ramp,ramp up",
    drop="d,ds,drop,drop set,drop-set,dropset,drop_set,strip set",
    rest_pause="rp,r/p,rest pause,rest-pause,rest_pause,restpause",
    cluster="c,cl,cluster,cluster set,cluster-set",
    work="work,working,working set,work set,main,main set,top,top set,back off,back-off,backoff,back off set,back-off set,straight,"
         "straight set,normal,normal set,regular,standard,n,s,set,failure,to failure,f,amrap")
RANGES = _table(
    full="full,full range,full rom,complete,whole,f",
    lower_half="lower half,lower_half,bottom half,lower,bottom,bottom-half,lower-half",
    upper_half="upper half,upper_half,top half,upper,top,top-half,upper-half",
    part="part,partial,partials,partial range,half,half range,short,short range,quarter")
LIMITS = _table(
    muscle="muscle,muscles,muscular,strength,local fatigue", breath="breath,breathing,breathless,cardio,wind,air,conditioning",
    grip="grip,forearm,forearms,hands", form="form,technique,balance", pain="pain,ache,discomfort")
YES_NO = _table(yes="yes,y,true,t,1,1.0,x,✓,✔,☑,on", no="no,n,false,f,0,0.0,off,✗,✘,☐")
STATES = _table(planned="planned,scheduled,plan,to do,todo,upcoming,pending,prescribed",
                done="done,completed,complete,finished,performed,actual,logged")


def sides(text: pd.Series) -> pd.Series:
    """left, right, both, or each (both, one after the other, the count being that of one side)."""
    return _look_up(text, SIDES)


def kinds(text: pd.Series) -> pd.Series:
    """work, warm_up, drop, rest_pause or cluster."""
    return _look_up(text, KINDS)


def ranges(text: pd.Series) -> pd.Series:
    """full, lower_half, upper_half or part."""
    return _look_up(text, RANGES)


def limits(text: pd.Series) -> pd.Series:
    """What ended the set: muscle, breath, grip, form or pain."""
    return _look_up(text, LIMITS)


def units(text: pd.Series) -> pd.Series:
    """kg or lb."""
    return _look_up(text, UNIT_WORDS)


def booleans(text: pd.Series) -> pd.Series:
    """yes or no."""
    return _look_up(text, YES_NO)


def states(text: pd.Series) -> pd.Series:
    """planned or done."""
    return _look_up(text, STATES)


def _look_up(text: pd.Series, words: dict[str, str]) -> pd.Series:
    return by_distinct(text, lambda cell: words.get(plain(cell).rstrip("."), ""), "str")

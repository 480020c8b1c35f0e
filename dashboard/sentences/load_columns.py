"""Columns about load that raise nothing: what each is called, how it is worked out, and what it cannot say."""

from __future__ import annotations

UNCOUPLED, COUPLED, SMOOTHED = "acute_chronic_uncoupled", "acute_chronic_coupled", "acute_chronic_smoothed"
FELT, WITHOUT, EVEN, EVEN_MOST, STRAIN = "session_rpe_load", "sessions_without_load", "monotony", "monotony_most", "strain"
# Column -> its heading and its decimals, in the order of the table.
HEADINGS = {
    UNCOUPLED: ("A:C uncoupled", 2), COUPLED: ("A:C coupled", 2), SMOOTHED: ("A:C averaged", 2), FELT: ("session load, AU", 0),
    WITHOUT: ("no load", 0), EVEN: ("monotony", 2), EVEN_MOST: ("at most", 2), STRAIN: ("strain, AU", 0),
}
LIMITS = (
    "**None of these columns raises a flag or enters a message.** Of a week that is still running only the session load so far is shown.",
    "**A:C, acute to chronic,** is a ratio of hard sets: this week over the mean of the three before (*uncoupled*, U); over the mean of the "
    "four with itself among them (*coupled*, C = 4U/(3 + U), which cannot pass 4 whatever is done); and exponentially weighted averages of 7 and 28 days "
    "over each other (*averaged*, λ = 2/(N + 1)). The last one sinks with each day of rest before the Sunday on which it is read, the first day of the log still weighs "
    "14 % after four weeks, and no ratio is shown before. A week that is its own divisor goes along with its ratio by arithmetic alone "
    "(r about 0.5; Lolli 2019); divisors drawn at random gave much the same association as real ones, and at telling who had complaints it came to 0.57 where a coin "
    "comes to 0.5 (Impellizzeri 2021, doi:10.1007/s40279-020-01378-6): no useful prediction.",
    "**Session load** is session RPE × minutes (Foster 2001), in arbitrary units. A session without one of the two, or with two different values, "
    "has none and is counted under *no load*: the sum is then that of the others. It compares a person with themselves only.",
    "**Monotony** is the mean of the week's daily session loads over their sample SD (n − 1), days of rest as 0, and beside it the most that the week's training days allow; **strain** is load × monotony (Foster 1998). Where "
    "the SD is 0, or a session has no load, they are not defined (–). With five training days a week monotony cannot exceed 1.464, with four 1.069, with three "
    "0.802: for people who lift it mostly counts days of rest. No limit that holds for everybody is supported.",
)
NOTHING_FELT = "No session RPE with minutes is logged up to this week: a column for each in the log brings session load, monotony and strain."

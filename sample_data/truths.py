"""What was planted in the invented logs, and where nothing was. Every week is named by its Monday.

A planted row: a flag of that kind and subject has its first week from find_from to find_by.
A quiet row: no flag of the kinds in subject (kind|kind) has its first week from find_from to find_by, but for the
subjects in except (subject|subject), of which the row says nothing. Levels are those of athletes.csv.
"""

TRUTH_HEADER = ["athlete", "kind", "subject", "planted_week", "find_from", "find_by", "note", "except"]

FIRST, LAST = "2026-01-05", "2026-09-28"
BASELINE = "2026-02-02"  # the fifth week: no usual week is known before
LOAD = "spike|large_spike|session_spike|climb|return"
LEGS = ("gluteus_maximus|hip_abductors|hip_adductors|rectus_femoris|vasti|hamstrings_two_joint|gastrocnemius|soleus")


def planted(athlete: str, kind: str, subject: str, week: str, find_from: str, find_by: str, note: str) -> list[str]:
    return [athlete, kind, subject, week, find_from, find_by, note, ""]


def quiet(athlete: str, kinds: str, find_from: str, find_by: str, note: str, excepted: str = "") -> list[str]:
    return [athlete, "quiet", kinds, "", find_from, find_by, note, excepted]


TRUTHS = [
    planted("Mina", "return", "whole_body", "2026-05-25", "2026-05-25", "2026-05-25",
            "no session from 30 April to 24 May; straight back to every round on 25 May"),
    quiet("Mina", LOAD, BASELINE, "2026-05-18", "three rounds a week as ever, now and then a session missed"),
    quiet("Mina", LOAD, "2026-06-22", LAST, "the same rounds after the return"),
    quiet("Mina", "new_area", "2026-03-02", LAST, "the first eight weeks are a beginner's first weeks"),
    quiet("Mina", "below_band", FIRST, LAST, "every main part of arms, shoulders, chest, back and trunk has its sets", LEGS),
    quiet("Mina", "side_difference|first_exposure", FIRST, LAST, "both sides do the same; no exercise comes or goes"),
    planted("Oskar", "plateau", "barbell_bench_press", "2026-04-13", "2026-04-13", "2026-08-31",
            "0.5 % a week to 12 April, flat after; to be found within 20 weeks"),
    planted("Oskar", "large_spike", "whole_body", "2026-07-27", "2026-07-27", "2026-07-27", "2.3 times the usual sets in one week"),
    planted("Oskar", "below_band", "deltoid_spinal", "2026-03-23", "2026-04-20", "2026-05-04",
            "direct sets end; rows leave 2.5 a week, 8.5 before; the mean of four weeks takes as long, and one is an easy week"),
    quiet("Oskar", LOAD + "|new_area", BASELINE, "2026-07-20", "steady, with easy weeks and a session missed now and then"),
    quiet("Oskar", "spike|large_spike|session_spike|return|new_area", "2026-08-03", LAST, "steady again after the one week"),
    quiet("Oskar", "climb", "2026-09-14", LAST, "the one week has left the last four active ones"),
    quiet("Oskar", "plateau|declining", FIRST, "2026-04-06", "everything rises"),
    quiet("Oskar", "plateau|declining", "2026-04-13", LAST, "everything but the bench press goes on rising",
          "barbell_bench_press|chest_sternal|pectoralis_major_clavicular_head"),
    quiet("Oskar", "below_band", FIRST, LAST, "every other main part has its sets", "deltoid_spinal"),
    quiet("Oskar", "side_difference|first_exposure", FIRST, LAST, "nothing one-sided; no known exercise is new"),
    planted("Tilde", "side_difference", "single_arm_dumbbell_press", "2026-05-18", "2026-06-08", "2026-06-29",
            "left 20-25 % lighter for the same repetitions, twice a week; four weeks of it are needed"),
    quiet("Tilde", LOAD + "|new_area", BASELINE, LAST, "steady, with two easy weeks; ladder steps change no part by half"),
    quiet("Tilde", "below_band", FIRST, LAST, "every main part has its sets"),
    quiet("Tilde", "side_difference", FIRST, LAST, "the other one-sided exercises are even", "single_arm_dumbbell_press"),
    quiet("Tilde", "side_difference", FIRST, "2026-05-11", "the one-arm press too is even until then"),
    quiet("Tilde", "first_exposure", FIRST, LAST, "each new step of a ladder starts with one set, then two"),
]

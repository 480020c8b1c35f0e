"""The catalogue, to be looked up: what trains a head, what an exercise trains, its variants, and the studies behind it.

All of it is of the catalogue in use: the shipped tables with what the keeper of the store changed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
import pandas as pd

from dashboard.queries.words import exercise_words, head_words
from dashboard.sentences.catalogue import CREDITS
from dashboard.sentences.decimal_mark import marked, told
from etl import findings as judge
from etl import tables
from etl.own.what import OWN_GRADE, OWN_ID

APART = 2  # [D] tiers: with each credit one tier less sure, two that are further apart keep their order
# What there is to train with; None: everything.
KITS = {"all": None, "home": frozenset({"bodyweight", "dumbbell", "dumbbells", "bench", "band", "added_load", "towel", "box", "kettlebell", "kettlebells", "plate"}),
        "own": frozenset({"bodyweight", "box", "towel"})}
AUTHOR, YEAR = re.compile(r"([^,.\d]+?) [A-Z]{1,4}(?=[,. ]| et al)"), re.compile(r"\b(?:19|20)\d\d\b")
CITED = 60  # letters of a citation that names no author
CLAIM = re.compile(r"^E\d+\b[^;]*;?\s*")
RELATION = {">": "more than", "~": "about as much as"}
VERDICTS = {judge.AGREES: "the table agrees", judge.TIE: "the table has them alike", judge.CONTRADICTS: "the table says otherwise"}


@dataclass(frozen=True)
class Exercise:
    """What the catalogue says of an exercise as a whole, in words; `facts` label -> value."""

    identifier: str
    name: str
    own: bool
    facts: Mapping[str, str]
    other_names: tuple[str, ...]


def heads_of(exercise: str, modifiers: str = "") -> pd.DataFrame:
    """One row per head that the exercise trains, the most direct first: head, name, word, muscle, part, credit, tier, grade, own,
    other_reading, note, source, where. credit: as done with the modifiers; tier: the word for the catalogue's own."""
    same, left = tables.same_exercise(exercise, modifiers)
    now = tables.modified_credits(same, left)
    table = tables.credits()
    found = table[table["exercise_id"] == same].merge(_heads(), on="head_id")
    sources = _cited()
    return pd.DataFrame({
        "head": found["head_id"], "name": found["ta_name"], "word": found["common_name"], "muscle": found["muscle"], "part": found["part"],
        "credit": found["head_id"].map(now).astype(float), "base": found["credit"], "tier": found["credit"].map(CREDITS), "grade": found["grade"],
        "own": found["grade"] == OWN_GRADE, "other_reading": found["other_reading"], "note": _notes(found),
        "source": found["source_id"].map(sources), "source_id": found["source_id"], "where": found["where_in_source"],
    }).assign(order=found["head_id"].map({head: i for i, head in enumerate(head_words())})).sort_values(
        ["base", "order"], ascending=[False, True], kind="stable", ignore_index=True).drop(columns="order")


def untrained(exercise: str) -> pd.DataFrame:
    """The heads that an exercise leaves out of the muscles of which it trains another head: name, muscle."""
    heads, own = _heads(), set(tables.modified_credits(exercise))
    muscles = set(heads.loc[heads["head_id"].isin(own), "muscle"])
    found = heads[heads["muscle"].isin(muscles) & ~heads["head_id"].isin(own)]
    return pd.DataFrame({"name": found["ta_name"], "muscle": found["muscle"]}).reset_index(drop=True)


def exercises_of(head: str, kit: str = "all") -> pd.DataFrame:
    """One row per exercise that trains a head and can be done with a kit (a key of KITS), the most direct first, then the best measured: exercise, name, equipment, level, credit,
    tier, grade, own, other_reading, note, source, where, findings (how many of the studies' comparisons are of this head in it)."""
    table = tables.credits()
    found = table[table["head_id"] == head].merge(tables.exercises()[["exercise_id", "name", "equipment", "level"]], on="exercise_id")
    there = KITS[kit]
    found = found[[there is None or any(option <= there for option in tables.equipment_options(text)) for text in found["equipment"]]]
    counts = _findings_by_exercise(head)
    sources = _cited()
    return pd.DataFrame({
        "exercise": found["exercise_id"], "name": found["name"], "equipment": found["equipment"].map(equipment_words), "level": found["level"],
        "credit": found["credit"], "tier": found["credit"].map(CREDITS), "grade": found["grade"], "own": found["grade"] == OWN_GRADE,
        "other_reading": found["other_reading"], "note": _notes(found), "source": found["source_id"].map(sources),
        "where": found["where_in_source"], "findings": found["exercise_id"].map(counts).fillna(0).astype(int),
    }).sort_values(["credit", "grade", "findings", "name"], ascending=[False, True, False, True], kind="stable", ignore_index=True)


def heads_overview() -> pd.DataFrame:
    """One row per head, in the catalogue's order: head, muscle, name, word, part, direct (exercises of credit 1), measured and home (how many
    of them have grade A, how many can be done at home), findings."""
    direct = tables.credits().query("credit == 1").merge(tables.exercises()[["exercise_id", "equipment"]], on="exercise_id")
    direct["home"] = [any(option <= KITS["home"] for option in tables.equipment_options(text)) for text in direct["equipment"]]
    by_head = direct.groupby("head_id").agg(direct=("exercise_id", "size"), measured=("grade", lambda grade: (grade == "A").sum()), home=("home", "sum"))
    heads = _heads().merge(by_head, left_on="head_id", right_index=True, how="left").fillna({"direct": 0, "measured": 0, "home": 0})
    counts = tables.evidence()["head_id"].value_counts()
    found = heads.rename(columns={"head_id": "head", "ta_name": "name", "common_name": "word"}).assign(findings=heads["head_id"].map(counts).fillna(0))
    return found.astype({column: int for column in ("direct", "measured", "home", "findings")})[
        ["head", "muscle", "name", "word", "part", "direct", "measured", "home", "findings"]]


def exercise(identifier: str) -> Exercise:
    """The exercise's facts in words."""
    table = tables.exercises()
    row = table[table["exercise_id"] == identifier].iloc[0]
    loads = {"external": "what is written" + (", for one hand" if row["per_hand"] == "yes" else ""),
             "body": f"{row['bodymass_share'] * 100:.0f} % of body mass" + (" and what both hands hold" if row["per_hand"] == "yes" else " and what is added")
             + {"P": "", "E": " (an estimate, not measured)", "D": " (worked out from published numbers)", "C": " (by convention)"}.get(row["bodymass_share_mark"], "")}
    work = "held, in seconds" if row["mode"] == "hold" else f"{row['reps_low']:.0f} to {row['reps_high']:.0f} repetitions are usual"
    cautions = [word for column, word in (("inverted", "head down"), ("mostly_eccentric", "mostly lowering")) if row[column] == "yes"]
    facts = {"movement": row["movement_pattern"], "equipment": equipment_words(row["equipment"]), "level": f"from {row['level']} on", "sides": row["laterality"],
             "load": loads[row["load_basis"]], "done": work,
             "the prime mover is long": {"lower": "in the lower half", "upper": "in the upper half", "none": "not known, or a hold"}[row["long_end"]],
             "estimated maximum": "yes" if row["strength_estimate"] == "yes" else "no: repetitions with a load say nothing about it"}
    if cautions:
        facts["mind"] = ", ".join(cautions)
    names = tables.aliases()
    others = names[(names["exercise_id"] == identifier) & (names["kind"] != "name") & (names["modifiers"] == "")]["alias"]
    return Exercise(identifier, row["name"], identifier.startswith(OWN_ID), facts, tuple(dict.fromkeys(others)))


def steps_of(identifier: str) -> pd.DataFrame:
    """The ladder that an exercise stands on, first step first: exercise, name, step, here, enter, leave. Empty where it stands on none."""
    table = tables.by_id()
    ladder = table.loc[identifier, "ladder_id"]
    steps = table[table["ladder_id"] == ladder].sort_values("ladder_step") if ladder else table.iloc[:0]
    rules = tables.steps_by_id()
    rows = [{"exercise": one, "name": row["name"], "step": int(row["ladder_step"]), "here": one == identifier,
             "enter": _enter(rules.loc[one]), "leave": _leave(rules.loc[one])} for one, row in steps.iterrows()]
    return pd.DataFrame(rows, columns=["exercise", "name", "step", "here", "enter", "leave"])


def ladder_name(identifier: str) -> str:
    """The name of the ladder that an exercise stands on; "" for none."""
    table = tables.by_id()
    names = dict(zip(tables.ladders()["ladder_id"], tables.ladders()["name"], strict=True))
    return names.get(table.loc[identifier, "ladder_id"], "")


def variants_of(identifier: str) -> pd.DataFrame:
    """What grips, widths, rotations, stances and ranges do to its heads: modifier, value, what, grade, note, source, cited, where.

    A modifier that makes another exercise of it says which. One row per modifier, value and effect.
    """
    pattern = tables.by_id().loc[identifier, "movement_pattern"]
    own = tables.modified_credits(identifier)
    equal = tables.equivalents()
    rows = [{"modifier": row.modifier, "value": row.value, "what": f"it is {exercise_words()[row.same_as]}", "grade": "", "note": "", "source": "decided here", "cited": "", "where": ""}
            for row in equal[equal["exercise_id"] == identifier].itertuples()]
    usual = tables.modifier_pairs(tables.by_id().loc[identifier, "default_modifiers"])
    taken = {(row["modifier"], row["value"]) for row in rows} | set(usual.items())
    table = tables.variants()
    applies = table["applies_to"].map(lambda text: bool({identifier, f"pattern:{pattern}"} & set(tables.listed(text))))
    found = table[applies & table["head_id"].isin(list(own))]
    sources, cited = _cited(), _shortly()
    for (modifier, value, effect, source, note), group in found.groupby(["modifier", "value", "effect_type", "source_id", "note"], sort=False):
        if (modifier, value) in taken:
            continue
        rows.append({"modifier": modifier, "value": value, "what": _effect(effect, group), "grade": group["grade"].iloc[0], "note": _readable(note),
                     "source": sources.get(source, source), "cited": cited.get(source, source), "where": group["where_in_source"].iloc[0]})
    return pd.DataFrame(rows, columns=["modifier", "value", "what", "grade", "note", "source", "cited", "where"])


def findings_of(identifier: str, other: str | None = None) -> pd.DataFrame:
    """The studies' comparisons that an exercise is in, with `other` only those between the two: claim, says, measured, who, verdict,
    reason, source, cited, where, checked."""
    table = _judged()
    a, b = (table[f"catalogue_ref_{side}"].str.partition("@")[0] for side in "ab")
    here = (a == identifier) | (b == identifier)
    if other:
        here = ((a == identifier) & (b == other)) | ((a == other) & (b == identifier))
    found = table[here]
    sources, checked = _cited(), tables.sources().set_index("source_id")["checked"]
    return pd.DataFrame({
        "claim": found["claim_id"], "says": [_says(row) for row in found.itertuples()], "measured": (found["metric"] + np.where(found["values"] != "", ": ", "") + found["values"]).map(_readable),
        "who": found["population"].map(_readable), "verdict": found["verdict"].map(VERDICTS), "reason": found["reason"].map(_readable), "source": found["source_id"].map(sources),
        "cited": found["source_id"].map(_shortly()), "where": found["where_in_source"], "checked": found["source_id"].map(checked).str.replace("_", " ")}).reset_index(drop=True)


def compared(one: str, other: str) -> pd.DataFrame:
    """Two exercises head by head, the largest difference first: head, name, word, muscle, credit_a, credit_b, grade_a, grade_b, measured, apart.

    measured: whether a study found the two so, and none the contrary. apart: that, or credits further apart than their uncertainty of one tier each.
    """
    a, b = (heads_of(each).set_index("head") for each in (one, other))
    both = sorted({*a.index, *b.index}, key=list(head_words()).index)
    told = a.combine_first(b).loc[both, ["name", "word", "muscle"]]
    found = told.assign(credit_a=a["base"].reindex(both).fillna(0), credit_b=b["base"].reindex(both).fillna(0),
                        grade_a=a["grade"].reindex(both).fillna(""), grade_b=b["grade"].reindex(both).fillna(""))
    seen = _judged()
    of_both = [{a.partition("@")[0], b.partition("@")[0]} == {one, other} for a, b in zip(seen["catalogue_ref_a"], seen["catalogue_ref_b"], strict=True)]
    between = seen[np.array(of_both, bool) & (seen["relation"] == ">")]
    agrees, against = (set(between.loc[between["verdict"] == verdict, "head_id"]) for verdict in (judge.AGREES, judge.CONTRADICTS))
    found["measured"] = found.index.isin(list(agrees - against))
    far = [bool(abs(_tier(x) - _tier(y)) > APART) for x, y in zip(found["credit_a"], found["credit_b"], strict=True)]
    found["apart"] = found["measured"] | pd.Series(far, index=found.index)
    return found.assign(size=(found["credit_a"] - found["credit_b"]).abs()).sort_values("size", ascending=False, kind="stable").drop(columns="size").reset_index(names="head")


def equipment_words(text: str) -> str:
    """'bench|bench+dumbbells' in words."""
    return " or ".join(" and ".join(thing.replace("_", " ") for thing in option.split("+")) for option in tables.listed(text))


@tables.per_catalogue
def _judged() -> pd.DataFrame:
    """Every finding, held against the credits in use: several parts of a page ask for it."""
    return judge.judged()


def _tier(credit: float) -> int:
    return sorted(CREDITS).index(credit)


def _heads() -> pd.DataFrame:
    parts = tables.parts()
    part = {head: word for word, heads in zip(parts["coach_word"], parts["heads"], strict=True) for head in tables.listed(heads)}
    heads = tables.heads()[["head_id", "ta_name", "common_name", "muscle"]]
    return heads.assign(part=heads["head_id"].map(part).fillna(""))


def _cited() -> dict[str, str]:
    """Source id -> its citation, with its DOI."""
    table = tables.sources()
    return {row.source_id: row.citation + (f". doi:{row.doi}" if row.doi else "") for row in table.itertuples()}


def _shortly() -> dict[str, str]:
    """Source id -> first author and year, with its DOI; the beginning of the citation where it names no author."""
    return {row.source_id: _name_of(row) + (f" doi:{row.doi}" if row.doi else "") for row in tables.sources().itertuples()}


def _name_of(source) -> str:
    """A source's first author and year, its author alone for a textbook; the beginning of the citation where it names nobody."""
    if source.checked == "none":
        return source.source_id.replace("_", " ").replace("trade convention", "common practice").replace("catalogue decision", "decided here")
    author, year = AUTHOR.match(source.citation), YEAR.search(source.citation)
    if author:
        return f"{author[1]} {year[0]}" if year else f"{author[1]}, textbook"
    return source.citation if len(source.citation) <= CITED else source.citation[:CITED].rpartition(" ")[0] + "..."


@cache
def _ids() -> tuple[re.Pattern[str], dict[str, str]]:
    """Source ids as they stand in notes, and what a reader sees in their place."""
    names = {row.source_id: _name_of(row) for row in tables.sources().itertuples() if "_" in row.source_id}
    return re.compile(rf"\b(?:{'|'.join(sorted(map(re.escape, names), key=len, reverse=True))})\b"), names


def _readable(text: str) -> str:
    """A note of the shipped tables, for the reader."""
    return told(_named(text))


def _named(text: str) -> str:
    """A note with authors and years in place of source ids."""
    pattern, names = _ids()
    return pattern.sub(lambda found: names[found[0]], text)


def _notes(credits: pd.DataFrame) -> list[str]:
    """Each credit's note without the number of the study's claim, which is listed with the studies; one's own as it was written."""
    notes = [_named(CLAIM.sub("", note)) for note in credits["note"]]
    return [note if grade == OWN_GRADE else told(note) for note, grade in zip(notes, credits["grade"], strict=True)]


def _findings_by_exercise(head: str) -> dict[str, int]:
    table = tables.evidence()
    own = table[table["head_id"] == head]
    refs = pd.concat([own["catalogue_ref_a"], own["catalogue_ref_b"]])
    return refs[refs != ""].str.split("@").str[0].value_counts().to_dict()


def _says(row) -> str:
    what = head_words().get(row.head_id, row.head_id)
    other = head_words().get(row.exercise_b.removeprefix(judge.HEAD), row.exercise_b) if row.comparison == "head" else row.exercise_b
    where = f"{row.exercise_a}: {what} {RELATION[row.relation]} {other}" if row.comparison == "head" else f"{what}: {row.exercise_a} {RELATION[row.relation]} {other}"
    return where


def _effect(effect: str, group: pd.DataFrame) -> str:
    named = {multiplier: [head_words()[head] for head in own["head_id"]] for multiplier, own in group.groupby("multiplier", sort=False)}
    told = [f"{', '.join(heads)} " + ("as usual" if multiplier == 1 else f"x {marked(f'{multiplier:g}')}") for multiplier, heads in named.items()]
    return "; ".join(told) + ("" if effect == "recruitment" else " (how growth answered; changes no count)")


def _amount(sets: float, reps: float, seconds: float) -> str:
    return f"{sets:.0f} x {seconds:.0f} s" if seconds == seconds else f"{sets:.0f} x {reps:.0f}" if reps == reps else ""


def _enter(rule: pd.Series) -> str:
    amount = _amount(rule["enter_sets"], rule["enter_reps"], rule["enter_s"])
    names = " or ".join(exercise_words().get(one, one) for one in tables.listed(rule["enter_from"]))
    return "; ".join(filter(None, [f"after {amount} of {names}" if names and amount else f"after {names}" if names else "", told(rule["enter_also"])]))


def _leave(rule: pd.Series) -> str:
    return "; ".join(filter(None, [_amount(rule["leave_sets"], rule["leave_reps"], rule["leave_s"]), told(rule["leave_also"])]))

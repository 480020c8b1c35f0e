"""The credits against what published studies found (each with its source in evidence.csv and sources.csv)."""

from __future__ import annotations

import doctest
from pathlib import Path

import pandas as pd
import pytest

from etl import findings, tables
from etl.findings import AGREES, CONTRADICTS, TIE, credit, judged, verdict_of
from tests.findings import told

FOUND = judged()


def test_every_finding_is_judged_and_no_contradiction_is_without_a_written_reason(capsys):
    """Printed as `python -m tests.findings` prints it; pytest -s shows it."""
    print("\n".join(told(FOUND)))
    assert set(FOUND["verdict"]) <= {AGREES, TIE, CONTRADICTS} and len(FOUND) == len(tables.evidence()) > 300
    without = FOUND[(FOUND["verdict"] == CONTRADICTS) & (FOUND["reason"].str.split().str.len() < 4)]
    assert without.empty, without["claim_id"].tolist()
    said = capsys.readouterr().out
    assert "NO REASON" not in said and said.count("contradicts E") == (FOUND["verdict"] == CONTRADICTS).sum()


def test_a_reason_stands_only_beside_a_contradiction():
    assert FOUND.loc[FOUND["verdict"] != CONTRADICTS, "reason"].eq("").all()


def test_contradictions_are_few():
    """One finding in twenty would be chance where a study reports at p < 0.05."""
    assert (FOUND["verdict"] == CONTRADICTS).mean() < 0.05


def test_both_sides_of_a_finding_are_exercises_and_modifiers_that_the_catalogue_knows():
    known = {(row.modifier, row.value) for row in tables.variants().itertuples()} | {(row.modifier, row.value) for row in tables.equivalents().itertuples()}
    defaults = {pair for text in tables.exercises()["default_modifiers"] for pair in tables.modifier_pairs(text).items()}
    for ref in {*FOUND["catalogue_ref_a"], *FOUND["catalogue_ref_b"]} - {""}:
        exercise, _, modifiers = ref.partition("@")
        assert exercise in set(tables.exercises()["exercise_id"]), ref
        assert set(tables.modifier_pairs(findings.BETWEEN_WORDS.sub("_", modifiers)).items()) <= known | defaults, ref


def test_a_finding_names_its_source_and_where_in_it():
    sources = tables.sources().set_index("source_id")
    assert set(FOUND["source_id"]) <= set(sources.index) and FOUND["where_in_source"].ne("").all()
    assert sources.loc[FOUND["source_id"].unique(), "citation"].str.contains(r"\b(?:19|20)\d\d\b|undated|year not", regex=True).all()


@pytest.mark.parametrize(
    ("relation", "a", "b", "verdict"),
    [(">", 1, 0.5, AGREES), (">", 0.5, 0.5, TIE), (">", 0.25, 0.5, CONTRADICTS), ("~", 0.5, 0.5, AGREES), ("~", 1, 0.5, TIE), ("~", 1, 0.25, CONTRADICTS),
     ("~", 0, 0.5, CONTRADICTS), ("~", 0.5, 0.45, AGREES), (">", 1, 0.9, AGREES)],
)
def test_how_a_verdict_is_reached(relation: str, a: float, b: float, verdict: str):
    assert verdict_of(relation, a, b) == verdict


def test_a_reversed_finding_turns_its_verdict():
    """The judge can say no: each agreeing order, turned round, contradicts."""
    order = FOUND[(FOUND["verdict"] == AGREES) & (FOUND["relation"] == ">") & (FOUND["comparison"] == "exercise")]
    turned = judged(order.drop(columns=["credit_a", "credit_b", "verdict"]).rename(columns={"catalogue_ref_a": "catalogue_ref_b", "catalogue_ref_b": "catalogue_ref_a"}))
    assert len(turned) > 50 and (turned["verdict"] == CONTRADICTS).all()


def test_findings_from_elsewhere_are_judged_too():
    other = pd.DataFrame([{"claim_id": "X1", "head_id": "gluteus_maximus", "relation": ">", "comparison": "exercise", "exercise_b": "", "metric": "EMG",
                           "catalogue_ref_a": "hip_thrust", "catalogue_ref_b": "leg_extension", "source_id": "x", "reason": ""}])
    assert judged(other)["verdict"].tolist() == [AGREES]


def test_a_reference_may_be_written_with_a_hyphen():
    assert credit("triceps_pressdown@arm_position=by-side", "triceps_brachii_long_head") == credit("triceps_pressdown", "triceps_brachii_long_head")
    assert credit("incline_barbell_bench_press@bench_angle=45-60", "pectoralis_major_sternocostal_head") < credit("incline_barbell_bench_press", "pectoralis_major_sternocostal_head")


def test_the_examples_in_the_docstrings():
    result = doctest.testmod(findings)
    assert result.attempted > 0 and result.failed == 0


def test_the_figures_in_the_readme_are_those_of_the_tables():
    text = " ".join((Path(__file__).parent.parent / "README.md").read_text("utf-8").split())
    count = FOUND["verdict"].value_counts()
    assert f"There {len(FOUND)} findings of published studies" in text
    assert f"{count[AGREES]} agree, {count[TIE]} are ties that three tiers cannot tell apart, {count[CONTRADICTS]} contradict" in text
    assert f"| exercises | {len(tables.exercises())} by their trade names" in text

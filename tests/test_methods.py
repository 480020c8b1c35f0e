"""The methods page's content: complete, sourced, and its worked examples true of the program."""

from __future__ import annotations

import ast
import csv
import json
import re
from importlib import import_module
from pathlib import Path

import numpy as np
import pytest

from dashboard import methods
from dashboard.app_pages.page import escape, with_links
from dashboard.queries import review
from dashboard.queries.kept import store_at
from dashboard.queries.people import athletes, week_to_show
from etl.export import described
from etl.refusal import Refusal
from etl.settings import RULES, Rules
from etl.store import reading, writing
from tests.method_examples import RECOMPUTED
from tests.page_runs import all_text, measures, unescaped

ROOT = Path(__file__).parent.parent
MEASURES = methods.measures()
# Definitions of words, and rules told in words, that have no one number to compute.
IN_WORDS = {"week_counts", "effort_logged", "row_bounds", "focus", "below_band", "best", "worthwhile_gain", "which_series", "stair", "week_plan", "followed", "plateau_flag",
            "weekly_load", "new_area", "first_exposure", "check_entry", "message", "week_state", "next_week", "ready_for_more", "cautions", "planned_increase",
            "simulated_athlete", "false_calls", "found_within", "interval_coverage", "case_interval", "bound", "alert_weeks"}
IDENTITY = {"name", "day", "sentence"}


def same(computed: object, printed: object) -> bool:
    """Equal, numbers to half of the last digit that is printed."""
    if isinstance(printed, list):
        values = list(computed)
        return len(values) == len(printed) and all(same(a, b) for a, b in zip(values, printed, strict=True))
    if isinstance(printed, str):
        return computed == printed
    if printed != printed:
        return bool(np.isnan(computed))
    places = len(f"{printed:.10g}".partition(".")[2])
    return abs(float(computed) - printed) <= 0.5000001 * 10.0**-places


def columns_of(table: str) -> set[str]:
    known = methods.columns()
    return set(known.loc[known["table"] == table, "column"])


@pytest.mark.parametrize("one", MEASURES.values(), ids=list(MEASURES))
def test_each_measure_says_what_it_is_where_it_holds_and_where_it_comes_from(one):
    for text in (one.title, one.says, one.range, one.limits):
        assert len(text) > 2 and not text.endswith(" ")
    assert one.says.endswith(".") and one.mark in methods.MARKS
    assert one.sources and all(name in methods.sources() for name in one.sources)
    assert one.shown, "where its number stands"
    assert one.formula or one.rule or one.settings or one.example or one.range
    assert not one.formula or one.symbols or one.settings or one.id == "units"


@pytest.mark.parametrize("one", MEASURES.values(), ids=list(MEASURES))
def test_each_measure_names_settings_and_code_that_there_are(one):
    names = {about["name"] for about in Rules.described()}
    assert set(one.settings) <= names
    for path in one.code:
        module, _, name = path.rpartition(".")
        try:
            assert hasattr(import_module(module), name), path
        except ModuleNotFoundError:
            import_module(path)


def test_chapters_hold_each_measure_once_and_stand_in_order():
    ids = [one.id for chapter in methods.chapters() for one in chapter.measures]
    assert len(ids) == len(set(ids)) == len(MEASURES)
    titles = [one.title for one in MEASURES.values()]
    assert len(titles) == len(set(titles))


def test_every_setting_is_used_by_a_measure():
    used = {name for one in MEASURES.values() for name in one.settings}
    assert {about["name"] for about in Rules.described()} <= used


def test_values_on_the_page_are_those_of_the_settings():
    """They are read from the settings, never typed: a changed setting shows."""
    (row, *_) = [row for row in methods.settings_used(MEASURES["usual"]) if row["name"] == "usual_weeks"]
    assert row["value"] == f"{RULES.usual_weeks} weeks"
    assert {row["name"] for row in methods.all_settings()} == {about["name"] for about in Rules.described()}


def test_each_worked_example_is_computed_again():
    with_example = {one.id for one in MEASURES.values() if one.example}
    assert with_example == set(RECOMPUTED)
    assert set(MEASURES) - with_example <= IN_WORDS


@pytest.mark.parametrize("name", RECOMPUTED)
def test_worked_example_is_what_the_program_computes(name):
    example = MEASURES[name].example
    found = RECOMPUTED[name](example.given)
    assert set(found) == set(example.gives)
    for key, printed in example.gives.items():
        assert same(found[key], printed), f"{key}: {found[key]} is computed, {printed} is printed"


def test_a_wrong_printed_value_is_noticed():
    """The comparison itself."""
    assert same(133.33333, 133.3333) and not same(133.3335, 133.3333) and not same([1.0], [1, 2]) and not same("spike", "step_up")


def test_examples_show_all_their_numbers():
    for one in MEASURES.values():
        if one.example:
            told = one.example.told
            shown = set(re.findall(r"{(\w+)}", one.example.text)) | set(one.example.columns.values())
            assert set(one.example.gives) - shown <= {"pairs"}, one.id
            assert "{" not in told and all(one.example.rows[0].values()) if one.example.columns else True


def test_a_source_says_how_far_it_was_checked():
    for name, source in methods.sources().items():
        assert source.checked in methods.CHECKED, name
        assert source.citation, name
    with (ROOT / "dashboard/methods/sources.csv").open(encoding="utf-8", newline="") as file:
        own = [row["source_id"] for row in csv.DictReader(file)]
    used = {name for one in MEASURES.values() for name in one.sources}
    assert len(own) == len(set(own)) and set(own) <= used, "a source that nothing rests on"
    assert "read" in methods.source_words(methods.sources()["grgic_2020"]) and "memory" in methods.source_words(methods.sources()["aitken_1936"])


def test_every_kept_column_has_a_measure_or_says_why_not(tmp_path):
    with writing(tmp_path / "new.duckdb") as con:
        kept = con.execute("select table_name, column_name from information_schema.columns where table_name like 'kept_%'").fetchall()
    assert kept
    known = methods.columns()
    missing = set(kept) - set(zip(known["table"], known["column"], strict=True))
    assert not missing, sorted(missing)


def test_every_key_of_the_review_and_the_flags_has_a_measure():
    for table, keys in {"review.heads": review.HEAD_KEYS, "review.parts": review.PART_KEYS, "review.muscles": review.MUSCLE_KEYS,
                        "review.exercises": review.EXERCISE_KEYS, "review.pooled": review.POOLED_KEYS, "review.done": tuple(review.DONE), "review.load_columns": review.LOAD_KEYS,
                        "flags": review.FLAG_KEYS}.items():
        assert set(keys) <= columns_of(table), table


def test_every_exported_number_has_a_measure():
    for table, fields in {"kept_heads": described.WEEKLY_HEADS, "kept_strength": described.WEEKLY_STRENGTH}.items():
        assert {field.name for field in fields} <= columns_of(table)


def test_what_the_sample_shows_has_a_measure(sample_store):
    """Every key of each athlete's review, and every number of each flag that the sample raises."""
    store = store_at(sample_store)
    for athlete in athletes(store):
        found = review.review(store, athlete, week_to_show(store, athlete))
        assert set(found) <= columns_of("review")
        assert set(found["done"]) <= columns_of("review.done")
        for row in found["strength"]:
            assert set(row) <= columns_of("review.pooled" if "part" in row else "review.exercises")
            assert set(row["onset"] or {}) <= columns_of("review.onset")
        assert {row["measure"] for row in found["strength"] if "exercise" in row} <= columns_of("measures of strength")
    with reading(sample_store) as con:
        raised = con.execute("select distinct kind, numbers from kept_flags").fetchall()
    assert {kind for kind, _ in raised} <= columns_of("flag kinds")
    assert {name for _, numbers in raised for name in json.loads(numbers)} <= columns_of("flag numbers")


def test_the_list_of_columns_is_sound():
    known = methods.columns()
    assert not known.duplicated(["table", "column"]).any()
    assert set(known.loc[known["measure"] != "", "measure"]) <= set(MEASURES)
    assert ((known["measure"] != "") | known["what"].str.startswith("a ")).all(), "a measure, or a name or a day"


def ids_of(dictionary: ast.expr, named: dict[str, ast.expr]) -> set[str]:
    keys = dictionary.keys if isinstance(dictionary, ast.Dict) else []
    return {ast.literal_eval(named[key.id] if isinstance(key, ast.Name) else key) for key in keys}


def linked() -> set[str]:
    """The ids of each dictionary that a page hands to how_worked_out, by name (whole or some of it) or as it stands."""
    found = set()
    for path in (ROOT / "dashboard/app_pages").glob("*.py"):
        tree = ast.parse(path.read_text("utf-8"))
        named = {node.targets[0].id: node.value for node in tree.body if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name)}
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "how_worked_out":
                within = [one for one in ast.walk(node.args[1]) if isinstance(one, ast.Dict) or (isinstance(one, ast.Name) and one.id in named)]
                for one in within:
                    found |= ids_of(named[one.id] if isinstance(one, ast.Name) else one, named)
    return found


def test_links_lead_to_measures_that_there_are():
    assert len(linked()) > 20
    assert linked() <= set(MEASURES), sorted(linked() - set(MEASURES))


def test_an_unknown_measure_is_refused_in_words():
    with pytest.raises(Refusal, match="no measure 'nothing'"):
        methods.measure("nothing")


# --- the page ---------------------------------------------------------------------------------------------


def test_the_page_opens_at_a_measure_and_keeps_athlete_and_week(open_page, small_store):
    run = open_page(small_store, "app_pages/methods.py", athlete="Robin", week="2026-02-23", measure="e1rm")
    assert not run.exception
    assert run.selectbox(key="measure").value == "e1rm"
    assert run.header[0].value == MEASURES["e1rm"].title
    assert MEASURES["e1rm"].formula[0] in [latex.value.strip("$\n") for latex in run.latex]
    text = unescaped(all_text(run))
    assert "What it cannot tell" in text and "Brzycki M. 1993" in text
    assert run.query_params["athlete"] == "Robin" and run.query_params["week"] == "2026-02-23"


def test_picking_another_measure_writes_the_address(open_page, small_store):
    run = open_page(small_store, "app_pages/methods.py", athlete="Robin", measure="e1rm")
    run.selectbox(key="measure").set_value("usual").run()
    assert run.query_params["measure"] == "usual"
    assert run.header[0].value == "Usual"
    run.button(key="pick_spike").click().run()
    assert run.query_params["measure"] == "spike"
    run.query_params["measure"] = "coverage"
    run.run()
    assert run.header[0].value == "Coverage"
    run.selectbox(key="measure").set_value(None).run()
    assert "measure" not in run.query_params
    assert run.header[0].value == "All measures"


def test_a_doi_in_a_source_becomes_a_link_and_nothing_else_does():
    assert with_links("after *B* 2021, doi:10.1519/JSC.0000000000002776: sets") == escape("after *B* 2021,") + " [doi](https://doi.org/10.1519/JSC.0000000000002776)" + escape(": sets")
    assert with_links("(Parkinson 2021, doi:10.52082/jssm.2021.594)") == escape("(Parkinson 2021,") + " [doi](https://doi.org/10.52082/jssm.2021.594)" + escape(")")
    assert with_links("[x](http://a.b) decided here") == escape("[x](http://a.b) decided here")


def test_a_measure_that_is_not_there_is_said(open_page, small_store):
    run = open_page(small_store, "app_pages/methods.py", athlete="Robin", measure="nonsense **b**")
    assert unescaped(run.warning[0].value) == 'The address asks for "nonsense **b**", which is not among these.'
    assert run.selectbox(key="measure").value is None


def test_each_measure_can_be_opened(open_page, small_store):
    run = open_page(small_store, "app_pages/methods.py", athlete="Robin")
    for name, one in MEASURES.items():
        run.query_params["measure"] = name
        run.run()
        assert not run.exception and not run.error, name
        assert run.header[0].value == one.title
        assert len(run.latex) == len(one.formula)


def test_a_link_to_a_measure_leaves_the_other_parts_of_the_page(open_page, small_store):
    run = open_page(small_store, "app_pages/methods.py", athlete="Robin")
    run.button_group(key="methods_section").set_value("settings").run()
    assert run.dataframe[0].value["name in the code"].tolist() == [about["name"] for about in Rules.described()]
    run.query_params["measure"] = "usual"
    run.run()
    assert run.header[0].value == "Usual"


def test_without_a_calibration_the_page_says_so(open_page, small_store, monkeypatch):
    monkeypatch.setattr("dashboard.methods.calibration.files", lambda package: small_store.parent / "nowhere")
    run = open_page(small_store, "app_pages/methods.py", athlete="Robin")
    run.button_group(key="methods_section").set_value("calibration").run()
    assert not run.exception
    assert "No calibration is kept with this copy of the program yet" in all_text(run)


def test_the_pages_link_to_the_methods(open_page, small_store):
    for page in ("app_pages/this_week.py", "app_pages/balance.py"):
        run = open_page(small_store, page, athlete="Robin")
        assert all_text(run).count("How this is worked out:") >= 3 and set(measures(run)) <= set(methods.measures())

"""What the visitor changed in the catalogue: made here, shown as theirs, taken back, written to a table and taken in from one."""

from __future__ import annotations

import streamlit as st

from dashboard.app_pages.number_field import number_field
from dashboard.app_pages.page import escape, remark, say_next, taken_back, worked_out
from dashboard.choices import Choice
from dashboard.queries import catalogue, imports
from dashboard.queries.words import called, exercise_titles, head_and_word, part_words
from dashboard.sentences.catalogue import CREDITS
from dashboard.sentences.decimal_mark import told
from dashboard.sentences.numbers import begun, counted, number
from etl.importing import own
from etl.importing.decisions import decide, undecide
from etl.own.table import ALLOWED, own_exercise
from etl.own.what import Changes, OwnCredit, OwnTarget
from etl.refusal import Refusal

EVERYBODY = "everybody"
KINDS = {"exercise": "An exercise of your own", "credit": "A credit", "name": "A name", "target": "A target"}
OF_KIND = {"laterality": "Sides", "mode": "Counted in", "level": "From level", "per_hand": "Load of one hand"}
KIND, NAME = "own_kind", "own_exercise_name"
NAME_LONGEST = 80
NO_HEAD = "Choose a head"


def show(choice: Choice) -> None:
    st.markdown("What you change is kept in your store, apart from the shipped catalogue, and counts in every week anew. It is shown as yours, and can be taken back.")
    if choice.sample:
        remark("This is the sample: go back to your own store to change something.")
        return
    st.session_state.setdefault(KIND, "exercise")
    kind = st.segmented_control("What to change", list(KINDS), key=KIND, format_func=KINDS.__getitem__, required=True) or "exercise"
    {"exercise": _add_exercise, "credit": _add_credit, "name": _add_name, "target": _add_target}[kind](choice)
    found = own.changes(choice.store.path)
    _listed(choice, found)
    _table(choice, found)


def asked_by_name() -> bool:
    """Whether the address asks for an exercise of one's own by its name; the form then holds the name."""
    name = st.query_params.get("own")
    if name is not None:
        del st.query_params["own"]
        st.session_state[KIND], st.session_state[NAME] = "exercise", name[:NAME_LONGEST]
    return name is not None


def change_credit(choice: Choice, exercise: str) -> None:
    """A quiet form below an exercise: what a set counts for one head, in the visitor's judgement."""
    with st.expander("Change what it trains"):
        _credit_form(choice, exercise, f"own_credit_{exercise}")


def _add_credit(choice: Choice) -> None:
    words = exercise_titles()
    exercise = st.selectbox("Exercise", list(words), index=None, format_func=words.__getitem__, placeholder="Type a name", key="own_credit_of")
    if exercise:
        _credit_form(choice, exercise, "own_credit")


def _credit_form(choice: Choice, exercise: str, key: str) -> None:
    now = dict(zip(*(catalogue.heads_of(exercise)[column] for column in ("head", "base")), strict=True))
    heads = head_and_word()
    order = [*now, *(head for head in heads if head not in now)]
    with st.form(key, border=False):
        head = st.selectbox("Head", order, format_func=lambda one: f"{heads[one]}: {CREDITS[now.get(one, 0.0)]} now", index=None, placeholder=NO_HEAD)
        credit = st.radio("What a set counts for it", list(CREDITS), format_func=lambda value: f"{number(value, 2)}, {CREDITS[value]}", horizontal=True)
        note = st.text_input("Why (kept with it)", max_chars=300)
        if st.form_submit_button("Change it"):
            if head is None:
                st.warning("Choose the head first.")
            else:
                _said(choice, Changes(credits=(OwnCredit(exercise, head, credit, note.strip()),)),
                      f"{called(exercise)}: a set counts {number(credit, 2)} for {called(head)} from now on, in every week.")


def _add_exercise(choice: Choice) -> None:
    words = exercise_titles()
    with st.form("own_exercise", border=False):
        name = st.text_input("Name", max_chars=NAME_LONGEST, key=NAME, placeholder="as you write it in your log")
        like = st.selectbox("It is like", list(words), index=None, format_func=words.__getitem__, placeholder="the exercise whose heads it trains",
                            help="It begins with that exercise's heads, load and repetitions; change them afterwards.")
        equipment = st.text_input("Done with", placeholder="as there; else: bench+dumbbells or cable", max_chars=80)
        asked = {}
        with st.container(horizontal=True):
            for column, label in OF_KIND.items():
                asked[column] = st.selectbox(label, ["", *ALLOWED[column]], format_func=lambda value: value or "as there", width=180)
        note = st.text_input("Note", max_chars=300)
        if st.form_submit_button("Add it"):
            _exercise_said(choice, {"name": name, "like": like or "", "equipment": equipment.replace(" or ", "|").strip(), "note": note, **asked})


def _exercise_said(choice: Choice, cells: dict[str, str]) -> None:
    if not cells["like"]:
        st.warning("Say which exercise it is like: it takes its heads from there.")
        return
    try:
        one, alike = own_exercise(cells)
    except Refusal as refusal:
        st.warning(escape(told(str(refusal))))
        return
    _said(choice, Changes((one,), alike), f"{one.name} is an exercise of yours from now on, like {called(cells['like'])}.")


def _add_name(choice: Choice) -> None:
    words = exercise_titles()
    waiting = imports.unmatched(choice.store)["exercise_as_written"].tolist()
    with st.form("own_name", border=False):
        written = st.selectbox("Name as the log writes it", waiting, index=None, accept_new_options=True, placeholder="Type a name" + ", or choose one that waits" * bool(waiting))
        exercise = st.selectbox("It means", list(words), index=None, format_func=words.__getitem__, placeholder="Type a name")
        if st.form_submit_button("Settle it"):
            if not (written or "").strip() or exercise is None:
                st.warning("Give the name and the exercise that it means.")
            else:
                done = decide(choice.store.path, written, exercise)
                worked_out(choice.store.path)
                say_next(f"{written.strip()} means {called(exercise)} from now on: {counted(done, 'set', 'sets')} settled.")


def _add_target(choice: Choice) -> None:
    words = {part: begun(word) for part, word in part_words().items()}
    whose = [EVERYBODY, *([choice.athlete] if choice.athlete else [])]
    with st.form("own_target", border=False):
        part = st.selectbox("Part", list(words), index=None, format_func=words.__getitem__, placeholder="Type a name")
        with st.container(horizontal=True):
            low = number_field("From, hard sets a week", 0.0, 60.0, 4.0, 0.5, width=200)
            high = number_field("To, hard sets a week", 0.5, 60.0, 12.0, 0.5, width=200)
            who = st.selectbox("For", whose, width=240)
        note = st.text_input("Why (kept with it)", max_chars=300)
        if st.form_submit_button("Set it"):
            if part is None or low is None or high is None or not low < high:
                st.warning("Choose a part, and a higher end above the lower one.")
            else:
                _said(choice, Changes(targets=(OwnTarget("" if who == EVERYBODY else who, part, low, high, note.strip()),)),
                      f"{words[part]}: {number(low)} to {number(high)} hard sets a week for {who} from now on.")


def _said(choice: Choice, changes: Changes, words: str) -> None:
    try:
        done = own.change(choice.store.path, changes)
    except Refusal as refusal:
        st.warning(escape(told(str(refusal))))
        return
    worked_out(choice.store.path)
    say_next(words + (f" {counted(done['sets_settled'], 'set', 'sets')} settled." if done["sets_settled"] else ""))


def _listed(choice: Choice, found: Changes) -> None:
    if not found:
        remark("Nothing is changed: the catalogue is as it was shipped.")
        return
    lists = (
        ("Exercises of yours", {one.exercise_id: one.name for one in found.exercises}, lambda key: own.take_back_exercise(choice.store.path, key)),
        ("Credits that you changed", _credits(found), lambda key: own.take_back_credits(choice.store.path, key)),
        ("Targets that you set", {f"{t.part_id}/{t.athlete}": f"{called(t.part_id)}: {number(t.low)} to {number(t.high)} for {t.athlete or EVERYBODY}" for t in found.targets},
         lambda key: own.take_back_target(choice.store.path, *key.split("/", 1))),
        ("Names that you settled", {n.written: f"{n.written}: {called(n.exercise_id) if n.exercise_id else 'no exercise of the catalogue'}" for n in found.names},
         lambda key: undecide(choice.store.path, key)),
    )
    for position, (title, made, back) in enumerate(lists):
        if made:
            taken_back(f"{title}: {number(len(made))}", made, "Take it back", f"own_{position}", lambda key, back=back: _back(choice, back, key))


def _credits(found: Changes) -> dict[str, str]:
    """The shipped exercises whose credits were changed, each with its heads."""
    own_ids = {one.exercise_id for one in found.exercises}
    told: dict[str, list[str]] = {}
    for one in found.credits:
        if one.exercise_id not in own_ids:
            told.setdefault(one.exercise_id, []).append(f"{called(one.head_id)} {number(one.credit, 2)}" + (f" ({one.note})" if one.note else ""))
    return {exercise: f"{called(exercise)}: {', '.join(heads)}" for exercise, heads in told.items()}


def _back(choice: Choice, back, key: str) -> str:
    back(key)
    worked_out(choice.store.path)
    return "Taken back."


def _table(choice: Choice, found: Changes) -> None:
    st.header("As a table")
    st.markdown("One row for each change, for a spreadsheet or another store. Taking a table in replaces what was said of the same things, whole or not at all.")
    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.download_button("Download your changes", own.table_of_changes(choice.store.path), "evenset-changes.csv", "text/csv", disabled=not found)
        file = st.file_uploader("Take in a table of changes", ["csv"], key="own_table")
        if file is not None and st.button("Take it in", key="own_take_in"):
            try:
                done = own.take_in(choice.store.path, file.getvalue(), file.name)
            except Refusal as refusal:
                st.warning(escape(told(str(refusal))))
            else:
                worked_out(choice.store.path)
                say_next(", ".join(counted(done[kind], kind.removesuffix("s"), kind) for kind in own.KINDS) + " taken in.")
    if found:
        with st.popover("Restore the shipped catalogue"):
            st.markdown("All of your exercises, credits, targets and settled names go. Download them first: the table brings them back.")
            if st.button("Restore it", key="own_restore"):
                own.restore(choice.store.path)
                worked_out(choice.store.path)
                say_next("The shipped catalogue is in use again.")

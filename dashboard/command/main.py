"""The command `evenset`: what the pages do, for scripts. One message and exit status 1 where something is refused."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable
from contextlib import redirect_stdout

from dashboard.harmless import Harmless, harmless
from etl.refusal import Refusal

CORRECTIONS = {
    "date": "2026-03-02", "written": "the exercise as it should be written", "exercise": "the catalogue's id; '' for none", "set-no": "number of the set",
    "round-no": "number of the round", "kind": "work, warm_up, drop, rest_pause or cluster", "side": "both, left or right",
    "range": "full, lower_half, upper_half or part", "reps": "repetitions; '' for none", "load-kg": "load in kg, or with its unit, such as '45 lb'; '' for none",
    "hold-s": "seconds held; '' for none", "rpe": "0 to 10; '' for none", "rir": "repetitions in reserve; '' for none", "note": "a text; '' for none",
}
DONE, REFUSED = 0, 1  # wrong usage, 2, is argparse's own
EQUATIONS = ("lower_of_two", "epley", "brzycki", "lander", "lombardi", "mayhew", "oconner", "wathen")
CAUTION = ("Evenset shows what a log says. It is not medical advice, and a flag is a change of load, not a diagnosis. "
           "Local rules and qualified professionals come first.")


def main(argv: list[str] | None = None) -> int:
    """Run one command; returns the exit status: 0 done, 1 refused or a question, 2 wrong usage."""
    options = _parser().parse_args(argv)
    try:
        with redirect_stdout(Harmless(sys.stdout)):
            return options.run(options) or DONE
    except Refusal as refusal:
        print(harmless(f"evenset: {refusal}"), file=sys.stderr)
    except KeyboardInterrupt:
        print("evenset: stopped. Nothing that was under way has been kept.", file=sys.stderr)
    except BrokenPipeError:
        # The reader of our output has gone; what is buffered has no place to go.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except Exception as error:  # noqa: BLE001 - a user gets words, whatever went wrong
        if os.environ.get("EVENSET_DEBUG"):
            raise
        print(harmless(f"evenset: this is a fault of the program ({type(error).__name__}: {error}). What it had stored whole stays, "
                       "nothing is half stored. Set EVENSET_DEBUG=1 to see where, and report it."), file=sys.stderr)
    return REFUSED


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="evenset", description="From a training log as CSV to a weekly review.", epilog=CAUTION)
    commands = parser.add_subparsers(required=True, metavar="COMMAND")

    demo = _command(commands, "demo", "open the dashboard on invented sample data", "serve", "demo")
    opened = _command(commands, "open", "open the dashboard on your store", "serve", "open_store")
    for one in (demo, opened):
        one.add_argument("--port", type=int, help="port on 127.0.0.1 (default: the first free one from 8501)")
        one.add_argument("--no-browser", action="store_true", help="print the address and open no browser")

    add = _command(commands, "import", "read CSV logs into the store", "logs", "import_logs")
    add.add_argument("paths", nargs="+", metavar="FILE|FOLDER", help="CSV files, or folders of them (one file an athlete)")
    _answers(add)
    add.add_argument("--dry-run", action="store_true", help="tell what would be stored, and store nothing")
    _json(add)

    back = _command(commands, "undo", "take an import back whole", "logs", "undo")
    back.add_argument("number", type=int, metavar="IMPORT", help="the number that the import printed")

    _mending(commands)
    _catalogue(commands)
    _data(commands)

    everyone = _command(commands, "clients", "who needs a look first and why, over all athletes", "clients", "clients")
    everyone.add_argument("--week", metavar="MONDAY|2025-W47", help="a date in the week, or its ISO number (default: the last full week, as of today)")
    _json(everyone)

    look = _command(commands, "review", "one week in words", "review", "review")
    look.add_argument("--athlete")
    look.add_argument("--week", metavar="MONDAY|2025-W47", help="a date in the week, or its ISO number (default: the last full week)")
    _json(look)

    _reports(commands)

    raised = _command(commands, "flags", "every flag that the log would have raised, week by week", "review", "flags")
    raised.add_argument("--athlete")
    _json(raised)

    week = _command(commands, "mark", "mark a week as a planned increase, deload, holiday or illness; without a week, list the marked ones", "marks", "mark")
    week.add_argument("--athlete", metavar="NAME")
    week.add_argument("--week", metavar="MONDAY|2025-W47", help="a date in the week, or its ISO number; it may lie ahead")
    what = week.add_mutually_exclusive_group()
    what.add_argument("--as", dest="as_", choices=("planned-increase", "deload", "holiday", "illness"),
                      help="planned-increase: its flags keep their numbers and are shown as planned; the others: left out of trends")
    what.add_argument("--take-back", action="store_true", help="take the mark of the week back")
    _json(week)

    _said(commands)

    person = _command(commands, "athlete", "say or show what is known of an athlete", "people", "athlete")
    person.add_argument("name")
    person.add_argument("--rename", metavar="NEW", help="another name for the athlete, also in later files that write the old one; renaming back takes that back")
    person.add_argument("--level", choices=("beginner", "intermediate", "advanced"))
    person.add_argument("--focus", metavar="PARTS", help="parts that matter, such as biceps,lats; 'auto' for the default")
    person.add_argument("--equipment", metavar="LIST", help="what there is to train with, such as dumbbells,bodyweight")
    person.add_argument("--equation", choices=EQUATIONS, help="how the one-repetition maximum is estimated (default: the lower of Brzycki and Epley)")
    person.add_argument("--warm-ups", dest="warm_ups", choices=("assumed", "logged"),
                        help="assumed: light untagged sets before the top set are warm-ups; logged: only tagged ones are")
    person.add_argument("--shown-unit", choices=("kg", "lb"), help="the unit of this athlete's loads on pages and in words; JSON is in kg")
    person.add_argument("--loads", metavar="LIST", help="the loads in the house, in one hand, such as 2,4,6,8,10, '5,7.5 lb' or '2 to 10 by 2'; kg where no unit is said; 'any' takes that back")
    person.add_argument("--client-sees", metavar="LIST", help="what this athlete's pages may show beside the training: decisions, notes, pain, body_mass, or none")
    _json(person)
    return parser


def _said(commands: argparse._SubParsersAction) -> None:
    """The commands about what a person says beside the log."""
    about = {"metavar": "EXERCISE|PART", "help": "what it is about; left out, the whole day"}

    note = _said_command(commands, "note", "keep a note, pain or soreness of a day; without words, list them", "TEXT")
    note.add_argument("--date", metavar="DAY", help="its day (default: today)")
    note.add_argument("--about", **about)
    felt = note.add_mutually_exclusive_group()
    felt.add_argument("--pain", metavar="PLACE", help="it is pain, and where")
    felt.add_argument("--sore", metavar="PLACE", help="it is soreness, and where")
    note.add_argument("--score", type=float, help="of pain or soreness, 1 to 10")
    note.add_argument("--shared", action="store_true", help="it may be shown to the client, where notes or pain may (evenset athlete NAME --client-sees)")

    goal = _said_command(commands, "goal", "keep a goal with a date; without words, list them", "TEXT")
    goal.add_argument("--by", metavar="DAY", help="the day by which it is to be reached")
    goal.add_argument("--about", **about)
    goal.add_argument("--target", type=float, help="the number to be reached: kg, repetitions or seconds")
    goal.add_argument("--of", choices=("e1rm", "load", "reps", "hold"),
                      help="what the number is of: estimated maximum, the load that is lifted in a work set, repetitions, or seconds held")
    goal.add_argument("--reached", type=int, metavar="NUMBER", help="the goal of this number is reached")
    goal.add_argument("--on", metavar="DAY", help="with --reached: when (default: today)")

    block = _said_command(commands, "block", "keep a block of training and its aim; without words, list them", "AIM")
    block.add_argument("--from", dest="starts", metavar="DAY")
    block.add_argument("--to", dest="ends", metavar="DAY")
    block.add_argument("--deload", metavar="DAY", help="a day of the week in which a deload is due")

    decision = _said_command(commands, "decide", "keep a decision, so that what followed can be told; without words, list them", "TEXT")
    decision.add_argument("--date", metavar="DAY", help="its day (default: today)")
    decision.add_argument("--about", **about)


def _said_command(commands: argparse._SubParsersAction, name: str, text: str, what: str) -> argparse.ArgumentParser:
    parser = _command(commands, name, text, "said", name)
    parser.add_argument("text", nargs="?", metavar=what)
    parser.add_argument("--athlete", metavar="NAME")
    parser.add_argument("--take-back", type=int, metavar="NUMBER", help="take back what the list shows under this number")
    _json(parser)
    return parser


def _mending(commands: argparse._SubParsersAction) -> None:
    """The commands that put right what was read."""
    rows = _command(commands, "mend", "mend rows that were set aside, in a table, and take them back in", "mend", "mend")
    rows.add_argument("what", nargs="?", metavar="IMPORT|FILE.csv", help="an import, to see or write only its rows; or a mended table to take back in")
    rows.add_argument("--out", metavar="FILE.csv", help="write the rows that wait to this table")
    rows.add_argument("--list", action="store_true", help="list what was mended and left out")
    rows.add_argument("--take-back", metavar="KEY", help="let a row that was mended or left out be what its file says again")
    _json(rows)

    again = _command(commands, "again", "read an import again from its kept bytes, with other answers", "mend", "again")
    again.add_argument("number", type=int, metavar="IMPORT", help="the number that the import printed")
    again.add_argument("--file", dest="files", action="append", metavar="NAME",
                       help="the answers are for this file of the import alone; say it again for another (default: for all of its files)")
    _answers(again)
    _json(again)

    listed = _command(commands, "sets", "list stored sets with their numbers", "mend", "sets")
    listed.add_argument("--athlete")
    when = listed.add_mutually_exclusive_group()
    when.add_argument("--date", metavar="DAY", help="only the sets of this day (2026-03-02)")
    when.add_argument("--week", metavar="MONDAY|2025-W47", help="only the sets of this week")
    _json(listed)

    put_right = _command(commands, "correct", "correct or remove a stored set, also for later files", "mend", "correct_set")
    put_right.add_argument("number", nargs="?", type=int, metavar="SET", help="the number that evenset sets lists")
    for option, text in CORRECTIONS.items():
        put_right.add_argument(f"--{option}", help=text)
    put_right.add_argument("--planned", choices=("yes", "no"))
    put_right.add_argument("--remove", action="store_true", help="remove the set")
    put_right.add_argument("--take-back", type=int, metavar="CHANGE", help="take a correction or a removal back")
    put_right.add_argument("--list", action="store_true", help="list what was corrected and removed")
    _json(put_right)

    both = _command(commands, "merge", "make two spellings of an athlete one, also for later files; this cannot be taken back", "mend", "merge")
    both.add_argument("spelling", metavar="SPELLING", help="the spelling that goes")
    both.add_argument("into", metavar="INTO", help="the athlete who gets its sets")
    _json(both)

    means = _command(commands, "name", "settle what a written exercise name means", "mend", "name")
    means.add_argument("written", metavar="WRITTEN", help="the name as the log writes it")
    means.add_argument("exercise", nargs="?", metavar="EXERCISE", help="the catalogue's id or name; without it, what is decided is shown")
    means.add_argument("--modifiers", metavar="K=V;K=V", help="grip, stance and the like that the name implies")
    means.add_argument("--none", action="store_true", help="the catalogue does not have it: do not ask again")
    means.add_argument("--forget", action="store_true", help="take the decision back")


def _catalogue(commands: argparse._SubParsersAction) -> None:
    """The commands about the catalogue of exercises."""
    look = _command(commands, "lookup", "look an exercise or a head up: what it trains, or what trains it, and how that is known", "catalogue", "lookup")
    look.add_argument("what", metavar="WHAT", help="an exercise or a head, by its id or its name")
    look.add_argument("--against", metavar="EXERCISE", help="compare two exercises head by head")
    _json(look)

    own = _command(commands, "changes", "list what you changed in the catalogue, write it to a table, or take such a table in", "catalogue", "changes")
    what = own.add_mutually_exclusive_group()
    what.add_argument("--take-in", metavar="FILE.csv", help="take in exercises, credits, targets and names, in place of earlier ones")
    what.add_argument("--take-back", metavar="WHAT", help="an exercise of your own, an exercise whose credits you changed, a part (PART or PART/ATHLETE)")
    what.add_argument("--restore", action="store_true", help="use the shipped catalogue as it is; with --out the changes are written first")
    own.add_argument("--out", metavar="FILE.csv", help="write the changes to this table")
    own.add_argument("--yes", action="store_true", help="with --restore: let the changes go")
    _json(own)


def _reports(commands: argparse._SubParsersAction) -> None:
    """The command that writes what a client is given."""
    given = _command(commands, "report", "write what a client is given, as HTML of one file or as PDF", "report", "report")
    given.add_argument("--athlete", metavar="NAME")
    given.add_argument("--all", action="store_true", help="a file for each athlete, in a folder")
    given.add_argument("--out", required=True, metavar="FILE.html|FILE.pdf|FOLDER")
    given.add_argument("--week", metavar="MONDAY|2025-W47", help="the week that it ends with (default: the last full week)")
    given.add_argument("--weeks", type=int, default=12, metavar="N", help="how many weeks the pictures show, 8 to 12 (default: 12)")
    given.add_argument("--stair", metavar="EXERCISE|PROGRESSION", help="whose steps or loads it shows, such as 'back squat' (default: one that is low enough and did not hurt lately)")
    given.add_argument("--as", dest="as_", choices=("pdf", "html"), default="pdf", help="the kind of file in a folder (default: pdf)")
    given.add_argument("--paper", choices=("a4", "letter"), default="a4", help="of a PDF (default: a4)")
    given.add_argument("--decimal", choices=("point", "comma"), default="point", help="the decimal mark of its numbers (default: point)")
    _json(given)


def _data(commands: argparse._SubParsersAction) -> None:
    """The commands about the data as a whole."""
    empty = _command(commands, "blank", "write an empty log to begin with", "data", "blank")
    empty.add_argument("--out", required=True, metavar="FILE.csv")

    out = _command(commands, "export", "write the set log and what was worked out of it as a data package", "data", "export")
    out.add_argument("--out", required=True, metavar="FOLDER")
    out.add_argument("--athlete", help="only this one's rows")
    _json(out)

    gone = _command(commands, "erase", "erase everything of an athlete", "data", "erase")
    gone.add_argument("--athlete", required=True, metavar="NAME")
    gone.add_argument("--yes", action="store_true", help="do not ask")
    _json(gone)


def _answers(parser: argparse.ArgumentParser) -> None:
    """What a person can say beforehand about a file."""
    parser.add_argument("--athlete", help="whose log it is, where the file does not say")
    parser.add_argument("--unit", choices=("kg", "lb", "st"), help="the unit of loads that the file does not give")
    order = parser.add_mutually_exclusive_group()
    order.add_argument("--day-first", dest="day_first", action="store_const", const=True, help="03/04 is 3 April")
    order.add_argument("--month-first", dest="day_first", action="store_const", const=False, help="03/04 is 4 March")
    parser.add_argument("--year", type=int, metavar="YEAR", help="the year of the oldest date, where the dates leave it out")
    parser.add_argument("--columns", metavar="MAP", help='which column is which: "date=Day,exercise=Movement,load=Weight"; the words are listed below')
    above = parser.format_help
    parser.format_help = lambda: above() + _column_words()


def _column_words() -> str:
    """The words that --columns takes, with what each means; loaded only where help is asked for."""
    from dashboard.sentences.fields import field_words
    from etl.columns import FIELDS, NO_COLUMN

    width = max(map(len, FIELDS))
    listed = "\n".join(f"  {field:<{width}}  {field_words(field)}" for field in FIELDS)
    return f'\nwhat --columns may say (a header "{NO_COLUMN}" means that the file has no such column, "#3" the third one):\n{listed}\n'


def _command(commands: argparse._SubParsersAction, name: str, text: str, module: str, function: str) -> argparse.ArgumentParser:
    """A command whose code is loaded when it runs: `evenset --help` need not wait for pandas."""
    parser = commands.add_parser(name, help=text, description=text[0].upper() + text[1:] + ".", epilog=CAUTION)
    parser.add_argument("--store", metavar="PATH", help="the store (default: EVENSET_STORE, else your data folder)")
    parser.set_defaults(run=_late(module, function))
    return parser


def _late(module: str, function: str) -> Callable[[argparse.Namespace], int | None]:
    def run(options: argparse.Namespace) -> int | None:
        from importlib import import_module

        return getattr(import_module(f"dashboard.command.{module}"), function)(options)

    return run


def _json(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="print one JSON object and nothing else")


if __name__ == "__main__":
    sys.exit(main())

"""The command `evenset`: what the pages do, for scripts. One message and exit status 1 where something is refused."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable

from etl.refusal import Refusal

DONE, REFUSED = 0, 1  # wrong usage, 2, is argparse's own
EQUATIONS = ("lower_of_two", "epley", "brzycki", "lander", "lombardi", "mayhew", "oconner", "wathen")
CAUTION = ("Evenset shows what a log says. It is not medical advice, and a flag is a change of load, not a diagnosis. "
           "Local rules and qualified professionals come first.")


def main(argv: list[str] | None = None) -> int:
    """Run one command; returns the exit status: 0 done, 1 refused or a question, 2 wrong usage."""
    options = _parser().parse_args(argv)
    try:
        return options.run(options) or DONE
    except Refusal as refusal:
        print(f"evenset: {refusal}", file=sys.stderr)
    except KeyboardInterrupt:
        print("evenset: stopped. Nothing that was under way has been kept.", file=sys.stderr)
    except BrokenPipeError:
        # The reader of our output has gone; what is buffered has no place to go.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except Exception as error:  # noqa: BLE001 - a user gets words, whatever went wrong
        if os.environ.get("EVENSET_DEBUG"):
            raise
        print(f"evenset: this is a fault of the program ({type(error).__name__}: {error}). What it had stored whole stays, "
              "nothing is half stored. Set EVENSET_DEBUG=1 to see where, and report it.", file=sys.stderr)
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
    add.add_argument("--athlete", help="whose log it is, where the file does not say")
    add.add_argument("--unit", choices=("kg", "lb"), help="the unit of loads that the file does not give")
    order = add.add_mutually_exclusive_group()
    order.add_argument("--day-first", dest="day_first", action="store_const", const=True, help="03/04 is 3 April")
    order.add_argument("--month-first", dest="day_first", action="store_const", const=False, help="03/04 is 4 March")
    add.add_argument("--columns", metavar="MAP", help='which column is which: "date=Day,exercise=Movement,load=Weight"')
    add.add_argument("--dry-run", action="store_true", help="tell what would be stored, and store nothing")
    _json(add)

    back = _command(commands, "undo", "take an import back whole", "logs", "undo")
    back.add_argument("number", type=int, metavar="IMPORT", help="the number that the import printed")

    look = _command(commands, "review", "one week in words", "review", "review")
    look.add_argument("--athlete")
    look.add_argument("--week", metavar="MONDAY|2025-W47", help="a date in the week, or its ISO number (default: the last full week)")
    _json(look)

    raised = _command(commands, "flags", "every flag that the log would have raised, week by week", "review", "flags")
    raised.add_argument("--athlete")
    _json(raised)

    person = _command(commands, "athlete", "say or show what is known of an athlete", "people", "athlete")
    person.add_argument("name")
    person.add_argument("--level", choices=("beginner", "intermediate", "advanced"))
    person.add_argument("--focus", metavar="PARTS", help="parts that matter, such as biceps,lats; 'auto' for the default")
    person.add_argument("--equipment", metavar="LIST", help="what there is to train with, such as dumbbells,bodyweight")
    person.add_argument("--equation", choices=EQUATIONS, help="how the one-repetition maximum is estimated (default: the lower of Brzycki and Epley)")
    person.add_argument("--warm-ups", dest="warm_ups", choices=("assumed", "logged"),
                        help="assumed: light untagged sets before the top set are warm-ups; logged: only tagged ones are")
    _json(person)
    return parser


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

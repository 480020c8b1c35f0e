"""The table of the calibration: rows with their targets, as CSV and as plain text."""

from __future__ import annotations

import csv
from datetime import date
from importlib.metadata import version
from pathlib import Path

import numpy as np

from tests.calibration.population import Found, Point, Result

HERE = Path(__file__).parent
KEPT = HERE.parent.parent / "dashboard" / "calibration"
COLUMNS = ("case_id", "group", "what", "unit", "target", "target_low", "target_high", "value", "low", "high", "athletes", "bound", "bound_is", "met", "note")
OTHER = ("case_id", "value", "low", "high", "met", "seed")
POINTS = ("curve", "series", "x", "x_unit", "value", "low", "high", "athletes")


def asked() -> list[dict[str, str]]:
    """The rows that the table has, with their targets."""
    with (HERE / "rows.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def table(found: Found) -> list[dict[str, str]]:
    """Rows of cases.csv, in the order asked; rows that were not measured are left out."""
    measured = {r.case_id: r for r in found if isinstance(r, Result)}
    return [_row(row, measured[row["case_id"]]) for row in asked() if row["case_id"] in measured]


def _row(row: dict[str, str], r: Result) -> dict[str, str]:
    if r.target_high is not None:
        row = row | {"target": f"≤ {r.target_high:.2f} (one exercise's)", "target_high": f"{r.target_high:.4g}"}
    return row | {
        "value": number(r.figure.value), "low": number(r.figure.low), "high": number(r.figure.high), "athletes": str(r.figure.athletes),
        "bound": "" if r.bound is None else number(r.bound), "bound_is": r.bound_is, "note": r.note,
        "met": met(r.figure.value, row["target_low"], row["target_high"])}


def met(value: float, low: str, high: str) -> str:
    """yes or no where there is a target, else empty."""
    if not low and not high:
        return ""
    return "yes" if (not low or value >= float(low)) and (not high or value <= float(high)) else "no"


def number(value: float) -> str:
    return "" if np.isnan(value) else f"{value:.4g}"


def curve_rows(found: Found) -> list[dict[str, str]]:
    return [{"curve": p.curve, "series": p.series, "x": f"{p.x:g}", "x_unit": p.x_unit, "value": number(p.figure.value), "low": number(p.figure.low),
             "high": number(p.figure.high), "athletes": str(p.figure.athletes)} for p in found if isinstance(p, Point)]


def write(found: Found, athletes: int, seed: int, folder: Path = KEPT) -> None:
    """cases.csv, curves.csv and run.csv."""
    _write(folder / "cases.csv", COLUMNS, table(found))
    _write(folder / "curves.csv", POINTS, curve_rows(found))
    of_run = {"seed": seed, "athletes a case": athletes, "sessions a week": 2, "program version": version("evenset"), "date": date.today().isoformat()}
    _write(folder / "run.csv", ("key", "value"), [{"key": k, "value": str(v)} for k, v in of_run.items()])


def write_other(found: Found, seed: int, folder: Path = KEPT) -> None:
    """other.csv: the same figures of other athletes, at whom nobody looks while a rule is decided."""
    _write(folder / "other.csv", OTHER, [{name: str(seed) if name == "seed" else row[name] for name in OTHER} for row in table(found)])


def replace(found: Found, athletes: int, seed: int, folder: Path = KEPT) -> None:
    """Put the rows and points of some populations in place of those in the table, which has to be of as many athletes and the
    same seed; a rule that only these populations depend on has changed then. Raises ValueError where it is not.
    """
    of_run = about(folder)
    if (of_run["seed"], of_run["athletes a case"]) != (str(seed), str(athletes)):
        raise ValueError("The table is of another run: run all populations.")
    rows = {row["case_id"]: row for row in [*read(folder), *table(found)]}
    _write(folder / "cases.csv", COLUMNS, [rows[row["case_id"]] for row in asked() if row["case_id"] in rows])
    points = curve_rows(found)
    again = {(row["curve"], row["series"]) for row in points}
    _write(folder / "curves.csv", POINTS, [row for row in _rows(folder / "curves.csv") if (row["curve"], row["series"]) not in again] + points)


def read(folder: Path = KEPT) -> list[dict[str, str]]:
    return _rows(folder / "cases.csv")


def read_other(folder: Path = KEPT) -> list[dict[str, str]]:
    return _rows(folder / "other.csv")


def about(folder: Path = KEPT) -> dict[str, str]:
    """What was run: seed, athletes and so on."""
    return {row["key"]: row["value"] for row in _rows(folder / "run.csv")}


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def text(rows: list[dict[str, str]]) -> str:
    """The table in plain text."""
    lines = []
    for row in rows:
        mark = {"yes": "met", "no": "NOT MET", "": ""}[row["met"]]
        bound = f"  bound {row['bound']}" if row["bound"] else ""
        lines.append(f"{row['case_id']:22} {row['target']:26} {row['value']:>7} ({row['low']} to {row['high']}){bound}  {mark:8} {row['note']}")
    return "\n".join(lines)


def differing(new: list[dict[str, str]], committed: list[dict[str, str]]) -> list[str]:
    """Rows of a new run that lie further from the committed ones than both intervals allow."""
    old, wrong = {row["case_id"]: row for row in committed}, []
    for row in new:
        was = old.get(row["case_id"])
        if was is None:
            wrong.append(f"{row['case_id']} is not in the committed table")
        elif row["value"] and was["value"] and abs(float(row["value"]) - float(was["value"])) > _room(row, was):
            wrong.append(f"{row['case_id']}: {row['value']}, committed {was['value']}")
    return wrong


def _room(a: dict[str, str], b: dict[str, str]) -> float:
    """1.5 times the half-widths of two 95 % intervals, taken together: 3 standard errors of a difference."""
    return 1.5 * float(np.hypot(*(float(x["high"]) - float(x["low"]) for x in (a, b)))) / 2 + 1e-9


def _write(path: Path, columns: tuple[str, ...], rows: list[dict[str, str]]) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, columns, lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)

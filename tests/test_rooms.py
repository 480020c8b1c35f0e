"""Who may import whom: the rooms of the flow, held by a walk over every import in the source."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
# Room -> what nothing in it may import, at the top of a file or inside a function.
FORBIDDEN = {
    "etl": ("dashboard", "streamlit", "altair"),
    "etl/read": ("etl.shapes", "etl.columns", "etl.notation", "etl.normalise", "etl.names", "etl.store", "etl.tables", "duckdb"),
    "etl/columns": ("etl.shapes", "etl.normalise", "etl.names", "etl.store", "duckdb"),
    "etl/shapes": ("etl.normalise", "etl.names", "etl.store", "etl.tables", "duckdb"),
    "etl/notation": ("etl.shapes", "etl.columns", "etl.normalise", "etl.names", "etl.store", "etl.read", "duckdb"),
    "etl/normalise": ("etl.names", "etl.store", "duckdb"),
    "etl/own": ("etl.read", "etl.columns", "etl.normalise", "etl.store", "duckdb"),
    "etl/names": ("etl.read", "etl.columns", "etl.normalise", "etl.store", "duckdb"),
    "etl/export": ("etl.read", "etl.columns", "etl.shapes", "etl.notation", "etl.normalise", "etl.names", "etl.importing"),
    "etl/fast": ("etl.store", "etl.importing", "duckdb"),
    "etl/store": ("etl.read", "etl.columns", "etl.notation", "etl.normalise", "etl.names"),
    "dashboard/measures": ("streamlit", "altair", "duckdb", "etl.store", "etl.tables", "dashboard.standing", "dashboard.queries", "pathlib", "io", "os"),
    "dashboard/sentences": ("streamlit", "altair", "duckdb", "etl.store", "dashboard.standing", "dashboard.queries"),
    "dashboard/standing": ("streamlit", "altair", "dashboard.queries", "dashboard.charts", "dashboard.app_pages"),
    "dashboard/methods": ("streamlit", "altair", "duckdb", "etl.store", "dashboard.standing", "dashboard.queries", "dashboard.charts", "dashboard.app_pages"),
    "dashboard/queries": ("streamlit", "altair", "dashboard.standing", "dashboard.charts", "dashboard.app_pages"),
    "dashboard/charts": ("streamlit", "duckdb", "etl.store", "dashboard.queries", "dashboard.standing", "dashboard.app_pages"),
    "dashboard/report": ("streamlit", "duckdb", "etl.store", "dashboard.standing", "dashboard.app_pages"),
    "dashboard/app_pages": ("duckdb", "numpy", "dashboard.measures"),
    "dashboard/command": ("streamlit.delta_generator", "altair", "dashboard.app_pages", "dashboard.charts"),
}


def imported(path: Path) -> set[str]:
    """Every module that a file imports, wherever the import stands."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return found


@pytest.mark.parametrize("room", FORBIDDEN)
def test_room_imports_nothing_it_may_not_know(room: str):
    files = sorted((ROOT / room).rglob("*.py"))
    assert files, f"the room {room} is empty"
    wrong = {f"{path.relative_to(ROOT)} imports {name}" for path in files for name in imported(path) for banned in FORBIDDEN[room]
             if name == banned or name.startswith(banned + ".")}
    assert not wrong, sorted(wrong)


def test_walk_sees_imports_inside_functions(tmp_path: Path):
    """The walk itself: a late import counts as one."""
    file = tmp_path / "late.py"
    file.write_text("def f():\n    from dashboard.queries import week\n    import duckdb as d\n")
    assert {"dashboard.queries", "dashboard.queries.week", "duckdb"} <= imported(file)


def test_catalogue_is_data_only():
    assert not list((ROOT / "etl" / "catalogue").rglob("*.py"))


def test_pages_hold_no_sql():
    """A page asks a query; no SQL stands in one."""
    pages = {p.name: p.read_text("utf-8").lower() for p in (ROOT / "dashboard" / "app_pages").glob("*.py")}
    assert not [name for name, text in pages.items() if "select " in text and " from " in text.split("select ")[1][:200] and "execute" in text]


def test_each_sql_file_states_its_grain():
    """Every mart begins with what goes in and what one row of it is; every table in a migration says its grain."""
    sql = [p for p in (ROOT / "etl" / "sql").rglob("*.sql")]
    assert len(sql) > 5
    for path in sql:
        text = path.read_text("utf-8")
        if "migrations" in path.parts:
            tables = [i for i, line in enumerate(text.splitlines()) if line.startswith("create table")]
            lines = text.splitlines()
            assert all(lines[i - 1].startswith("-- One row per") for i in tables), path.name
        else:
            assert text.startswith("--") and "One row per" in text.split("\n\n")[0], path.name

"""The report as HTML of one file: no script, no request to any host, and a policy that forbids both."""

from __future__ import annotations

from html import escape
from importlib.resources import files
from itertools import count

from dashboard.harmless import policy_source
from dashboard.report.content import Report, Section
from dashboard.report.drawn import Drawn, in_columns, plain

LONG_NAME = 60  # characters: a longer one would fill the page in large letters
MAKER = "Evenset"


def html(report: Report) -> str:
    """The whole file. Whatever a log or a person wrote stands in it as text."""
    style = files("dashboard.report").joinpath("page.css").read_text("utf-8")
    number = count(1)
    first, second = ("".join(_figure(drawn, next(number)) for drawn in column) for column in in_columns(report))
    ahead = "".join(map(_section, report.ahead))
    since = f'<p class="since">{_text(report.since)}</p>\n' if report.since else ""
    beside = "".join(map(_section, report.beside))
    return (
        f'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta http-equiv="Content-Security-Policy" content="{_policy(style)}">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n<meta name="referrer" content="no-referrer">\n<meta name="generator" content="{MAKER}">\n'
        f"<title>{_text(f'{report.athlete}, {report.title}')}</title>\n<style>{style}</style>\n</head>\n<body>\n"
        f'<header>\n<h1 dir="auto"{_long(report.athlete)}>{_text(report.athlete)}</h1>\n<p class="title">{_text(report.title)}</p>\n</header>\n'
        f'<main>\n<p class="done">{_text(report.done)}</p>\n<p>{_text(report.over)}</p>\n{since}{_section(report.gain)}'
        f'<div class="columns">\n<div>{first}</div>\n<div>{second}{ahead}</div>\n</div>\n<div class="columns beside">{beside}</div>\n</main>\n'
        f"<footer>\n<p>{_text(report.counting)}</p>\n{''.join(f'<p>{_text(line)}</p>' for line in report.foot)}\n</footer>\n</body>\n</html>\n")


def _policy(style: str) -> str:
    """Nothing is fetched, run, framed or sent; the one style sheet is known by its digest."""
    return f"default-src 'none'; style-src {policy_source(style)}; base-uri 'none'; form-action 'none'"


def _figure(drawn: Drawn, number: int) -> str:
    named = f'<svg role="img" aria-labelledby="picture{number}"'
    words = f'<desc id="picture{number}">{escape(drawn.words)}</desc>'
    start, _, rest = drawn.svg.replace("<svg", named, 1).partition(">")
    return f"<figure>\n<h2>{escape(drawn.title)}</h2>\n{start}>{words}{rest}\n<figcaption class=\"reading\">{escape(drawn.reading)}</figcaption>\n</figure>\n"


def _section(section: Section) -> str:
    lines = [f'<li dir="auto">{_text(line)}</li>' for line in section.lines] if section.listed else [f"<p>{_text(line)}</p>" for line in section.lines]
    inside = f"<ul>{''.join(lines)}</ul>" if section.listed else "".join(lines)
    return f"<section>\n<h2>{_text(section.title)}</h2>\n{inside}\n</section>\n"


def _long(name: str) -> str:
    return ' class="long"' if len(name) > LONG_NAME else ""


def _text(text: str) -> str:
    return escape(plain(text))

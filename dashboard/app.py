"""The dashboard: the choice of athlete and week, then the page. Served by dashboard/asgi.py."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

from dashboard.app_pages.page import escape, foot
from dashboard.app_pages.said_forms import opened
from dashboard.choices import arrived_at, choose
from dashboard.reader import write_as_read
from dashboard.sentences.decimal_mark import told
from etl.refusal import Refusal

DRESS = Path(__file__).with_name("dress.css")
OF_ONE = "For the client"  # the page that names nobody but one athlete, and nothing else of the program
PAGES = {
    "app_pages/this_week.py": "This week",
    "app_pages/clients.py": "Clients",
    "app_pages/strength.py": "Strength",
    "app_pages/balance.py": "Balance",
    "app_pages/load.py": "Load",
    "app_pages/presentation.py": OF_ONE,
    "app_pages/look_up.py": "Sessions and blocks",
    "app_pages/exercises.py": "Exercises",
    "app_pages/settings.py": "Settings",
    "app_pages/data.py": "Data",
    "app_pages/methods.py": "Methods",
}
OF_ALL = ("Clients",)  # pages of all athletes at once, without the bar that chooses one


def main() -> None:
    write_as_read()
    st.set_page_config(page_title="Evenset", page_icon="🧱", layout="wide")
    st.html(DRESS)
    pages = [st.Page(path, title=title, default=i == 0) for i, (path, title) in enumerate(PAGES.items())]
    page = st.navigation(pages, position="top")
    of_one = page.title == OF_ONE
    if of_one:
        st.navigation(pages, position="hidden")
    try:
        arrived_at(page.title)
        choice = choose(bar=page.title not in OF_ALL, of_one=of_one)
        page.run()
        opened(choice, page.title)
    except Refusal as refusal:
        st.navigation(pages, position="top")  # the way on, also where it had been left out
        st.error(escape(told(str(refusal))))
    foot()


if __name__ == "__main__":
    main()

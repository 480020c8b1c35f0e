"""The dashboard: the choice of athlete and week, then the page. Served by dashboard/asgi.py."""

from __future__ import annotations

import streamlit as st

from dashboard.app_pages.page import escape, foot
from dashboard.choices import choose
from etl.refusal import Refusal

PAGES = {
    "app_pages/this_week.py": "This week",
    "app_pages/strength.py": "Strength",
    "app_pages/balance.py": "Balance",
    "app_pages/load.py": "Load",
    "app_pages/look_up.py": "Sessions and blocks",
    "app_pages/exercises.py": "Exercises",
    "app_pages/data.py": "Data",
    "app_pages/methods.py": "Methods",
}


def main() -> None:
    st.set_page_config(page_title="Evenset", page_icon="🧱", layout="wide")
    pages = [st.Page(path, title=title, default=i == 0) for i, (path, title) in enumerate(PAGES.items())]
    page = st.navigation(pages, position="top")
    try:
        choose()
        page.run()
    except Refusal as refusal:
        st.error(escape(str(refusal)))
    foot()


if __name__ == "__main__":
    main()

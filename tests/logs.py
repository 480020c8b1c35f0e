"""Small logs that many tests bring in, and questions to the store that they came into."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from etl.importing import Answers, keep, known, understand
from etl.store import reading

HEAD = "Date,Athlete,Exercise,Set,Load (kg),Reps,RIR,Note\n"
ROW = "2026-03-02,Ida,Bench press,{n},{load},8,2,\n"
THREE = HEAD + "".join(ROW.format(n=n, load=60) for n in (1, 2, 3))
BAD = THREE + "2026-02-31,Ida,Bench press,4,60,8,2,\n2026-03-02,Ida,Bench press,5,60,many,2,\n"
TWINS = "Date,Athlete,Exercise,Load (kg),Reps\n" + "2026-03-02,Ida,Bench press,60,8\n" * 3
TODAY = date(2026, 11, 1)
PLAIN = "Date,Athlete,Exercise,Set,Load,Reps\n2026-03-02,Ida,Curl,1,20,10\n2026-03-02,Ida,Curl,2,20,9\n"


def bring(store: Path, text: str, answers: Answers = Answers(), name: str = "log.csv") -> dict:
    return keep(store, understand([(name, text.encode())], answers, known=known(store), today=TODAY))


def ask(store: Path, sql: str) -> list[tuple]:
    with reading(store) as con:
        return con.execute(sql).fetchall()


def set_of(store: Path, where: str = "true") -> int:
    return ask(store, f"select min(set_id) from sets where {where}")[0][0]

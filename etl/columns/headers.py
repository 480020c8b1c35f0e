"""A header's words -> the fields that it may name, by the words kept in the catalogue."""

from __future__ import annotations

import functools
import re
import unicodedata
from typing import NamedTuple

from etl.notation.things import FILLED, MADE, VESSELS
from etl.notation.words import OTHER_UNITS, UNIT_WORDS
from etl.tables import cell_words, header_words

EXACT, CONTAINED = 0.95, 0.75  # [D] confidence of a header that is a known word, and of one that holds such a word
SHARED = 0.85  # [D] factor for a word that names several fields ("time", "name", "set")
_PIECES = re.compile(r"[/|()\[\]\n,;]|\s[-–—]\s")
FILLERS = frozenset("the of my a an in for per each this is and or to".split())
# [C] What says that an amount is of one set, round or side, in the languages of the catalogue, without accents: common practice, no source.
EACH = frozenset("each per every pro je jede jeden jedem jeder jedes par chaque por cada ogni elk elke iedere".split())
_WITHIN = frozenset("in on at a en em op bei auf im pour para com su".split())  # stand before such a word: "in each round"
_STROKE = re.compile(r"(?<=[^\W\d_])\s*/\s*(?=[^\W\d_]+[\W_]*$)")
_OF_ONE, _COUNTED = {"set_no", "round_no", "side"}, {"set_count", "round_count"}
IN_BRACKETS = re.compile(r"[(\[{]([^)\]}]*)")
# [C] What stands in brackets behind a load and is no unit: whether there is one, what it includes. Common practice, no source.
REMARKS = frozenset("optional if any no not only top back off heaviest incl including included inclusive excl excluding excluded without with plus bar inkl exkl ohne mit approx about ca rough "
                    "net gross sum both combined pair pairs paar ea facultatif optionnel opcional facoltativo optioneel avec sans con sin senza com sem met zonder".split())
SHORTEST = 3  # [D] letters of a word that is known for itself: "n" is a number of sets, a force and much else
EITHER = "kg or lb"
# [C] What a header says that means the scale of perceived exertion: its short names, and the beginnings of "perceived" and "subjective".
SCALE_NAMES = ("rpe", "pse", "borg", "exertion")
SCALE_BEGINS = ("percei", "percep", "percib", "perceb", "percu", "subje", "empfund", "belastungsempf", "anstrengungsempf", "ervaren")
WHOLE_ONLY = ("plan", "done", "weekday")  # fields that a header names as a whole: inside one ("reps done") their words are no name of its own
LONGEST = 120  # [D] characters of a header: a longer text is a remark
# Fields of which a plan and what was done of it stand side by side: "Load planned", "Load done".
AMOUNTS = ("load", "reps", "hold", "set_count", "round_count", "rir", "rpe", "assistance")
ALONE = frozenset(("how many", "how heavy", "times"))  # [D] words that mean an amount as a whole header: inside one they ask for anything ("how many weeks")


def _unit_tokens() -> dict[str, str]:
    """Single words that are a unit, by the catalogue's words for units of load and by its headers that are nothing but a unit of time."""
    found = {word: unit for word, unit in UNIT_WORDS.items() if word.isalpha()}
    times = {"s": "s sec secs second seconds sek sekunde sekunden seg segundo segundos secondi secondo secondes seconde seconden",
             "min": "min mins minute minutes minuten minuto minutos minuti minuut"}
    return found | {word: unit for unit, words in times.items() for word in words.split()}


UNIT_TOKENS = _unit_tokens()


class Named(NamedTuple):
    field: str
    unit: str
    confidence: float
    word: str  # the known word that was found


def words_of(header: str) -> tuple[str, ...]:
    """A header's words in lower case: "LoadKg", "load_kg" and "Load (kg)" all give ("load", "kg")."""
    plain = "".join(c for c in unicodedata.normalize("NFKD", header) if not unicodedata.combining(c))
    plain = re.sub(r"(?<=[a-z])(?=[A-Z][a-z])", " ", plain).lower().replace("'", "").replace("\u2019", "")
    return tuple(re.findall(r"[^\W_]+|#", plain))


def unit_of(words: tuple[str, ...]) -> str:
    """The unit that a header's words say, "" for none; EITHER where they offer several units of load."""
    words = _without_other_units(words)
    said = [UNIT_TOKENS[w] for w in words if w in UNIT_TOKENS]
    return EITHER if len(set(said) & set(UNIT_WORDS.values())) > 1 else said[-1] if said else ""


def says_share(header: str) -> bool:
    """Whether a header says that its numbers are a share of something, and names no unit of load: "load (%)"."""
    words = words_of(header.replace("%", " pct "))
    return not any(w in UNIT_WORDS for w in words) and any(OTHER_UNITS.get(" ".join(run)) == "share" for run in _runs(words))


def names_share(header: str) -> bool:
    """Whether a header names a share of a load: "load (%)", "Gewicht in Prozent"."""
    return says_share(header) and any(field == "load" for word in words_of(header) for field, _ in _known().get(word, ()))


def other_unit(header: str) -> str:
    """What a header of loads says in the place of a unit, as it is written, where that is none: "N", "%", "pounds-force"; "" for nothing.

    A unit of something else anywhere but inside a known name ("plates per side"), or in brackets any word that is
    neither a unit of load nor of the trade.
    """
    words = words_of(header.replace("%", " pct "))
    if {" ".join(words), " ".join(w for w in words if w not in UNIT_TOKENS)} & set(_known()):
        return ""
    if found := _said_in(words):
        return _as_written(header, found)
    if unit_of(words):
        return ""
    remarks = [text.strip() for text in IN_BRACKETS.findall(header)]
    return next((text for text in remarks if not all(w.isdigit() or w in _trade_words() for w in words_of(text))), "")


def _said_in(words: tuple[str, ...]) -> tuple[str, ...]:
    """The longest run of words that is a unit of something else; one of a few letters only where the header ends with it."""
    found = [run for run in _runs(words) if " ".join(run) in OTHER_UNITS and (len("".join(run)) >= SHORTEST or words[-1:] == run)]
    return max(found, key=len, default=())


def _without_other_units(words: tuple[str, ...]) -> tuple[str, ...]:
    run = next((run for run in sorted(_runs(words), key=len, reverse=True) if len(run) > 1 and " ".join(run) in OTHER_UNITS), ())
    at = next((k for k in range(len(words)) if run and words[k:k + len(run)] == run), len(words))
    return words[:at] + words[at + len(run):]


def _runs(words: tuple[str, ...]) -> list[tuple[str, ...]]:
    """One word or two that stand side by side."""
    return [words[k:k + length] for length in (1, 2) for k in range(len(words) - length + 1)]


def _as_written(header: str, words: tuple[str, ...]) -> str:
    m = re.search(r"[\W_]+".join(words).replace("pct", "(?:%|pct)"), header, re.IGNORECASE)
    return m[0] if m else " ".join(words)


@functools.cache
def _trade_words() -> frozenset[str]:
    """Single words that may stand in brackets in a header of loads."""
    phrases = [*header_words()["words"], *cell_words().loc[cell_words()["kind"].isin(["side", "set_kind", "unit"]), "words"]]
    known = {word for phrase in phrases for word in words_of(phrase) if len(word) >= SHORTEST}
    return frozenset(known | set(UNIT_TOKENS) | FILLERS | REMARKS | MADE | set(VESSELS) | set(FILLED))


def fields_named(header: str) -> list[Named]:
    """Fields that a header may name, the likeliest first; [] for words that name none.

    The whole header is looked up first, then without its unit, then the longest known word inside it, the last one
    where two are as long, since English puts what a thing is last. An amount that says "done" or "actual" is that amount,
    and what is of each set, round or side is what it is without that.
    A part of a header that also says planned, target, previous, best, left, right or a number names nothing: such a column
    holds something else, or is one of several alike.
    """
    if len(header) > LONGEST:
        return []
    words = words_of(header)
    unit = unit_of(words)
    bare = tuple(w for w in words if w not in UNIT_TOKENS)
    if found := _known().get(" ".join(words)):
        return _named(found, EXACT, unit, " ".join(words))
    done = _amount_done(words, unit)
    return done + [n for n in _in_part(header, bare, unit) if n.field not in {d.field for d in done}]


def _in_part(header: str, bare: tuple[str, ...], unit: str) -> list[Named]:
    """What a header names that is no known word as a whole. bare: its words without those of a unit."""
    if found := _known().get(" ".join(bare)):
        return _named(found, EXACT, unit, " ".join(bare))
    if (found := _of_each(header, unit)) is not None:
        return found
    if found := _bilingual(header, unit):
        return found
    phrase = _inside(bare)
    return _named(_known()[phrase], CONTAINED, unit, phrase) if phrase else []


def _of_each(header: str, unit: str) -> list[Named] | None:
    """What is counted of each set, round or side: "Reps each round", "Wdh/Satz"; None for a header that does not say such a thing."""
    words = words_of(header)
    if rest := _before_each(words):
        return _of_words(rest, unit)
    # A stroke also stands between two things that a column holds ("Set / Round"), or two that it counts ("Reps/Sets").
    slashed = words_of(_STROKE.sub(" per ", header))
    if slashed == words or _COUNTED & {field for field, _ in _known().get(slashed[-1], ())}:
        return None
    found = _of_words(_before_each(slashed), unit)
    return found if any(n.field in AMOUNTS and n.field not in _COUNTED for n in found) else None


def _before_each(words: tuple[str, ...]) -> tuple[str, ...]:
    """The words before "each set", "in every round" or "per side" at the end of a header; () where it does not end so."""
    if not words or not _OF_ONE & {field for field, _ in _known().get(words[-1], ())}:
        return ()
    end = len(words) - 1
    while end and words[end - 1] in FILLERS | EACH | _WITHIN:
        end -= 1
    return words[:end] if EACH & set(words[end:-1]) else ()


def _of_words(words: tuple[str, ...], unit: str) -> list[Named]:
    """What some of a header's words name: all of them, all but a unit, or a known word inside."""
    bare = tuple(w for w in words if w not in UNIT_TOKENS)
    whole = next((text for text in (" ".join(words), " ".join(bare)) if text in _known()), None)
    phrase = whole or _inside(bare)
    return _named(_known()[phrase], EXACT if whole else CONTAINED, unit, phrase) if phrase else []


def _amount_done(words: tuple[str, ...], unit: str) -> list[Named]:
    """The amount of which a header says that it is what was done: "Load done", "Actual RPE", "Load (kg) actual"; [] for anything else."""
    rest = tuple(w for w in words if w not in _whole("done"))
    if len(rest) == len(words):
        return []
    amounts = (" ".join(rest), " ".join(w for w in rest if w not in UNIT_TOKENS))
    found = next((known for text in amounts if (known := [pair for pair in _known().get(text, ()) if pair[0] in AMOUNTS])), [])
    return _named(found, EXACT, unit, " ".join(words))


def _bilingual(header: str, unit: str) -> list[Named]:
    """ "Date / Datum", "Übung (exercise)": pieces that are each known say what both mean, else what the first one means."""
    pieces = [tuple(w for w in words_of(piece) if w not in UNIT_TOKENS) for piece in _PIECES.split(header)]
    known = [" ".join(piece) for piece in pieces if " ".join(piece) in _known()]
    if len([piece for piece in pieces if piece]) < 2 or not known or any(f == "other" for word in known for f, _ in _known()[word]):
        return []
    shared = [(f, u) for f, u in _known()[known[0]] if all(f in {g for g, _ in _known()[word]} for word in known)]
    found = shared or [pair for word in known for pair in _known()[word]]
    return _named(list(dict.fromkeys(found)), EXACT, unit, known[0])


def _named(found: list[tuple[str, str]], confidence: float, unit: str, word: str) -> list[Named]:
    # A column of exercise ids is told by its cells, not by the word, which is then no less the exercise's.
    shared = SHARED if len({field for field, _ in found} - {"exercise_id"}) > 1 else 1.0
    return [Named(field, own or unit, confidence * shared, word) for field, own in found if field != "other"]


def _inside(words: tuple[str, ...]) -> str | None:
    words = tuple(w for w in words if w not in FILLERS)
    if any(w.isdigit() for w in words) or _says_other(words):
        return None
    longest = _longest()
    spans = [(end - start, end, " ".join(words[start:end])) for start in range(len(words)) for end in range(start + 1, min(start + longest, len(words)) + 1)]
    known = [span for span in spans if span[2] in _known() and len(span[2]) > 2 and span[2] not in ALONE]
    return max(known)[2] if known else None


def says_something_else(header: str) -> bool:
    """Whether a header says that its column holds what was planned, or something that is not read: "Planned", "Heart rate", "load (%)"."""
    return says_share(header) or _says_other(words_of(header))


def _says_other(words: tuple[str, ...]) -> bool:
    return any(w in _whole("plan") or any(f == "other" for f, _ in _known().get(w, ())) for w in words)


def means_session_too(word: str) -> bool:
    """Whether a word for the seconds of a hold also names a time of day or the length of a session ("duration", "Dauer")."""
    return bool({"time", "minutes"} & {field for field, _ in _known().get(word, ())})


def is_named(header: str, field: str) -> bool:
    """Whether a header is, as a whole or without its unit, a word for one of WHOLE_ONLY."""
    words = words_of(header)
    return bool({" ".join(words), " ".join(w for w in words if w not in UNIT_TOKENS)} & _whole(field))


@functools.cache
def _whole(field: str) -> frozenset[str]:
    """A column of yes and no for what was done is named for what was done as well."""
    rows = header_words()
    own = rows["field"] == field
    if field == "done":
        own |= (rows["field"] == "planned") & (rows["unit"] == "not")
    return frozenset(" ".join(words_of(words)) for words in rows.loc[own, "words"])


@functools.cache
def _longest() -> int:
    """Words of the longest known phrase."""
    return max(len(word.split()) for word in _known())


@functools.cache
def _known() -> dict[str, list[tuple[str, str]]]:
    """Known word -> [(field, unit)] in the order of the catalogue."""
    known: dict[str, list[tuple[str, str]]] = {}
    for row in header_words().itertuples():
        if row.field in WHOLE_ONLY:
            continue
        known.setdefault(" ".join(words_of(row.words)), []).append((row.field, row.unit))
    return known


def names_exertion(header: str) -> bool:
    """Whether a header says itself that its numbers are RPE, or on which scale they are: "RPE", "Effort (1-10)"; "Effort" does not."""
    words = words_of(header)
    return any(w in SCALE_NAMES or w.startswith(SCALE_BEGINS) or any(c.isdigit() for c in w) for w in words)

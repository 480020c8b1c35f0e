"""The words of the trade in seven languages: headers -> fields, cells -> meanings, and the two tables that hold them."""

import unicodedata

import pandas as pd
import pytest

from etl import notation
from etl.columns import FIELDS, recognise
from etl.columns.headers import WHOLE_ONLY, fields_named, is_named, words_of
from etl.notation.blanks import BLANK_WORDS, folded
from etl.read import read_table
from etl.tables import cell_words, header_words, listed

LANGUAGES = ("en", "de", "fr", "es", "it", "pt", "nl")
OUR_OWN = {"kind_source"}  # a column of the set log itself, which nobody writes by hand: English only
MEANINGS = {
    "unit": {"kg", "lb", "st"}, "other_unit": {"share", "force", "mass", "step"}, "side": {"left", "right", "both", "each"}, "set_kind": {"work", "warm_up", "drop", "rest_pause", "cluster"},
    "range": {"full", "lower_half", "upper_half", "part"}, "limit": {"muscle", "breath", "grip", "form", "pain"},
    "yes_no": {"yes", "no"}, "scale": {"rpe", "rir"}, "state": {"planned", "done"}, "total": {"total"}, "blank": {"blank"},
}
READERS = {
    "unit": notation.units, "side": notation.sides, "set_kind": notation.kinds, "range": notation.ranges, "limit": notation.limits,
    "yes_no": notation.booleans, "state": notation.states,
}
HEADERS = {
    "en": {"Lifter": "athlete", "Training date": "date", "Time of day": "time", "Workout": "session", "Movement": "exercise",
           "Exercise ID": "exercise_id", "Set #": "set_no", "Number of sets": "set_count", "Sets x reps": "work", "Sets and reps": "work",
           "Results": "work", "Assistance (kg)": "assistance", "Rep count": "reps", "Weight used": "load",
           "Hold time": "hold", "Reps in reserve": "rir", "Remarks": "note"},
    "de": {"Sportlerin": "athlete", "Datum": "date", "Uhrzeit": "time", "Trainingseinheit": "session", "Übung": "exercise",
           "Satz-Nr.": "set_no", "Anzahl Sätze": "set_count", "Sätze x Wdh": "work", "Leistung": "work", "Wiederholungen": "reps", "Wdh.": "reps",
           "Wh": "reps", "Gewicht (kg)": "load", "Zusatzgewicht": "load", "Körpergewicht": "body_mass", "Haltezeit": "hold", "Anstrengung": "rpe",
           "Wdh. in Reserve": "rir", "Schmerz": "pain_score", "Schmerzstelle": "pain_place", "Pause (s)": "rest", "Trainingsdauer": "minutes",
           "Bemerkung": "note", "Seite": "side", "Satzart": "kind", "Runde": "round_no", "Maßeinheit": "unit", "Griff": "grip", "Gerät": "equipment"},
    "fr": {"Athlète": "athlete", "Date de la séance": "date", "Heure": "time", "Séance": "session", "Exercice": "exercise",
           "N° de série": "set_no", "Nombre de séries": "set_count", "Séries × répétitions": "work", "Résultat": "work", "Répétitions": "reps",
           "Nb reps": "reps", "Charge (kg)": "load", "Poids": "load", "Poids de corps": "body_mass", "Temps de maintien": "hold",
           "Effort perçu": "rpe",
           "Réps en réserve": "rir", "Douleur": "pain_score", "Zone de douleur": "pain_place", "Repos": "rest", "Durée de la séance": "minutes",
           "Remarques": "note", "Côté": "side", "Type de série": "kind", "Tour": "round_no", "Unité": "unit", "Prise": "grip",
           "Matériel": "equipment"},
    "es": {"Deportista": "athlete", "Fecha": "date", "Hora": "time", "Sesión": "session", "Ejercicio": "exercise", "Número de serie": "set_no",
           "Nº de series": "set_count", "Series x repeticiones": "work", "Resultado": "work", "Repeticiones": "reps", "Peso": "load",
           "Carga (kg)": "load", "Peso corporal": "body_mass", "Tiempo mantenido": "hold", "Esfuerzo percibido": "rpe",
           "Repeticiones en reserva": "rir",
           "Dolor": "pain_score", "Zona de dolor": "pain_place", "Descanso": "rest", "Duración de la sesión": "minutes", "Notas": "note",
           "Lado": "side", "Tipo de serie": "kind", "Ronda": "round_no", "Unidad": "unit", "Agarre": "grip", "Material": "equipment"},
    "it": {"Nome atleta": "athlete", "Data": "date", "Orario": "time", "Seduta": "session", "Esercizio": "exercise", "Serie n.": "set_no",
           "Quante serie": "set_count", "Serie x ripetizioni": "work", "Risultato": "work", "Ripetizioni": "reps", "Rip.": "reps", "Carico": "load",
           "Peso (kg)": "load", "Peso corporeo": "body_mass", "Tenuta": "hold", "Sforzo percepito": "rpe", "Buffer": "rir", "Dolore": "pain_score",
           "Zona del dolore": "pain_place", "Recupero": "rest", "Durata allenamento": "minutes", "Note": "note", "Lato": "side",
           "Tipo di serie": "kind",
           "Giro": "round_no", "Unità di misura": "unit", "Presa": "grip", "Attrezzo": "equipment"},
    "pt": {"Nome do atleta": "athlete", "Data do treino": "date", "Horário": "time", "Treino": "session", "Exercício": "exercise",
           "Número da série": "set_no", "N.º de séries": "set_count", "Séries x repetições": "work", "Resultados": "work", "Repetições": "reps",
           "Carga": "load", "Peso": "load", "Peso corporal": "body_mass", "Tempo de sustentação": "hold", "PSE": "rpe",
           "Repetições em reserva": "rir",
           "Dor": "pain_score", "Local da dor": "pain_place", "Intervalo": "rest", "Duração do treino": "minutes", "Observações": "note",
           "Lado": "side",
           "Tipo de série": "kind", "Rodada": "round_no", "Unidade de peso": "unit", "Pegada": "grip", "Equipamento": "equipment"},
    "nl": {"Sporter": "athlete", "Datum": "date", "Tijdstip": "time", "Sessie": "session", "Oefening": "exercise", "Setnummer": "set_no",
           "Aantal sets": "set_count", "Sets x herhalingen": "work", "Resultaat": "work", "Herhalingen": "reps", "Herh.": "reps", "Gewicht": "load",
           "Lichaamsgewicht": "body_mass", "Houdtijd": "hold", "Inspanning": "rpe", "Herhalingen in reserve": "rir", "Pijn": "pain_score",
           "Pijnplek": "pain_place", "Rust": "rest", "Trainingsduur": "minutes", "Opmerkingen": "note", "Zijde": "side", "Soort": "kind",
           "Ronde": "round_no", "Gewichtseenheid": "unit", "Greep": "grip", "Toestel": "equipment"},
}
# A plain log in each language, with a row of cells in its own words.
LOGS = {
    "en": ("Date,Exercise,Set,Reps,Weight (kg),Side,Rest,Notes", "left"), "de": ("Datum,Übung,Satz,Wdh.,Gewicht (kg),Seite,Pause,Bemerkung", "links"),
    "fr": ("Date,Exercice,Série,Répétitions,Charge (kg),Côté,Repos,Remarques", "gauche"),
    "es": ("Fecha,Ejercicio,Serie,Repeticiones,Peso (kg),Lado,Descanso,Notas", "izquierda"),
    "it": ("Data,Esercizio,Serie,Ripetizioni,Carico (kg),Lato,Recupero,Note", "sinistra"),
    "pt": ("Data,Exercício,Série,Repetições,Carga (kg),Lado,Descanso,Observações", "esquerda"),
    "nl": ("Datum,Oefening,Set,Herhalingen,Gewicht (kg),Zijde,Rust,Opmerkingen", "links"),
}


def field_of(header):
    return next((n.field for n in fields_named(header)), None)


def meaning(kind, cell):
    return READERS[kind](pd.Series([cell], dtype="str")).iloc[0]


# --- headers -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("header", "field"), [pair for pairs in HEADERS.values() for pair in pairs.items()])
def test_a_header_in_any_of_the_languages_names_its_field(header, field):
    assert field_of(header) == field


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_plain_log_in_each_language(language):
    header, left = LOGS[language]
    found = recognise(read_table(f"{header}\n2024-03-05,Squat,1,5,100,{left},90,x\n2024-03-05,Squat,2,5,100,{left},90,x\n".encode(), "log.csv"))
    assert [c.field for c in found] == ["date", "exercise", "set_no", "reps", "load", "side", "rest", "note"]


@pytest.mark.parametrize(("header", "fields"), [
    ("Sets", ["set_no", "set_count"]), ("Sätze", ["set_no", "set_count"]), ("Séries", ["set_no", "set_count"]), ("Reeksen", ["set_no", "set_count"]),
    ("Serie", ["set_no", "set_count", "kind"]), ("Set", ["set_no", "kind"]), ("Satz", ["set_no", "kind"]), ("Dauer", ["hold", "minutes"]),
    ("Durée", ["hold", "minutes"]), ("Zeit", ["time", "hold"]), ("Tiempo", ["time", "hold"]), ("Tempo", ["tempo", "hold", "time"]),
    ("Tag", ["date", "kind"]), ("Nombre", ["athlete", "exercise"]), ("Einheit", ["unit", "session"]), ("Dolor", ["pain_score", "pain_place"]),
    ("Performed", ["work", "planned"]), ("Peso", ["load"]), ("Note", ["note"]), ("Data", ["date"])])
def test_a_word_of_several_meanings_names_each_in_its_order(header, fields):
    """What stands in the column decides between them; where that does not, the first."""
    assert [n.field for n in fields_named(header)] == fields


@pytest.mark.parametrize(("header", "field", "unit"), [
    ("Kilos", "load", "kg"), ("Quilos", "load", "kg"), ("Chili", "load", "kg"), ("Peso (libras)", "load", "lb"), ("Poids (livres)", "load", "lb"),
    ("Sekunden", "hold", "s"), ("Sek.", "hold", "s"), ("Segundos", "hold", "s"), ("Seg.", "hold", "s"), ("Secondi", "hold", "s"),
    ("Tempo (s)", "hold", "s"), ("Work (s)", "hold", "s"), ("Minuten", "minutes", "min"), ("Minuti", "minutes", "min"),
    ("Pause (Minuten)", "rest", "min"), ("Descanso minutos", "rest", "min"), ("Rust minuten", "rest", "min")])
def test_units_in_the_words_of_the_language(header, field, unit):
    assert (fields_named(header)[0].field, fields_named(header)[0].unit) == (field, unit)


@pytest.mark.parametrize("header", ["Erledigt", "Fait", "Hecho", "Fatto", "Feito", "Gedaan", "Completed"])
def test_a_column_of_what_was_done_says_the_contrary_of_planned(header):
    assert [(n.field, n.unit) for n in fields_named(header)] == [("planned", "not")]


@pytest.mark.parametrize(("header", "field"), [
    ("Date / Datum", "date"), ("Exercise (Übung)", "exercise"), ("Wdh. / Reps", "reps"), ("Gewicht (Weight) kg", "load"), ("Exercice / Exercise",
    "exercise"),
    ("Körpergewicht / Body weight", "body_mass"), ("Poids de corps / Body mass", "body_mass"), ("Carga / Load (kg)", "load"),
    ("Esercizio - Exercise", "exercise"), ("Repetições | Reps", "reps"), ("Oefening/Exercice", "exercise"), ("Séries (sets)", "set_no"),
    ("Côté / Side", "side"), ("Rest / Pause", "rest"), ("Ejercicio (exercise)", "exercise"), ("Left/right", "side"), ("links/rechts", "side")])
def test_a_header_in_two_languages(header, field):
    assert field_of(header) == field


@pytest.mark.parametrize(("plain", "other"), [
    ("Sätze", "Saetze"), ("Übung", "Uebung"), ("Körpergewicht", "Koerpergewicht"), ("Gerät", "GERAET"), ("Maßeinheit", "Masseinheit"),
    ("Répétitions", "REPETITIONS"), ("Exercício", "exercicio"), ("Unità", "unita"), ("Übung", unicodedata.normalize("NFD", "Übung"))])
def test_spellings_without_accents_are_the_same_header(plain, other):
    assert fields_named(plain) and [n.field for n in fields_named(plain)] == [n.field for n in fields_named(other)]


@pytest.mark.parametrize("header", [
    "Target reps", "Zielgewicht", "Letztes Gewicht", "Wdh. links", "Gewicht rechts", "Charge max", "Reps objectif", "Dernière charge",
    "Poids (droite)",
    "Peso máximo", "Peso anterior", "Repeticiones objetivo", "Carico massimale", "Ultimo carico", "Ripetizioni (sx)", "Carga máxima", "Melhor carga",
    "Vorige herhalingen", "Beste gewicht", "Gewicht (rechts)", "Volumen", "Tonnage", "1RM geschätzt", "Volume total", "Leistung (W)"])
def test_a_column_that_says_it_is_something_else_names_nothing(header):
    assert fields_named(header) == []


@pytest.mark.parametrize("header", ["Farbe", "Planète", "Ciudad", "Colore", "Clima", "Weer", "Colour", ""])
def test_words_that_are_no_words_of_the_trade_name_nothing(header):
    assert fields_named(header) == []


# --- the table of header words ----------------------------------------------------------------------------------------


def test_each_row_leads_back_to_its_field_and_unit():
    for row in header_words().itertuples():
        found = {n.field: n.unit for n in fields_named(row.words)}
        if row.field in WHOLE_ONLY:
            assert is_named(row.words, row.field), (row.field, row.words)
            continue
        assert row.field in found or row.field == "other", (row.field, row.words)
        assert not row.unit or row.field == "other" or found[row.field] == row.unit, (row.field, row.words)


def test_no_word_stands_twice_for_one_field_however_it_is_spelled():
    """Otherwise it would pass for a word of two meanings."""
    table = header_words()
    assert not table.assign(words=[" ".join(words_of(w)) for w in table["words"]]).duplicated(["field", "words"]).any()


@pytest.mark.parametrize("field", [*FIELDS, "other"])
def test_each_field_has_words_in_each_language(field):
    table = header_words()
    have = {language for text in table.loc[table["field"] == field, "language"] for language in listed(text)}
    assert have == ({"en"} if field in OUR_OWN else set(LANGUAGES))


# --- cells -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("kind", "means", "cells"), [
    ("side", "left", "links|li.|Linkes Bein|gauche|G|côté gauche|izquierda|izq.|I|sinistra|SX|S|esquerda|esq|E|linkerkant|L|left arm"),
    ("side", "right", "rechts|re|droite|D|côté droit|derecha|dcha.|destra|dx|direita|dir.|rechterbeen|R|right leg"),
    ("side", "both", "beide|beidseitig|les deux|ambos|entrambi|os dois|allebei|both sides"),
    ("side", "each", "je Seite|pro Seite|abwechselnd|par côté|G/D|cada lado|por lado|izq/der|per lato|sx/dx|por braço|esq/dir|per kant|"
                         "om en om|each side"),
    ("set_kind", "warm_up", "Aufwärmen|Aufwärmsatz|aufwaermsatz|échauffement|calentamiento|serie de aproximación|riscaldamento|aquecimento|"
                         "opwarmen|Warm-up|WARM_UP"),
    ("set_kind", "drop", "Reduktionssatz|série dégressive|serie descendente|stripping|drop-set|afbouwset"),
    ("set_kind", "rest_pause", "rest-pause|repos-pause|descanso-pausa|rust-pauze"), ("set_kind", "cluster", "Cluster-Satz|série cluster|clusterset"),
    ("set_kind", "work", "Arbeitssatz|série de travail|serie efectiva|serie di lavoro|série válida|werkset|bis Muskelversagen|à l'échec|"
                         "à l\u2019échec|al fallo|a cedimento"),
    ("range", "full", "voll|complète|completo|volledig|amplitude complète"),
    ("range", "lower_half", "untere Hälfte|moitié basse|mitad inferior|metà inferiore|metade inferior|onderste helft"),
    ("range", "upper_half", "obere Hälfte|moitié haute|mitad superior|metà superiore|metade superior|bovenste helft"),
    ("range", "part", "teilweise|partielle|parcial|parziale|parciais|gedeeltelijk|half"),
    ("limit", "muscle", "Muskel|musculaire|músculo|muscolare|força|spierkracht"), ("limit", "breath", "Atem|souffle|respiración|fiato|fôlego|adem"),
    ("limit", "grip", "Griffkraft|avant-bras|agarre|presa|pegada|greep"), ("limit", "form", "Technik|équilibre|técnica|esecuzione|execução|techniek"),
    ("limit", "pain", "Schmerzen|douleur|dolor|dolore|dor|pijn"), ("unit", "kg", "Kilogramm|kilogrammes|kilos|chili|quilos|KG.|kilo's"),
    ("unit", "lb", "LBS|livres|libras|libbre|pounds|#"), ("yes_no", "yes", "ja|oui|sí|si|sì|sim|S|J|wahr|vrai|verdadero|vero|verdadeiro|x|✓|TRUE"),
    ("yes_no", "no", "nein|non|no|não|nao|nee|N|FALSCH|faux|falso|onwaar|0"),
    ("state", "planned", "geplant|prévu|à faire|planificado|da fare|planejado|gepland|scheduled"),
    ("state", "done", "erledigt|effectué|hecho|fatto|concluído|voltooid|completed")])
def test_words_in_cells(kind, means, cells):
    assert {cell: meaning(kind, cell) for cell in cells.split("|")} == dict.fromkeys(cells.split("|"), means)


@pytest.mark.parametrize(("kind", "cell"), [
    ("side", "Mitte"), ("set_kind", "bleu"), ("yes_no", "quizás"), ("limit", "noia"), ("unit", "Pfund"), ("state", "open")])
def test_words_that_say_none_of_it(kind, cell):
    """A Pfund and a Dutch pond are half a kilogram, so neither is taken for a pound."""
    assert meaning(kind, cell) == ""


@pytest.mark.parametrize("cell", ["k.A.", "k. A.", "entfällt", "s.o.", "néant", "NEANT", "aucune", "ninguno", "n.d.", "nessuna", "nenhum",
    "não aplicável", "n.v.t.", "NVT", "geen", "n/a", "-", "–", ""])
def test_cells_that_say_nothing(cell):
    assert notation.is_blank(pd.Series([cell], dtype="str")).iloc[0]


@pytest.mark.parametrize("cell", ["0", "no", "nein", "x", "?", "S", "Kane", "Nada", "Sem"])
def test_cells_that_say_something(cell):
    """Nada and Sem are first names as well as words for nothing and without."""
    assert not notation.is_blank(pd.Series([cell], dtype="str")).iloc[0]


@pytest.mark.parametrize("cell", ["Total", "TOTALS:", "Summe", "Somme :", "Suma", "Totale", "Média", "Gemiddelde"])
def test_words_that_head_a_line_of_totals(cell):
    assert notation.totals(pd.Series([cell, "Squat"], dtype="str")).tolist() == [True, False]


# --- the table of cell words -------------------------------------------------------------------------------------------


def test_no_word_of_one_kind_means_two_things():
    table = cell_words()
    means = table.assign(words=table["words"].map(folded)).groupby(["kind", "words"])["means"]
    assert (means.size() == 1).all(), means.size()[means.size() > 1]


def test_a_word_for_nothing_means_nothing_anywhere():
    """A blank is seen first, so that what it also meant would never be read."""
    table = cell_words()
    others = table.loc[table["kind"] != "blank", "words"]
    assert not set(others.map(folded)) & BLANK_WORDS


@pytest.mark.parametrize("kind", MEANINGS)
def test_each_meaning_has_words_in_each_language(kind):
    table = cell_words()
    own = table[table["kind"] == kind]
    assert set(own["means"]) == MEANINGS[kind]
    for means, rows in own.groupby("means"):
        have = {language for text in rows["language"] for language in listed(text)}
        assert have == set(LANGUAGES), (means, set(LANGUAGES) ^ have)


def test_each_word_is_read_as_it_stands_in_the_table():
    table = cell_words()
    assert set(table["kind"]) == set(MEANINGS)
    for kind, read in READERS.items():
        own = table[table["kind"] == kind]
        assert read(own["words"]).tolist() == own["means"].tolist() == read(own["words"].str.upper()).tolist(), kind

"""Pain and soreness wherever they stand: in a set, in a row of the day, in a note beside the log."""

from __future__ import annotations

# A relation for a query to select from: athlete, date, kind (pain, soreness), place, score (0-10), subject (exercise or part, null for the day),
# text, private, beside (whether it is a note beside the log), planned (whether it stands at a set that is planned).
FELT = """(
    select athlete, date, 'pain' as kind, pain_place as place, pain_score as score, exercise as subject, '' as text, false as private, false as beside, planned
    from sets where pain_place is not null
    union all
    select athlete, date, 'pain', pain_place, pain_score, null, '', false, false, false from days where pain_place is not null
    union all
    select athlete, date, kind, place, score, nullif(subject, ''), text, private, true, false from notes where kind <> 'note'
)"""

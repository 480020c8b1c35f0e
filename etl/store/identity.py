"""Which sets are the same set: the canonical text of a set, hashed."""

from __future__ import annotations

# An assumed warm-up changes a set's kind and never its identity.
IDENTITY = """md5(concat_ws('|',
    {p}athlete, {p}date::date::text, {p}name_key,
    coalesce({p}set_no::text, '-'), coalesce({p}round_no::text, '-'), coalesce({p}segment_no::text, '-'),
    {p}side, {p}range, case when {p}kind_source = 'assumed' then 'work' else {p}kind end,
    coalesce(round({p}reps * 100)::bigint::text, '-'),
    coalesce(round({p}load_kg * 100)::bigint::text, '-'),
    coalesce(round({p}hold_s * 10)::bigint::text, '-'),
    {p}planned::text
))"""


def identity_sql(prefix: str = "") -> str:
    """The SQL expression of a set's identity. prefix: of the columns, such as "s." for the table s."""
    return IDENTITY.format(p=prefix)

"""Reads of the design room."""

from commissions.design.queries.checks import (
    check_drawing,
    check_facts,
    checks_of,
    model_note,
    newest_check,
    newest_checks,
)
from commissions.design.queries.files import file_counts, file_of, files_of, openings_of, render_of
from commissions.design.queries.revisions import (
    agreed,
    bundle_part,
    centre_words,
    client_facts_of,
    draft,
    facts_of,
    mini_drawing,
    newest,
    piece_part,
    recomputed,
    revisions,
    sent,
    stops,
)

__all__ = [
    "agreed",
    "bundle_part",
    "centre_words",
    "check_drawing",
    "check_facts",
    "checks_of",
    "client_facts_of",
    "draft",
    "facts_of",
    "file_counts",
    "file_of",
    "files_of",
    "mini_drawing",
    "model_note",
    "newest",
    "newest_check",
    "newest_checks",
    "openings_of",
    "piece_part",
    "recomputed",
    "render_of",
    "revisions",
    "sent",
    "stops",
]

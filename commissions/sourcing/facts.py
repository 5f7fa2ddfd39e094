"""A stone's own facts as they are shown and signed: identity, measures, plot."""

from __future__ import annotations

import hashlib
import json

from commissions.sourcing.models import Stone
from commissions.sourcing.queries.checking import photos_of
from commissions.sourcing.queries.stones import newest_check_in
from commissions.sourcing.queries.turning import mark_words, marks, outline_of_stone
from commissions.sourcing.turning import keeps_clear

MARK_FIELDS = ("kind", "angle_cdeg", "out_permille", "size_hmm", "surface")


def facts_of(stone: Stone) -> dict:
    """Plain values at rest units: what was measured (or else reported) and every mark in words."""
    seen = newest_check_in(stone=stone)
    measures = seen or stone
    return {
        "name": stone.name,
        "species": stone.species,
        "origin": stone.origin,
        "owner": stone.owner,
        "report": stone.report_number,
        "measured": seen is not None,
        "length_hmm": measures.length_hmm,
        "width_hmm": measures.width_hmm,
        "depth_hmm": measures.depth_hmm,
        "weight_mct": measures.weight_mct,
        "girdle": seen.girdle_note if seen else "",
        "marks": [mark_words(row) for row in marks(stone=stone)],
        "north": stone.plot_north,
    }


def shown_of(stone: Stone) -> dict:
    """What is shown beside the words, frozen with them: outline and marks of the plot, and the photographs."""
    return {
        "outline": outline_of_stone(stone=stone),
        "marks": [{name: getattr(row, name) for name in MARK_FIELDS} for row in marks(stone=stone)],
        "photos": [
            {"photo": row.pk, "sha256": row.picture.sha256, "shot": row.shot, "caption": row.caption}
            for row in photos_of(stone=stone)
        ],
    }


def digest_of(value: dict) -> str:
    """SHA-256 of the canonical JSON of a value."""
    text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def flagged(stone: Stone) -> list[str]:
    """The marks for which a condition has to be signed: those at the surface that no claw should bear on."""
    return [mark_words(row) for row in marks(stone=stone) if keeps_clear(row)]

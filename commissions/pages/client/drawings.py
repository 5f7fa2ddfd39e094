"""The piece's own plan for the middle of the client's dial: stones, facets and claws, no figures."""

from __future__ import annotations

from functools import lru_cache

from django.utils.safestring import SafeString, mark_safe

from commissions.design.drawings import case_of
from commissions.design.models import Revision
from commissions.design.queries import agreed, newest
from commissions.record.models import Commission
from gemcalc.drawing import TopOptions, fragment, top_view

RADIUS = 6.0
BARE = TopOptions(
    numbers=False, centre_size=False, overall=False, beads=False, gaps=False, target=False, sizes=False,
    check_bar=False, north=False,
)  # fmt: skip


def for_dial(*, commission: Commission) -> SafeString | str:
    """The plan of the agreed design, or of the newest one the client has seen; empty before there is one."""
    made = commission.ring or commission
    revision = agreed(commission=made) or newest(commission=made)
    # SVG of our own renderer, made from numbers; no word of anybody's is in it.
    return "" if revision is None else mark_safe(_plan(revision.pk, revision.sent_at.isoformat()))  # noqa: S308


@lru_cache(maxsize=256)
def _plan(pk: int, _sent_at: str) -> str:
    revision = Revision.objects.get(pk=pk)
    scene = top_view(
        case_of(revision),
        revision.outputs.get("layout"),
        claws=revision.parameters["claws"]["angles_deg"],
        claw_mm=revision.parameters["claws"]["wire_mm"],
        options=BARE,
    )
    half = max(scene.width_mm, scene.height_mm) / 2
    return f'<g transform="scale({RADIUS / half:.4f})">{fragment(scene)}</g>'

"""What the bench must have before a small job on a finished ring goes on."""

from __future__ import annotations

from collections.abc import Iterable

from commissions.bench import queries
from commissions.bench.evidence import alloy_of
from commissions.record.errors import Missing
from commissions.record.models import Commission
from commissions.record.queries import open_questions
from commissions.record.route import Stage

RING_HERE = "job.ring"
"""The question that stays open until the ring has been taken in, weighed and looked at."""


def to_start(*, commission: Commission, stage: str) -> Iterable[Missing]:
    """The ring is here; metal added is the ring's own alloy; stones are counted, and the ring is weighed for a mark."""
    if open_questions(commission=commission).filter(key=RING_HERE).exists():
        yield Missing(
            words="The ring is not here yet, or nobody has weighed it in.",
            path=f"/studio/commissions/{commission.reference}/job/",
        )
    own = alloy_of(commission=commission.ring)
    for name in queries.alloys_issued(commission=commission):
        if own and name != own:
            yield Missing(
                words=f"{name} was weighed out, and the ring is {own}: the mark would be wrong.",
                path=f"/studio/commissions/{commission.reference}/metal/",
            )
    if stage == Stage.MARKING and queries.latest_weight(commission=commission, kind="ring") is None:
        yield Missing(
            words="The ring has not been weighed: its weight decides whether it needs a mark.",
            path=f"/studio/bench/{commission.reference}/weigh/?kind=ring",
        )

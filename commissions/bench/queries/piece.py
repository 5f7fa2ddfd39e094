"""The bench's part on the page of one commission."""

from __future__ import annotations

from django.db.models import Count, Q

from commissions.bench import capacity
from commissions.bench.models import Audience, Photo
from commissions.bench.queries.jobs import steps
from commissions.bench.queries.suppliers import out_of_house
from commissions.record.models import Commission
from commissions.record.route import BENCH, Stage
from studio.people.models import Person, Role

SHOWN = [Stage.AGREEMENT, *BENCH, Stage.HANDOVER, Stage.CARE]


def piece_part(*, commission: Commission, person: Person) -> dict | None:
    """What the page of one commission shows of the bench: the step, photos to look at, what is out, the ways in."""
    if commission.stage not in SHOWN:
        return None
    rows = list(steps(commission=commission))
    current = next((row for row in rows if not row.is_over), None)
    counts = Photo.objects.filter(commission=commission, removed_at__isnull=True).aggregate(
        all=Count("pk"), internal=Count("pk", filter=Q(audience=Audience.INTERNAL))
    )
    return {
        "template": "bench/piece_part.html",
        "at_agreement": commission.stage == Stage.AGREEMENT,
        "on_bench": commission.stage in BENCH,
        "step": current,
        "done": sum(1 for row in rows if row.is_over),
        "steps": len(rows),
        "photos": counts["all"],
        "internal": counts["internal"],
        "slack": capacity.slack_of(commission=commission) if commission.stage in BENCH else None,
        "out": list(out_of_house(commission=commission)),
        "is_setter": person.role == Role.SETTER,
    }

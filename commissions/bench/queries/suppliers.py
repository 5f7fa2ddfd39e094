"""Reads of supplier jobs."""

from __future__ import annotations

from commissions.bench.models import Step, SupplierJob
from commissions.record.models import Commission
from studio import clock


def supplier_jobs(*, commission: Commission):
    """Every job of a commission that went or is out."""
    return SupplierJob.objects.filter(commission=commission).select_related("step", "sent_by", "returned_by")


def out_of_house(*, commission: Commission):
    """Jobs of a commission that are not back."""
    return supplier_jobs(commission=commission).filter(returned_at__isnull=True)


def jobs_of_step(*, step: Step) -> list[SupplierJob]:
    """Supplier jobs of one step, oldest first."""
    return list(SupplierJob.objects.filter(step=step))


def was_sent(*, step: Step) -> bool:
    """Whether the work of a step has left the house, back again or not."""
    return SupplierJob.objects.filter(step=step).exists()


def by_link(*, link_hash: str) -> SupplierJob | None:
    """The job that a link opens, while it is out and the link has not ended; no client is fetched with it."""
    if not link_hash:
        return None
    return (
        SupplierJob.objects.filter(link_hash=link_hash, link_until__gt=clock.now(), returned_at__isnull=True)
        .select_related("commission")
        .first()
    )

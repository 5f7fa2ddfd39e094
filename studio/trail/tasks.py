"""Tasks of the trail: leaves that call one action."""

from celery import shared_task

from studio.trail.actions import prove_daily


@shared_task
def prove() -> bool:
    """Prove the chain once a day."""
    return prove_daily()

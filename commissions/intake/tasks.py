"""Tasks of the intake: leaves that call one action."""

from celery import shared_task

from commissions.intake import actions


@shared_task
def remove_old() -> int:
    """Remove what the studio has promised not to keep; how many briefs."""
    return actions.remove_old()

"""Tasks about what is kept: leaves that call one action."""

from celery import shared_task

from commissions.pages.keeping import actions


@shared_task
def forget_names() -> int:
    """Remove what was kept for the accounts alone; how many clients."""
    return actions.forget_names()


@shared_task
def forget_unagreed() -> int:
    """Remove the briefs of pieces that came to nothing a year ago; how many."""
    return actions.forget_unagreed()

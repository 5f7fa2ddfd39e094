"""Tasks of the people: leaves that call one action."""

from celery import shared_task

from studio.people.actions.codes import answer_asked, forget_old_codes


@shared_task
def make_codes() -> int:
    """Make the one-time codes that were asked for; how many requests were answered."""
    forget_old_codes()
    return answer_asked()

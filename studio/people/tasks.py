"""Tasks of the people: leaves that call one action."""

from celery import shared_task

from studio.people.actions.codes import answer_asked, forget_old_codes
from studio.people.actions.sessions import forget_old_sessions


@shared_task
def make_codes() -> int:
    """Make the one-time codes that were asked for; how many requests were answered."""
    forget_old_codes()
    return answer_asked()


@shared_task
def forget_sessions() -> int:
    """Remove sessions that ended long ago; how many went."""
    return forget_old_sessions()

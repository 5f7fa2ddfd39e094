"""Tasks of the pictures: leaves that fetch and call one action."""

from __future__ import annotations

from celery import shared_task

from studio.pictures import actions, queries


@shared_task(name="studio.pictures.tasks.render")
def render(pk: int) -> bool:
    """Make the renditions of one picture."""
    return actions.render(pk=pk)


@shared_task(name="studio.pictures.tasks.render_waiting")
def render_waiting() -> int:
    """Make what is waiting, whatever became of the message that asked for it; how many were made."""
    return sum(actions.render(pk=pk) for pk in queries.waiting())

"""Reads of the outbox."""

from __future__ import annotations

from django.db.models import Q
from django.utils import timezone

from studio.outbox.models import FAILED, Letter, State, Unreachable

PAGE = 50


def due(*, limit: int) -> list[int]:
    """Keys of letters that may be tried now: those whose time has come, and those whose sender has died."""
    now = timezone.now()
    return list(
        Letter.objects.filter(
            Q(state=State.WAITING, next_at__lte=now) | Q(state=State.LEASED, lease_until__lt=now)
        )
        .order_by("next_at", "id")
        .values_list("pk", flat=True)[:limit]
    )


def page(*, state: str = "", before: int | None = None) -> tuple[list[Letter], int | None]:
    """
    One page of letters without their words, newest first, and the key that the next page lies before.

    *state* is a state, ``failed`` for all that somebody has to look at, or empty for all.
    """
    rows = Letter.objects.order_by("-id").defer("text", "html", "pictures", "headers")
    if state == "failed":
        rows = rows.filter(state__in=FAILED)
    elif state:
        rows = rows.filter(state=state)
    if before is not None:
        rows = rows.filter(pk__lt=before)
    found = list(rows[: PAGE + 1])
    more = found[PAGE - 1].pk if len(found) > PAGE else None
    return found[:PAGE], more


def by_pk(*, pk: int) -> Letter | None:
    """One letter."""
    return Letter.objects.filter(pk=pk).first()


def about(*, subject_ref: str):
    """Letters about one matter, newest first."""
    return Letter.objects.filter(subject_ref=subject_ref).order_by("-id").defer("text", "html", "headers")


def failed_count() -> int:
    """How many letters somebody has to look at."""
    return Letter.objects.filter(state__in=FAILED).count()


def unreachable(*, email: str) -> Unreachable | None:
    """The mark on an address that a mail server has refused for good, if there is one."""
    return Unreachable.objects.filter(email__iexact=email).first()


def with_state(*, states: list[str]):
    """Letters in any of these states, without their words."""
    return Letter.objects.filter(state__in=states).defer("text", "html", "pictures", "headers")

"""What the sweep does in the stones' room: it reminds of stones that have to go back, and keeps papers."""

from __future__ import annotations

import logging

from commissions.sourcing import actions, queries
from studio.papers import PapersUnavailable

log = logging.getLogger(__name__)


def remind_of_returns() -> int:
    """
    Put every stone that has to go back soon before us; how many reminders were new or had other words.

    The words change at five, two and no working days left and once the day is over, so that the sweep
    writes nothing in between.
    """
    rows = queries.reminders_due()
    for row in rows:
        actions.remind(stone=row.stone, words=row.words)
    return len(rows)


def keep_papers() -> int:
    """Keep the paper of every condition that lacks one, as it was sent and as it was signed; how many were made."""
    done = 0
    for condition, kind in queries.papers_wanting():
        try:
            actions.keep_paper(condition=condition, kind=kind)
            done += 1
        except PapersUnavailable:
            return done
        except Exception:
            log.exception(
                "The paper of condition %s could not be made; the next sweep tries again", condition.pk
            )
    return done

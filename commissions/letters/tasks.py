"""What the sweep does for letters; its facts are the rows that other rooms wrote."""

from __future__ import annotations

import logging
from collections.abc import Callable

from commissions.letters import actions, queries

log = logging.getLogger(__name__)


def draft_missing() -> int:
    """
    Give every event that lacks one its letter or draft; how many events there were.

    Moves come first, since a question asked by the same act is told by the letter about the move.
    An event that fails does not keep the others from theirs.
    """
    events: list[tuple[Callable, dict]] = []
    events += [(actions.draft_move, {"move": move}) for move in queries.moves_without_draft()]
    events += [
        (actions.draft_photos, {"commission": commission, "photos": photos})
        for commission, photos in queries.photos_by_commission()
    ]
    events += [
        (actions.draft_question, {"question": question}) for question in queries.questions_without_draft()
    ]
    events += [(actions.draft_message, {"message": message}) for message in queries.messages_without_draft()]
    done = 0
    for act, event in events:
        try:
            act(**event)
            done += 1
        except MemoryError:
            raise
        except Exception:
            log.exception("%s failed for %s; the next sweep tries again", act.__name__, event)
    actions.close_of_withdrawn()
    return done


def show_failures() -> int:
    """Show failed letters on their jobs, and take down those that arrived since; how many are new."""
    new = actions.show_failures()
    actions.settle_failures()
    return new

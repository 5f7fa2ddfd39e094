"""What the sweep does for deliveries."""

from __future__ import annotations

from commissions.delivery import actions, queries


def purge_addresses() -> int:
    """Remove addresses that are not needed any more; how many went."""
    return actions.purge_addresses()


def ask_due_care() -> int:
    """Ask the clients whose next date of care is near; how many were asked."""
    return actions.ask_due_care()


def ask_kind_words() -> int:
    """Ask the clients who may be asked for kind words, each once; how many were asked."""
    return actions.ask_due_kind_words()


def draw_papers() -> int:
    """Draw the papers that were handed over and that nobody has opened yet; how many."""
    return actions.draw_waiting(rows=queries.papers_not_drawn())

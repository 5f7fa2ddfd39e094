"""What can go wrong with a letter, in words that a person of the studio can act on."""

from __future__ import annotations


class Unsendable(Exception):
    """This letter cannot be sent as it is: trying again would not help."""


class Exhausted(Exception):
    """
    A task ran out of memory.

    Raised in place of MemoryError, which would take the whole worker down and bring the same task back.
    """

"""Public references: random, unambiguous, with a check character; never sequential."""

from __future__ import annotations

import secrets

ALPHABET = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
"""No 0 O 1 I L U: nothing that can be read or heard as something else."""

_BASE = 31  # a prime above the alphabet's size, so that one wrong character or one swap is always seen


def check_character(body: str) -> str | None:
    """Check character of the five characters *body*, or None where the sum falls outside the alphabet."""
    total = sum(ALPHABET.index(character) * (place + 2) for place, character in enumerate(body)) % _BASE
    return ALPHABET[total] if total < len(ALPHABET) else None


def new_reference() -> str:
    """A new reference in the form ``P4V-8GB``; the caller makes sure that it is not taken."""
    while True:
        body = "".join(secrets.choice(ALPHABET) for _ in range(5))
        check = check_character(body)
        if check:
            return f"{body[:3]}-{body[3:]}{check}"


def tidy(typed: str) -> str:
    """What a person typed as a reference, in the form in which it is stored."""
    plain = "".join(character for character in typed.upper() if character.isalnum())
    return f"{plain[:3]}-{plain[3:]}" if len(plain) == 6 else plain

"""Reads of the stones' room."""

from __future__ import annotations

from commissions.record.models import Commission


def bundle_part(*, commission: Commission) -> list:
    """The stones' part of what is agreed: identities and measures."""
    return []


def seats_without_stone(*, commission: Commission) -> bool:
    """Whether the centre seat has no chosen stone yet."""
    return True

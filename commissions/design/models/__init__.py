"""Numbered revisions of a design, and what the client answered."""

from commissions.design.models.answers import Answer, AnswerKind
from commissions.design.models.revisions import Revision, Status

__all__ = ["Answer", "AnswerKind", "Revision", "Status"]

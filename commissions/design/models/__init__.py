"""Numbered revisions of a design, what the client answered, and what was said about a place on a drawing."""

from commissions.design.models.answers import Answer, AnswerKind
from commissions.design.models.comments import Comment, Remark, RemarkKind, View
from commissions.design.models.revisions import Revision, Status
from commissions.design.models.terms import RevisionTerm, Uncounted

__all__ = [
    "Answer",
    "AnswerKind",
    "Comment",
    "Remark",
    "RemarkKind",
    "Revision",
    "RevisionTerm",
    "Status",
    "Uncounted",
    "View",
]

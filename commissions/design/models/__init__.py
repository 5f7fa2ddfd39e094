"""Numbered revisions of a design, their files and checks, the answers, and the comments pinned to a place."""

from commissions.design.models.answers import Answer, AnswerKind
from commissions.design.models.checks import ModelCheck
from commissions.design.models.comments import Comment, Remark, RemarkKind, View
from commissions.design.models.files import FileKind, RevisionFile
from commissions.design.models.revisions import Revision, Status
from commissions.design.models.terms import RevisionTerm, Uncounted

__all__ = [
    "Answer",
    "AnswerKind",
    "Comment",
    "FileKind",
    "ModelCheck",
    "Remark",
    "RemarkKind",
    "Revision",
    "RevisionFile",
    "RevisionTerm",
    "Status",
    "Uncounted",
    "View",
]

"""Writes of the design room: drafting a revision, its files, sending it, checks, comments, and the client's answer."""

from commissions.design.actions.answering import agree_direction, answer_revision, start_revision
from commissions.design.actions.checking import check_model
from commissions.design.actions.commenting import answer_comment, close_comment, comment, reopen_comment
from commissions.design.actions.drafting import draft_revision, next_letter, send_revision
from commissions.design.actions.filing import MOST_FILES, add_file, remove_file
from commissions.design.actions.scanning import begin_scan, use_scan
from commissions.design.actions.terms import say_terms

__all__ = [
    "MOST_FILES",
    "add_file",
    "agree_direction",
    "answer_comment",
    "answer_revision",
    "begin_scan",
    "check_model",
    "close_comment",
    "comment",
    "draft_revision",
    "next_letter",
    "remove_file",
    "reopen_comment",
    "say_terms",
    "send_revision",
    "start_revision",
    "use_scan",
]

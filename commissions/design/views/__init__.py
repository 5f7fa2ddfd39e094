"""
Pages of the design room: the studio's drawing table, and what the client sees of it.

Drafting, the drawing sheet and the laying of a model over a stone need what later rooms know (the drawer, the
fingerprint, the stone that was measured): their addresses lie with ``pages``, which passes it in.
"""

from commissions.design.views.client import yours
from commissions.design.views.comments import answer, studio_comments, yours_comment, yours_comments
from commissions.design.views.compare import compare, yours_compare
from commissions.design.views.revision import (
    add_file,
    file,
    file_picture,
    remove_file,
    revision,
    yours_picture,
)
from commissions.design.views.revisions import design, start_revision
from commissions.design.views.scan import new_scan, scan
from commissions.design.views.sending import revision_terms, send
from commissions.design.views.true_size import true_size, yours_true_size

__all__ = [
    "add_file",
    "answer",
    "compare",
    "design",
    "file",
    "file_picture",
    "new_scan",
    "remove_file",
    "revision",
    "revision_terms",
    "scan",
    "send",
    "start_revision",
    "studio_comments",
    "true_size",
    "yours",
    "yours_comment",
    "yours_comments",
    "yours_compare",
    "yours_picture",
    "yours_true_size",
]

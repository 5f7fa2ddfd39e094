"""Pages of the design room: the studio's drawing table, and what the client sees of it."""

from commissions.design.views.client import yours
from commissions.design.views.comments import answer, studio_comments, yours_comment, yours_comments
from commissions.design.views.compare import compare, yours_compare
from commissions.design.views.draft import draft
from commissions.design.views.revisions import design, start_revision
from commissions.design.views.sending import revision_terms, send
from commissions.design.views.sheet import sheet, sheet_dxf, sheet_pdf
from commissions.design.views.true_size import true_size, yours_true_size

__all__ = [
    "answer",
    "compare",
    "design",
    "draft",
    "revision_terms",
    "send",
    "sheet",
    "sheet_dxf",
    "sheet_pdf",
    "start_revision",
    "studio_comments",
    "true_size",
    "yours",
    "yours_comment",
    "yours_comments",
    "yours_compare",
    "yours_true_size",
]

"""Pages of the design room: the studio's drawing table, and what the client sees of it."""

from commissions.design.views.client import yours
from commissions.design.views.draft import draft
from commissions.design.views.revisions import design, send, start_revision
from commissions.design.views.sheet import sheet, sheet_dxf, sheet_pdf

__all__ = ["design", "draft", "send", "sheet", "sheet_dxf", "sheet_pdf", "start_revision", "yours"]

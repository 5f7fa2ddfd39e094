"""Ten commissions of an invented workshop on Tuesday 15 September 2026, each told from its beginning."""

from commissions.pages.demo.stories.bench import caetana, wren
from commissions.pages.demo.stories.early import delphine, ren, runa, tadhg
from commissions.pages.demo.stories.late import kiat, philippa
from commissions.pages.demo.stories.setting import joachim, marisol
from commissions.pages.demo.stories.years import philippa_after

STORIES = [runa, ren, delphine, tadhg, caetana, wren, joachim, marisol, kiat, philippa, philippa_after]

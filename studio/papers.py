"""
PDFs by WeasyPrint.

WeasyPrint and its libraries are loaded at the first paper, never at the start of a web process; where
the system lacks Pango the reader gets the install line instead of a traceback. Pango is not thread
safe, so a process makes one paper at a time; the font configuration is made once, which is most of the time of a small paper.
"""

from __future__ import annotations

import threading
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import unquote, urlsplit

from django.conf import settings
from django.template.loader import render_to_string

from studio import typefaces
from studio.checks import PDF_LIBRARIES

_lock = threading.Lock()
_made: dict[str, object] = {}
FAMILIES = {
    "newsreader": "Newsreader",
    "newsreader-italic": "Newsreader",
    "source-sans-3": "Source Sans 3",
}


class PapersUnavailable(RuntimeError):
    """This machine cannot make PDFs; the message is the line that mends it."""


@dataclass(frozen=True, kw_only=True)
class Paper:
    """A made PDF and the number of its pages."""

    content: bytes
    pages: int


def _print_css() -> str:
    faces = "".join(
        f'@font-face {{ font-family: "{FAMILIES[name]}"; '
        f'src: url("{typefaces.paper_path(name, weight).as_uri()}"); '
        f"font-weight: {weight}; font-style: {'italic' if name.endswith('italic') else 'normal'} }}\n"
        for name, weight in typefaces.WEIGHTS
    )
    sheet = Path(__file__).parent / "static" / "studio" / "paper.css"
    return faces + sheet.read_text(encoding="utf-8")


def _allowed(path: Path) -> bool:
    roots = (Path(settings.MEDIA_ROOT).resolve(), Path(settings.FONTS_DIR).resolve())
    return any(path.resolve().is_relative_to(root) for root in roots)


def _tools():
    """WeasyPrint, the shared font configuration and style sheet, and our own fetcher."""
    if _made:
        return _made
    try:
        import weasyprint
        from weasyprint.text.fonts import FontConfiguration
        from weasyprint.urls import URLFetcher
    except OSError as error:
        raise PapersUnavailable(f"PDFs need: {PDF_LIBRARIES}") from error

    class Fetcher(URLFetcher):
        """Opens our own fonts and rendered pictures, and nothing else: not the network, not other files."""

        def fetch(self, url, headers=None):
            parts = urlsplit(url)
            if parts.scheme == "file" and not _allowed(Path(unquote(parts.path))):
                raise ValueError("a paper may only show our own pictures")
            return super().fetch(url, headers)

    typefaces.ensure_for_papers()
    fonts = FontConfiguration()
    fetcher = Fetcher(allowed_protocols={"file", "data"}, allow_redirects=False)
    _made.update(
        weasyprint=weasyprint,
        fonts=fonts,
        fetcher=fetcher,
        css=weasyprint.CSS(string=_print_css(), font_config=fonts, url_fetcher=fetcher),
    )
    return _made


def make(*, template: str, context: dict, request=None) -> Paper:
    """
    Render *template* (which extends ``print/base.html``) with *context* as a tagged PDF (PDF/UA-1).

    Pictures are given as ``file:`` addresses of JPEG renditions; drawings as inline SVG.

    Raises:
        PapersUnavailable: the system libraries are missing; the message is the line that installs them.
    """
    html = render_to_string(template, {"studio_name": settings.STUDIO_NAME, **context}, request=request)
    with _lock:
        tools = _tools()
        document = (
            tools["weasyprint"]
            .HTML(string=html, base_url="about:blank", url_fetcher=tools["fetcher"])
            .render(stylesheets=[tools["css"]], font_config=tools["fonts"])
        )
        return Paper(content=document.write_pdf(pdf_variant="pdf/ua-1"), pages=len(document.pages))

"""The drawing sheet: page, PDF and DXF say the same, with revision, standing and fingerprint."""

from __future__ import annotations

import io
import re

import ezdxf
import pypdfium2
import pytest
from django.test import Client as Browser

from commissions.design import drawings
from commissions.design.actions import draft_revision, send_revision
from commissions.design.queries import facts_of
from commissions.money.queries import fingerprint_now
from tests.commissions.design.conftest import standard
from tests.commissions.money.helpers import agreed_price

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def no_second_factor(settings):
    """Signing in is another room's test."""
    settings.SECOND_FACTOR_REQUIRED = False


@pytest.fixture
def studio(owner):
    """A browser in which the owner is signed in."""
    browser = Browser()
    browser.force_login(owner)
    return browser


@pytest.fixture
def sent(commission, owner):
    """Revision A, with the client."""
    return send_revision(
        revision=draft_revision(commission=commission, parameters=standard(), person=owner), person=owner
    )


def page(commission, rest):
    return f"/studio/commissions/{commission.reference}/design/{rest}"


def words_of(content: bytes) -> tuple[str, int]:
    document = pypdfium2.PdfDocument(io.BytesIO(content))
    pages = [document[number] for number in range(len(document))]
    return " ".join(" ".join(one.get_textpage().get_text_range() for one in pages).split()), len(pages)


def test_the_paper_names_revision_views_scale_and_bar(studio, commission, sent):
    answer = studio.get(page(commission, "A/sheet.pdf"))
    text, _pages = words_of(answer.content)
    for said in (
        "revision A",
        "Top, mm",
        "Front, mm",
        "Side, mm",
        "Section, mm",
        "50 mm",
        "not for the bench",
    ):
        assert said in text, said
    assert "4 times true size" in text
    assert "not 50 mm" in text  # the caution that the bar be checked


def test_every_figure_of_the_page_stands_on_the_paper(studio, commission, sent):
    text, _pages = words_of(studio.get(page(commission, "A/sheet.pdf")).content)
    shown = studio.get(page(commission, "A/sheet/")).content.decode()
    for name, words in facts_of(sent):
        assert words in text, name
        assert words.replace("&", "&amp;") in shown, name
    over_all = sent.outputs["layout"]["figures"]["width_mm"]
    assert f"{over_all:.2f}" in text


def test_all_views_on_paper_have_one_scale(sent):
    scale, rows = drawings.sheet(sent)
    across = [
        float(re.search(r'width="([\d.]+)mm"', drawings.as_svg(scene, scale=scale))[1]) / scene.width_mm
        for row in rows
        for _name, scene in row
    ]
    assert across == pytest.approx([scale] * 4, rel=1e-4)
    assert max(sum(scene.width_mm * scale for _name, scene in row) for row in rows) <= 168


@pytest.mark.parametrize(
    "centre", [{"cut": "round", "diameter_mm": 4.0}, {"cut": "marquise", "length_mm": 16.0, "width_mm": 8.0}]
)
def test_a_small_and_a_long_stone_fit_the_paper_too(commission, owner, centre):
    wish = standard()
    wish["centre"]["outline"] = centre
    row = draft_revision(commission=commission, parameters=wish, person=owner)
    scale, rows = drawings.sheet(row)
    assert scale in drawings.SCALES
    assert max(sum(scene.width_mm * scale for _name, scene in row) for row in rows) <= 170


def test_the_dxf_holds_all_views_in_millimetres_and_names_its_revision(studio, commission, sent):
    content = studio.get(page(commission, "A/sheet.dxf")).content.decode()
    document = ezdxf.read(io.StringIO(content))
    assert document.header["$INSUNITS"] == 4
    words = [text.dxf.text for text in document.modelspace().query("TEXT")]
    for said in ("From above", "Front", "Side", "Section of the shank", "50 mm"):
        assert said in words, said
    assert f"{commission.reference} revision A" in words
    inside = sent.parameters["circumference_mm"] / 3.141592653589793 / 2
    circles = [circle.dxf.radius for circle in document.modelspace().query("CIRCLE")]
    assert any(abs(radius - inside) < 1e-3 for radius in circles)


def test_an_agreed_sheet_carries_the_fingerprint_everywhere(studio, owner, commission):
    agreed_price(commission=commission, owner=owner)
    letter = "A"
    short = fingerprint_now(commission=commission)
    assert re.fullmatch(r"[0-9A-F]{4}-[0-9A-F]{4}-[0-9A-F]{2}", short)
    text, _pages = words_of(studio.get(page(commission, f"{letter}/sheet.pdf")).content)
    assert text.count(short) >= 2  # its head and its foot
    assert short in studio.get(page(commission, f"{letter}/sheet/")).content.decode()
    assert short in studio.get(page(commission, f"{letter}/sheet.dxf")).content.decode()


def test_claws_are_drawn_as_wide_as_their_wire(commission, owner):
    thin, thick = standard(), standard()
    thin["claws"]["wire_mm"], thick["claws"]["wire_mm"] = 0.8, 1.2
    for wish, wide in ((thin, 0.8), (thick, 1.2)):
        row = draft_revision(commission=commission, parameters=wish, person=owner)
        claws = [item for item in dict(drawings.views(row))["Front"].items if item.kind == "claw"]
        xs = [x for x, _y, _bulge in claws[0].points]
        assert max(xs) - min(xs) == pytest.approx(wide)

"""
Every figure is one figure, wherever it stands.

A ring is taken through to the bench; the text of each page and paper is read and held against what its revision
stored. Then the stone is measured anew: each place shows other figures, or says that the approval is void.
To add a place, add a line to ``PLACES``.
"""

from __future__ import annotations

import io
import re
from dataclasses import dataclass

import ezdxf
import pypdfium2
import pytest
from django.test import Client as Browser
from django.utils.html import strip_tags

from commissions.bench.actions import begin, ensure_templates
from commissions.bench.models import StepTemplate
from commissions.design.queries import agreed
from commissions.money import actions as money
from commissions.money import bundle, queries
from commissions.money.models import Quote
from commissions.record.actions import promise
from commissions.sourcing.actions import check_in
from commissions.sourcing.models import Stone
from studio import clock
from tests.commissions.money.helpers import prices, to_stones
from tests.commissions.money.test_thread import form_of
from tests.post import sign_in_client

pytestmark = pytest.mark.django_db

VOID = "(?i)approval void|what was agreed has changed"


@dataclass(frozen=True)
class Place:
    """
    Somewhere figures stand: who reads it, its address, which figures, and how it says that they hold no longer.

    ``void`` is empty for a paper that was frozen when it was signed: it goes on saying what was signed.
    """

    name: str
    who: str
    path: str
    shows: str
    void: str = VOID


PLACES = [
    Place("page of the piece", "studio", "/studio/commissions/{ref}/", "halo centre carat metal size"),
    Place("design page", "studio", "/studio/commissions/{ref}/design/A/", "halo centre metal size", ""),
    Place("drawing sheet", "studio", "/studio/commissions/{ref}/design/A/sheet/", "halo centre metal size"),
    Place(
        "drawing on paper", "studio", "/studio/commissions/{ref}/design/A/sheet.pdf", "halo centre metal size"
    ),
    Place("drawing as DXF", "studio", "/studio/commissions/{ref}/design/A/sheet.dxf", "count across"),
    Place("stones of the piece", "studio", "/studio/commissions/{ref}/stones/", "halo carat"),
    Place("stone order", "studio", "/studio/commissions/{ref}/stones/order/", "order centre carat"),
    Place(
        "stone order on paper", "studio", "/studio/commissions/{ref}/stones/order.pdf", "order centre carat"
    ),
    Place("money of the piece", "studio", "/studio/commissions/{ref}/money/", "line carat"),
    Place(
        "quotation on paper",
        "studio",
        "/studio/commissions/{ref}/money/quotation-1.pdf",
        "line halo centre carat size",
        "",
    ),
    Place("job card", "studio", "/studio/commissions/{ref}/job-card/", "halo centre carat metal size"),
    Place("check sheet", "studio", "/studio/bench/{ref}/check/", "halo centre metal size"),
    Place("client's design", "client", "/yours/{ref}/design/", "halo centre size", ""),
    Place("client's stones", "client", "/yours/{ref}/stones/", "halo carat", "fitting the design to"),
    Place("client's price", "client", "/yours/{ref}/money/", "line carat", "fitting the design to"),
]


@pytest.fixture
def made(commission, owner, settings):
    """A ring that is agreed, begun and measured as it was promised to be."""
    settings.SECOND_FACTOR_REQUIRED = False
    prices(owner=owner)
    stone = to_stones(commission=commission, owner=owner)
    studio = Browser()
    studio.force_login(owner)
    address = f"/studio/commissions/{commission.reference}/money/"
    studio.post(
        f"{address}quotation/", {**form_of(studio.get(f"{address}quotation/").content.decode()), "keep": "1"}
    )
    quote = money.send_quote(quote=Quote.objects.get(), person=owner)
    commission.refresh_from_db()
    promise(
        commission=commission, on=clock.add_working_days(clock.today(), 60), reason="", by_words="Ottoline"
    )
    commission.refresh_from_db()
    money.approve(
        quote=quote,
        shown_digest=bundle.digest(bundle.bundle(commission=commission, quote=quote)),
        consent="Order with obligation to pay",
        method="test",
        by_words="Joachim",
        access=commission.client.access,
    )
    commission.refresh_from_db()
    money.post_receipt(
        commission=commission,
        minor=quote.instalments.get(number=1).minor,
        currency="GBP",
        reference="one",
        by_words="Ottoline",
        on=clock.today(),
    )
    measured(stone, owner, across=651, depth=402)
    ensure_templates()
    commission.refresh_from_db()
    begin(commission=commission, template=StepTemplate.objects.get(name="Cast halo ring"), person=owner)
    return commission


def measured(stone, person, *, across, depth):
    """The stone on our own scale and callipers."""
    return check_in(
        stone=stone,
        weight_mct=1050,
        length_hmm=across,
        width_hmm=across,
        depth_hmm=depth,
        inscription_typed="",
        person=person,
    )


def figures(revision, stone) -> dict[str, list[str]]:
    """What must stand there, as patterns, from what the revision stored and the stone weighs."""
    layout, metal = revision.outputs["layout"]["figures"], revision.outputs["metal"]
    centre = revision.parameters["centre"]
    across, counts = centre["outline"]["diameter_mm"], layout["counts"]
    return {
        "halo": [rf"\b{count} × {size}\b" for size, count in counts.items()],
        "line": [rf"\b{count} stones of {size} mm" for size, count in counts.items()],
        "order": [rf"{size} .{{0,24}}?\b{count}\b" for size, count in counts.items()],
        "count": [rf"\b{layout['stones']}\b"],
        "across": [rf"(?:Ø|%%c) ?{across:.2f}"],
        "centre": [rf"{across:.2f} × {centre['depth_mm']:.2f} mm"],
        "carat": [rf"\b{stone.weight_mct / 1000:.3f} (?:ct|carat)"],
        "metal": [rf"{metal['finished_mg'] / 1000:.2f} g finished", rf"{metal['cast_mg'] / 1000:.2f} g cast"],
        "size": [rf"{revision.parameters['circumference_mm']:.1f} mm inside"],
    }


def text_of(answer) -> str:
    """The words of a page, a PDF or a DXF, with single blanks."""
    kind = answer["Content-Type"]
    if kind == "application/pdf":
        document = pypdfium2.PdfDocument(io.BytesIO(answer.content))
        words = " ".join(page.get_textpage().get_text_range() for page in document)
    elif "dxf" in kind:
        drawing = ezdxf.read(io.StringIO(answer.content.decode()))
        words = " ".join(row.dxf.text for row in drawing.modelspace().query("TEXT"))
        words += " " + " ".join(row.plain_text() for row in drawing.modelspace().query("MTEXT"))
    else:
        page = re.sub(r"<(?:script|style|desc|title)\b.*?</\w+>", " ", answer.content.decode(), flags=re.S)
        words = strip_tags(page.replace("<", " <"))
        words = words.replace("&times;", "×").replace("&nbsp;", " ")
    return re.sub(r"\s+", " ", words)


@pytest.fixture
def read(made, owner, joachim):
    """Reads the text of one place."""
    browsers = {"studio": Browser(), "client": sign_in_client(Browser(), joachim)}
    browsers["studio"].force_login(owner)

    def reading(place: Place) -> str:
        answer = browsers[place.who].get(place.path.format(ref=made.reference))
        assert answer.status_code == 200, f"{place.name}: {answer.status_code}"
        return text_of(answer)

    return reading


@pytest.mark.parametrize("place", PLACES, ids=lambda place: place.name)
def test_it_is_the_one_figure(made, read, owner, place):
    stone = Stone.objects.get(commission=made)
    wanted = figures(agreed(commission=made), stone)
    text = read(place)
    for name in place.shows.split():
        for pattern in wanted[name]:
            assert re.search(pattern, text), f"{place.name} lacks {name}: {pattern}\n{text[:6000]}"
    assert not re.search(VOID, text), f"{place.name} says that a standing approval is void"

    # The stone turns out larger: nothing is made by these figures any more, and each place says so.
    measured(stone, owner, across=690, depth=420)
    assert queries.approval_differences(commission=made)
    after = read(place)
    if place.void:
        assert re.search(place.void, after), f"{place.name} is silent\n{after[:6000]}"
    else:
        assert after == text, f"{place.name} was frozen or is of its revision, and changed"


def test_measured_within_tolerance_changes_nothing(made, read, owner):
    before = {place.name: read(place) for place in PLACES if place.path.endswith((".pdf", ".dxf"))}
    measured(Stone.objects.get(commission=made), owner, across=654, depth=403)
    assert queries.approval_differences(commission=made) == []
    for place in PLACES:
        text = read(place)
        assert not re.search(VOID, text), place.name
        if place.name in before:
            assert text == before[place.name], place.name


def test_a_revision_drawn_to_the_measured_stone_stands_again(made, owner):
    from commissions.sourcing.queries import seat_of

    measured(Stone.objects.get(commission=made), owner, across=690, depth=420)
    assert seat_of(commission=made).voids
    revision = agreed(commission=made)
    wish = {**revision.parameters, "centre": {**revision.parameters["centre"]}}
    wish["centre"] |= {"outline": {"cut": "round", "diameter_mm": 6.9}, "depth_mm": 4.2}
    type(revision).objects.filter(pk=revision.pk).update(status="superseded")
    type(revision).objects.create(
        commission=made, letter="B", parent=revision, parameters=wish, outputs=revision.outputs,
        engine="test", status="agreed", made_by=owner, made_at=clock.now(),
    )  # fmt: skip
    seat = seat_of(commission=made)
    assert (seat.letter, seat.within, seat.measured) == ("B", True, True)

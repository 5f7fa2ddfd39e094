"""Two revisions at one scale with what differs in plain words; the ring at true size; what is included."""

import re

import pytest

from commissions.design import actions, comparing, drawings, terms, truesize
from commissions.design.models import RevisionTerm
from studio.amounts import written
from tests.commissions.design.conftest import standard

pytestmark = pytest.mark.django_db


@pytest.fixture
def second(commission, owner, sent):
    """Revision B: finer claws, platinum, an engraving."""
    wish = standard(metal="Pt950Ru", engraving="M & J")
    wish["claws"] = {**wish["claws"], "wire_mm": 0.9}
    row = actions.draft_revision(commission=commission, parameters=wish, person=owner, note="Finer claws")
    return actions.send_revision(revision=row, person=owner)


def yours(commission, rest=""):
    return f"/yours/{commission.reference}/design/{rest}"


def test_the_differences_are_words_with_units_and_what_stayed_is_named(sent, second):
    found = comparing.compare(sent, second)
    rows = {row.name: row for row in found.changes}
    before = sent.parameters["claws"]["wire_mm"]
    assert set(rows) == {"Thickness of the claws", "Metal", "Engraving"}
    assert rows["Thickness of the claws"].before == f"{before:.2f} mm"
    assert rows["Thickness of the claws"].after == "0.90 mm"
    assert rows["Thickness of the claws"].by == f"{before - 0.9:.2f} mm less"
    assert (rows["Engraving"].before, rows["Engraving"].after) == ("none", "M & J")
    assert {"Ring size", "Halo stones", "Centre stone"} <= set(found.same)
    assert not any("_" in f"{row.name}{row.before}{row.after}" for row in found.changes)


def test_a_halo_that_comes_or_goes_is_said(sent):
    bare = standard()
    bare["halo"] = None
    found = comparing.compare_lines(
        comparing.lines_of(sent.parameters, sent.outputs["layout"]), comparing.lines_of(bare, None)
    )
    names = {row.name: row for row in found.changes}
    assert names["Halo"].after == "no halo" and names["Halo stones"].after == "none"


def test_both_drawings_stand_on_a_sheet_of_one_size_at_their_own_true_figures(commission, owner, sent):
    wide = actions.draft_revision(commission=commission, parameters=standard(7.6), person=owner)
    actions.send_revision(revision=wide, person=owner)
    for pair in comparing.pairs(sent, wide):
        boxes = [re.search(r'viewBox="([^"]+)"', svg)[1] for svg in (pair.left, pair.right)]
        assert boxes[0] == boxes[1]
    left, right = comparing.pairs(sent, wide)[0].left, comparing.pairs(sent, wide)[0].right
    radii = [
        max(float(r) for r in re.findall(r'class="girdle"[^>]*|r="([\d.]+)" class="girdle"', svg) if r)
        for svg in (left, right)
    ]
    assert radii == pytest.approx([6.51 / 2, 7.6 / 2], abs=0.005)


def test_client_and_studio_see_the_same_comparison(commission, sent, second, device, studio):
    theirs = device.get(yours(commission, "compare/"))
    ours = studio.get(f"/studio/commissions/{commission.reference}/design/compare/")
    for answer in (theirs, ours):
        page = answer.content.decode()
        assert page.count("<svg") == 4
        assert "at the same scale" in page and "0.90 mm" in page and "M &amp; J" in page
    assert theirs.context["comparison"] == ours.context["comparison"]
    back = device.get(yours(commission, "compare/?left=B&right=A"))
    assert back.context["left"].letter == "B"


@pytest.mark.parametrize(
    ("asked", "field"), [("left=A&right=A", "right"), ("left=A&right=Q", "right"), ("left=", "left")]
)
def test_a_choice_that_makes_no_pair_is_said_beside_it(commission, sent, second, device, asked, field):
    answer = device.get(yours(commission, f"compare/?{asked}"))
    assert answer.status_code == 200 and field in answer.context["form"].errors


def test_one_revision_has_nothing_to_be_held_against(commission, sent, device, hers):
    assert "one revision so far" in device.get(yours(commission, "compare/")).content.decode()
    assert hers.get(yours(commission, "compare/")).status_code == 404


def sizes(svg):
    """Millimetres, width and height of a shape at true size."""
    mm = [float(word) for word in re.search(r'data-mm="([^"]+)"', svg)[1].split()]
    px = [float(re.search(rf' {name}="([\d.]+)"', svg)[1]) for name in ("width", "height")]
    return mm, px


def test_the_card_is_the_published_one_and_every_shape_has_the_same_factor(sent):
    # ISO/IEC 7810:2019, ID-1: 85.60 mm by 53.98 mm.
    assert sizes(truesize.card(px_per_mm=4.0)) == (
        [53.98, 85.6],
        [pytest.approx(215.92), pytest.approx(342.4)],
    )
    shapes = [
        truesize.card(px_per_mm=5.2),
        truesize.bar(px_per_mm=5.2),
        *(row.svg for row in truesize.ring_at(sent, px_per_mm=5.2)),
    ]
    for svg in shapes:
        mm, px = sizes(svg)
        assert [one / other for one, other in zip(px, mm, strict=True)] == pytest.approx([5.2, 5.2], rel=1e-4)


def test_the_circle_is_the_inside_of_the_ring(sent):
    circle = truesize.ring_at(sent, px_per_mm=4.0)[2].svg
    assert float(re.search(r' r="([\d.]+)"', circle)[1]) * 2 * 3.14159265 == pytest.approx(54.0, abs=0.01)


@pytest.mark.parametrize(
    ("asked", "expected"),
    [
        ({"asked": "5.2"}, 5.2),
        ({"asked": "5,2"}, 5.2),
        ({"asked": "4", "measured": "40"}, 5.0),
        ({"asked": "4", "measured": "a hand"}, 4.0),
        ({"asked": "nonsense"}, 3.7795),
        ({"asked": "900"}, 12.0),
        ({"asked": "-1"}, 3.7795),
        ({"asked": "nan"}, 3.7795),
        ({"asked": "4", "step": "more"}, 4.02),
    ],
)
def test_the_factor_is_what_was_said_within_what_screens_have(asked, expected):
    assert truesize.factor(**asked) == expected


def test_the_page_without_a_script_takes_the_factor_from_the_address(commission, sent, device, studio):
    page = device.get(yours(commission, "A/true-size/?px_per_mm=6.04")).content.decode()
    assert 'width="326.039"' in page  # 53.98 mm
    assert "must measure 50 mm" in page and "style=" not in page
    ours = studio.get(f"/studio/commissions/{commission.reference}/design/A/true-size/?px_per_mm=6.04")
    assert 'width="326.039"' in ours.content.decode()


def test_a_ring_at_true_size_has_nothing_written_on_it(sent):
    for row in truesize.ring_at(sent, px_per_mm=4)[:2]:
        assert "<text" not in row.svg and 'class="melee"' in row.svg
    assert "<text" in drawings.as_svg(drawings.front(sent))


def test_what_is_included_is_said_where_a_change_is_asked_for(commission, owner, sent, device, studio):
    assert terms.included(commission=commission) is None
    assert "included" not in device.get(yours(commission, "A/comments/")).content.decode()
    actions.say_terms(commission=None, included=3, price_minor=12000, currency="GBP", person=owner)
    page = device.get(yours(commission, "A/comments/")).content.decode()
    price = written(minor=12000, currency="GBP", locale="en-gb")
    assert f"1 of 3 revisions included are used. A further one beyond these costs {price}." in page
    assert "1 of 3 revisions included" in device.get(yours(commission)).content.decode()


def test_the_commissions_own_terms_come_before_the_studios(commission, owner, sent):
    actions.say_terms(commission=commission, included=2, price_minor=None, currency="GBP", person=owner)
    actions.say_terms(commission=None, included=5, price_minor=100, currency="GBP", person=owner)
    actions.say_terms(commission=None, included=6, price_minor=100, currency="USD", person=owner)
    found = terms.included(commission=commission)
    assert (found.included, found.price, found.used, found.left) == (2, "", 1, 1)


def test_sending_beyond_what_is_included_is_warned_of_with_its_charge(commission, owner, sent, studio):
    actions.say_terms(commission=commission, included=1, price_minor=12000, currency="GBP", person=owner)
    actions.draft_revision(commission=commission, parameters=standard(6.6), person=owner)
    page = studio.get(f"/studio/commissions/{commission.reference}/design/B/send/").content.decode()
    assert "beyond what is included" in page and "price=120.00" in page


def test_our_own_doing_does_not_count_and_says_why(commission, owner, sent, studio):
    actions.say_terms(commission=commission, included=2, price_minor=12000, currency="GBP", person=owner)
    actions.draft_revision(commission=commission, parameters=standard(6.6), person=owner)
    path = f"/studio/commissions/{commission.reference}/design/B/send/"
    refused = studio.post(path, {"ours": "on", "reason": ""})
    assert "reason" in refused.context["form"].errors
    studio.post(path, {"ours": "on", "reason": "The stone measures more than its report"})
    assert terms.included(commission=commission).letters == ["A"]


@pytest.mark.parametrize(("price", "minor"), [("120", 12000), ("120,50", 12050), ("", None)])
def test_the_price_of_the_next_is_typed(commission, sent, studio, price, minor):
    path = f"/studio/commissions/{commission.reference}/design/included/"
    assert studio.post(path, {"included": "3", "price": price, "usual": "1"}).status_code == 302
    assert [(row.commission_id, row.price_minor) for row in RevisionTerm.objects.all()] == [
        (commission.pk, minor),
        (None, minor),
    ]
    assert terms.usual(currency="GBP").price_minor == minor


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"included": "0", "price": ""}, "included"),
        ({"included": "3", "price": "a lot"}, "price"),
        ({"included": "3", "price": "12.345,6789"}, "price"),
        ({"included": "3", "price": "-5"}, "price"),
    ],
)
def test_terms_that_cannot_be_read_are_refused_beside_their_field(commission, sent, studio, typed, field):
    answer = studio.post(f"/studio/commissions/{commission.reference}/design/included/", typed)
    assert field in answer.context["form"].errors and typed["price"] in answer.content.decode()
    assert not RevisionTerm.objects.exists()


@pytest.mark.parametrize(
    "rest", ["", "compare/", "A/comments/", "B/comments/?view=front", "A/true-size/", "comments/{pk}/"]
)
def test_a_surprise_is_in_no_title_and_nothing_of_it_in_a_preview(commission, owner, second, device, rest):
    made = actions.comment(
        revision=second, view="top", x_mm=0, y_mm=0, words="The ring is lovely", by_words="Joachim"
    )
    actions.answer_comment(comment=made, words="Thank you", person=owner)
    commission.discreet = True
    commission.save(update_fields=["discreet"])
    answer = device.get(yours(commission, rest.format(pk=made.pk)))
    page = answer.content.decode()
    assert answer.status_code == 200
    assert re.search(r"<title>(.*?)</title>", page, re.S)[1].strip() == "Your page"
    assert 'property="og:' not in page and "no-store" in answer["Cache-Control"]

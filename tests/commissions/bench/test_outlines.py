"""The faint outline of a shot: one for every shot, without a script, and over the live picture where there is one."""

import pytest
from django.template.loader import get_template

from commissions.bench import outlines
from commissions.bench.defaults import FINAL_SHOTS
from commissions.bench.models import Photo
from commissions.record.route import Stage
from tests.commissions.bench.conftest import work_up_to
from tests.commissions.bench.test_phone_browser import phone  # noqa: F401 - the fixture


def test_every_shot_of_the_set_has_its_own_words_and_a_view_that_is_there():
    words = [outlines.words_of(key) for key, _name in FINAL_SHOTS]
    assert all(words) and outlines.words_of("") not in words
    drawn = {
        outlines.view_of(key): get_template(outlines.outline_of(key)).render() for key, _name in FINAL_SHOTS
    }
    assert len(set(drawn.values())) == len(drawn) == 9  # the two profiles are one view
    for body in drawn.values():
        assert body.startswith('<svg viewBox="-12 -12 24 24"') and "style=" not in body


def test_without_a_script_the_guide_stands_beside_the_button(client, job, jeweller):
    work_up_to(job, jeweller, Stage.CHECKING)
    client.force_login(jeweller)
    way = f"/studio/bench/{job.reference}/photograph/"
    first = client.get(way).content.decode()
    assert "Face-up with a mm scale" in first and "the mm scale along the lower edge" in first
    hand = client.get(f"{way}?shot=hand").content.decode()
    assert 'data-view="hand"' in hand and "No face, no other ring" in hand
    assert hand.count('class="ghost-lines"') == 1
    wrong = client.post(f"/studio/bench/{job.reference}/act/photo/", {"shot": "hand", "act_id": "x"})
    assert 'data-view="hand"' in wrong.content.decode()  # the guide stays when a photo is missing


@pytest.fixture
def browser(playwright, browser_type_launch_args):
    """A browser with a made-up camera, and nobody who is asked about it."""
    more = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"]
    args = [*browser_type_launch_args["args"], *more]
    running = playwright.chromium.launch(**{**browser_type_launch_args, "args": args})
    yield running
    running.close()


@pytest.mark.browser
@pytest.mark.django_db(transaction=True)
def test_the_outline_lies_over_the_live_picture_and_one_tap_takes_it(phone, job):  # noqa: F811
    phone.context.grant_permissions(["camera"])
    phone.goto(f"/studio/bench/{job.reference}/photograph/?shot=three-quarter")
    phone.wait_for_selector(".ghost.live video")
    phone.wait_for_selector("[data-take]:visible")
    for _ in range(100):
        if phone.evaluate("document.querySelector('.ghost video').videoWidth"):
            break
        phone.wait_for_timeout(100)
    over = phone.evaluate(
        """() => {
          const film = document.querySelector('.ghost video').getBoundingClientRect();
          const lines = document.querySelector('.ghost svg').getBoundingClientRect();
          return lines.width > 200 && lines.left >= film.left && lines.right <= film.right && lines.top >= film.top;
        }"""
    )
    assert over
    phone.click("[data-take]")
    phone.wait_for_selector("text=Photo kept")
    photo = Photo.objects.get()
    assert photo.shot == "three-quarter" and photo.caption == "Three-quarter"

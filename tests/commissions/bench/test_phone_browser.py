"""The phone at the bench in a real browser: the line cut, the page killed, nothing lost and nothing doubled."""

import pytest
from axe_playwright_python.sync_playwright import Axe

from commissions.bench.models import Act, Photo, Weighing
from studio.pictures import specimens
from tests.cast import PASSWORD

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def phone(browser, live_server, job, jeweller, settings, one_at_a_time):
    """A phone with Mabli signed in, at the job."""
    settings.CSRF_TRUSTED_ORIGINS = [live_server.url]
    context = browser.new_context(viewport={"width": 390, "height": 844}, base_url=live_server.url)
    page = context.new_page()
    page.goto(f"/studio/bench/{job.reference}/")
    page.fill("input[name=email]", jeweller.email)
    page.fill("input[name=password]", PASSWORD)
    page.click("main form button")
    page.wait_for_url(f"**/studio/bench/{job.reference}/")
    yield page
    context.close()


def type_weight(page, grams: str):
    for figure in grams:
        page.click(f"[data-key='{figure}']")


def in_memory(page, path: str):
    """Wait until the phone holds this page."""
    for _ in range(60):
        if page.evaluate("path => caches.match(location.origin + path).then(Boolean)", path):
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"{path} is not held")


def waits(page, words: str):
    """Wait until the line about what waits says *words*."""
    page.wait_for_selector(f"[data-waiting]:has-text('{words}')")


def nothing_waits(page, acts: int):
    """Wait until the house has so many acts and the phone none."""
    for _ in range(60):
        if Act.objects.count() >= acts and page.locator("[data-waiting]").is_hidden():
            break
        page.wait_for_timeout(100)
    assert (Act.objects.count(), page.locator("[data-waiting]").is_hidden()) == (acts, True)


def test_a_weight_typed_on_the_keypad_is_kept_and_can_be_undone(phone, job):
    phone.click("text=Weigh")
    type_weight(phone, "0.287")
    phone.click("text=Keep")
    phone.wait_for_selector("text=0.29 g kept")
    assert Weighing.objects.get().net_mg == 287
    phone.click("text=Undo")
    phone.wait_for_selector("text=Undone: Weigh")
    assert Weighing.objects.filter(voids__isnull=False).count() == 1


def test_acts_without_a_line_survive_the_killed_page_and_arrive_once(phone, job, live_server):
    context = phone.context
    phone.goto(f"/studio/bench/{job.reference}/weigh/")
    context.set_offline(True)
    for grams in ("0.287", "0.291"):
        type_weight(phone, grams)
        phone.click("text=Keep")
        phone.wait_for_selector("text=Kept on this phone")
    waits(phone, "2 acts wait")
    assert Act.objects.count() == 0
    phone.close()
    context.set_offline(False)
    again = context.new_page()
    again.goto(f"/studio/bench/{job.reference}/")
    nothing_waits(again, 2)
    assert list(Weighing.objects.order_by("id").values_list("net_mg", flat=True)) == [287, 291]
    again.reload()
    again.wait_for_timeout(300)
    assert Act.objects.count() == 2


def test_an_answer_that_never_arrives_doubles_nothing(phone, job):
    phone.goto(f"/studio/bench/{job.reference}/weigh/")
    lost = []

    def lose_the_answer(route):
        route.fetch(max_redirects=0)  # the house does the act; the phone never hears of it
        lost.append(route.request.url)
        route.abort()

    phone.route("**/act/weigh/", lose_the_answer, times=1)
    type_weight(phone, "0.287")
    phone.click("text=Keep")
    phone.wait_for_selector("text=Kept on this phone")
    assert (len(lost), Act.objects.count()) == (1, 1)
    phone.evaluate("window.dispatchEvent(new Event('online'))")
    nothing_waits(phone, 1)
    assert (Act.objects.count(), Weighing.objects.count()) == (1, 1)


def test_a_refused_act_is_explained_with_its_photo_still_there(phone, job, tmp_path):
    photo = tmp_path / "ring.png"
    photo.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(400))
    phone.goto(f"/studio/bench/{job.reference}/photograph/")
    phone.set_input_files("#id_library", photo)
    waits(phone, "Not taken: photo")
    waits(phone, "damaged")
    assert phone.locator("[data-waiting] img").count() == 1
    phone.goto(f"/studio/bench/{job.reference}/")
    waits(phone, "Not taken: photo")
    phone.click("text=Drop it")
    phone.click("text=Drop it for good")
    nothing_waits(phone, 0)


def test_a_photo_is_made_smaller_before_it_is_sent(phone, job, tmp_path):
    photo = tmp_path / "ring.jpg"
    photo.write_bytes(specimens.jpeg(width=4032, height=3024))
    phone.goto(f"/studio/bench/{job.reference}/photograph/")
    phone.set_input_files("#id_camera", photo)
    phone.wait_for_selector("text=Photo kept")
    picture = Photo.objects.select_related("picture").get().picture
    assert (picture.width, picture.height) == (1920, 2560)


def test_the_job_opens_without_a_line_and_says_of_when_it_is(phone, job):
    phone.reload()
    in_memory(phone, f"/studio/bench/{job.reference}/weigh/")
    phone.context.set_offline(True)
    phone.goto(f"/studio/bench/{job.reference}/weigh/")
    assert "This page is as of" in phone.inner_text("main")
    type_weight(phone, "0.287")
    phone.click("text=Keep")
    phone.wait_for_selector("text=Kept on this phone")
    phone.context.set_offline(False)
    nothing_waits(phone, 1)
    assert Weighing.objects.count() == 1


def test_nothing_personal_is_kept_on_the_phone(phone, job, joachim):
    phone.reload()
    in_memory(phone, f"/studio/bench/{job.reference}/count/")
    kept = phone.evaluate(
        """async () => {
          const pages = await caches.open('bench-pages-1');
          const all = await Promise.all((await pages.keys()).map(async (key) => (await (await pages.match(key)).text())));
          return all.join() + JSON.stringify({...localStorage});
        }"""
    )
    assert job.reference in kept
    for word in (joachim.full_name, "Seelenbrink", joachim.access.email, "GBP", job.title):
        assert word not in kept


def test_what_was_typed_is_there_after_an_interruption(phone, job):
    phone.goto(f"/studio/bench/{job.reference}/weigh/")
    type_weight(phone, "4.3")
    phone.goto("about:blank")
    phone.goto(f"/studio/bench/{job.reference}/weigh/")
    assert phone.input_value("#id_grams") == "4.3"


def test_targets_are_large_enough_for_a_thumb(phone, job):
    for part in ("", "weigh/", "photograph/", "count/", "problem/", "steps/"):
        phone.goto(f"/studio/bench/{job.reference}/{part}")
        small = phone.evaluate(
            """() => [...document.querySelectorAll('main button, main a, main summary, main input:not([type=hidden]), header a')]
              .map((one) => [one, one.getBoundingClientRect()])
              .filter(([one, box]) => box.width && box.height && box.height < 59.5 && one.type !== 'checkbox')
              .map(([one, box]) => `${one.tagName} ${one.textContent.trim().slice(0, 20)} ${box.height}`)"""
        )
        assert small == [], part
        assert phone.evaluate("document.documentElement.scrollWidth <= innerWidth"), part
        tiny = phone.evaluate(
            """() => [...document.querySelectorAll('main *')].filter((one) => one.childNodes.length && [...one.childNodes]
              .some((node) => node.nodeType === 3 && node.textContent.trim()) && one.getClientRects().length
              && parseFloat(getComputedStyle(one).fontSize) < 20 && !one.closest('.vh'))
              .map((one) => one.className + ' ' + one.textContent.slice(0, 30))"""
        )
        assert tiny == [], part


def test_the_pages_have_no_barrier_and_seven_to_one_in_light_and_dark(phone, job):
    """Checked by axe-core with its enhanced contrast rule (WCAG 2.2, 1.4.6: seven to one)."""
    axe = Axe()
    options = {"rules": {"color-contrast-enhanced": {"enabled": True}, "target-size": {"enabled": True}}}
    for scheme in ("light", "dark"):
        phone.emulate_media(color_scheme=scheme)
        for part in ("", "weigh/", "photograph/", "count/", "problem/", "steps/", "check/", "check/3/"):
            phone.goto(f"/studio/bench/{job.reference}/{part}")
            found = axe.run(phone, options=options).response["violations"]
            told = [(row["id"], [node["html"][:80] for node in row["nodes"]]) for row in found]
            assert told == [], (scheme, part)


def test_the_first_load_is_light(phone, job):
    heard = []
    context = phone.context.browser.new_context(
        storage_state=phone.context.storage_state(),
        viewport={"width": 390, "height": 844},
        service_workers="block",
    )
    page = context.new_page()
    page.on("response", lambda answer: heard.append(answer))
    page.goto(phone.url)
    page.wait_for_load_state("networkidle")
    sizes = {answer.url.rsplit("/", 1)[-1]: len(answer.body()) for answer in heard}
    context.close()
    assert sum(sizes.values()) < 150_000, sizes

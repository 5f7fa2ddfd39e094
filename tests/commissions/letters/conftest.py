import io

import pytest
from django.core.files.base import ContentFile
from PIL import Image

from commissions.bench.actions import add_photo, release_photo
from studio.outbox.models import Letter
from studio.outbox.tasks import send_due
from studio.pictures.actions import receive
from studio.pictures.tasks import render_waiting


@pytest.fixture(autouse=True)
def local_outbox(settings, tmp_path):
    """Letters go into a folder of this test."""
    settings.OUTBOX_DIR = tmp_path / "outbox"
    settings.EMAIL_BACKEND = "studio.outbox.folder.FolderBackend"
    settings.SECOND_FACTOR_REQUIRED = False


def jpeg(shade: int = 120, size=(1200, 900)) -> bytes:
    """A plain picture; its shade makes it different from the next."""
    out = io.BytesIO()
    Image.new("RGB", size, (shade, 90, 40)).save(out, "JPEG")
    return out.getvalue()


@pytest.fixture
def release(commission, owner):
    """Take, prepare and release photos of the commission."""
    taken = []

    def make(count: int = 1, *, of=None):
        made = []
        for _number in range(count):
            taken.append(1)
            picture = receive(
                upload=ContentFile(jpeg(len(taken)), name="photo.jpg"), kind="bench", person_words=str(owner)
            )
            render_waiting()
            picture.refresh_from_db()
            photo = add_photo(
                commission=of or commission,
                picture=picture,
                step=None,
                person=owner,
                caption="The mount",
                scale="shown 8 times its size",
            )
            release_photo(photo=photo, background_checked=True, person=owner)
            made.append(photo)
        return made

    return make


@pytest.fixture
def sent():
    """Send what is due; every letter that has gone, oldest first."""

    def send():
        send_due()
        return list(Letter.objects.filter(state="sent").order_by("pk"))

    return send

import io

import pytest
from PIL import Image


@pytest.fixture
def jpeg() -> bytes:
    """A small picture."""
    out = io.BytesIO()
    Image.new("RGB", (8, 8), "#8A6A1F").save(out, "JPEG")
    return out.getvalue()

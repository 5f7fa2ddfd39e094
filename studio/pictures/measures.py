"""
Measures of the renditions: time and memory of one cold process per file, and photographs a minute with two.

Each case runs in its own process, as a worker's child would; the figure for memory is the peak of the whole process.
"""

from __future__ import annotations

import io
import json
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

SIZES = ((12, 4032, 3024), (24, 6000, 4000), (48, 8064, 6048))


def run() -> list[tuple[str, float, str]]:
    """Rows of name, value and unit."""
    from studio.pictures import (
        specimens,
    )  # not at the top: a worker has no need of it, and its size would be measured

    rows = []
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        for megapixels, width, height in SIZES:
            path = folder / f"{megapixels}.jpg"
            path.write_bytes(specimens.jpeg(width=width, height=height))
            rows += _cold(f"{megapixels} MP JPEG", path)
        for megapixels, width, height in (SIZES[0], SIZES[2]):
            path = folder / f"{megapixels}.heic"
            try:
                path.write_bytes(specimens.heic(width=width, height=height))
            except ModuleNotFoundError:
                continue  # the encoder comes with the test requirements; without it there is no file to measure
            rows += _cold(f"{megapixels} MP HEIC", path)
        rows.append(
            ("12 MP JPEG with two workers", _a_minute(folder / "12.jpg", workers=2, each=12), "photos/min")
        )
    return rows


def _cold(name: str, path: Path) -> list[tuple[str, float, str]]:
    seen = json.loads(_child(path, 1).communicate()[0])
    return [(name, round(seen["seconds"], 3), "s"), (f"{name}, peak memory", round(seen["peak_mb"], 1), "MB")]


def _a_minute(path: Path, *, workers: int, each: int) -> float:
    children = [_child(path, each) for _ in range(workers)]
    spans = [json.loads(child.communicate()[0]) for child in children]
    # Both began within a breath of each other; the longer one sets the pace.
    return round(workers * each * 60 / max(span["seconds"] for span in spans), 1)


def _child(path: Path, times: int) -> subprocess.Popen:
    return subprocess.Popen(  # noqa: S603 - our own interpreter and module
        [sys.executable, "-m", "studio.pictures.measures", str(path), str(times)],
        stdout=subprocess.PIPE,
        cwd=Path(__file__).resolve().parents[2],
        text=True,
    )


def _work(path: str, times: int) -> dict:
    from studio.pictures.rendering import renditions

    body = Path(path).read_bytes()
    began = time.perf_counter()
    for _ in range(times):
        sizes = [len(row.webp) + len(row.jpeg) for row in renditions(file=io.BytesIO(body))]
    return {
        "seconds": time.perf_counter() - began,
        "written": sum(sizes),
        "peak_mb": _peak_mb(),
    }


def _peak_mb() -> float:
    # Linux counts the memory of the parent into ru_maxrss of a child it has just started; VmHWM begins anew.
    status = Path("/proc/self/status")
    if status.exists():
        line = next(line for line in status.read_text().splitlines() if line.startswith("VmHWM"))
        return int(line.split()[1]) / 1024
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / (1024 * 1024 if sys.platform == "darwin" else 1024)


if __name__ == "__main__":
    print(json.dumps(_work(sys.argv[1], int(sys.argv[2]))))

"""Bands: what must hold whatever the size."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gemcalc.bands import band, halo_tray_allowance, head_allowance
from gemcalc.errors import BadInput
from gemcalc.profiles import PROFILES, section_outline, shape_of

profiles = st.sampled_from(sorted(PROFILES))
width = st.floats(0.5, 12)
thickness = st.floats(0.5, 4)
inside = st.floats(10, 25)


@given(profiles, width, thickness, inside, width, thickness, st.floats(0.5, 4))
def test_volume_grows_with_the_cube_of_size(
    profile: str, w: float, t: float, d: float, we: float, te: float, times: float
) -> None:
    one = band(
        profile=profile,
        width_mm=w,
        thickness_mm=t,
        inside_diameter_mm=d,
        width_end_mm=we,
        thickness_end_mm=te,
    )
    other = band(
        profile=profile,
        width_mm=w * times,
        thickness_mm=t * times,
        inside_diameter_mm=d * times,
        width_end_mm=we * times,
        thickness_end_mm=te * times,
    )
    assert other.volume_mm3 == pytest.approx(times**3 * one.volume_mm3)


@given(profiles, width, thickness, inside)
def test_tapered_with_equal_ends_is_even(profile: str, w: float, t: float, d: float) -> None:
    even = band(profile=profile, width_mm=w, thickness_mm=t, inside_diameter_mm=d)
    equal = band(
        profile=profile, width_mm=w, thickness_mm=t, inside_diameter_mm=d, width_end_mm=w, thickness_end_mm=t
    )
    assert equal == even
    assert even.centroid_radius_mm is not None
    assert even.volume_mm3 == pytest.approx(2 * math.pi * even.centroid_radius_mm * even.area_mm2)


@given(profiles, width, thickness, inside, width, thickness)
def test_top_and_back_may_be_exchanged(
    profile: str, w: float, t: float, d: float, we: float, te: float
) -> None:
    one = band(
        profile=profile,
        width_mm=w,
        thickness_mm=t,
        inside_diameter_mm=d,
        width_end_mm=we,
        thickness_end_mm=te,
    )
    other = band(
        profile=profile,
        width_mm=we,
        thickness_mm=te,
        inside_diameter_mm=d,
        width_end_mm=w,
        thickness_end_mm=t,
    )
    assert other.volume_mm3 == pytest.approx(one.volume_mm3)
    thin = band(profile=profile, width_mm=min(w, we), thickness_mm=min(t, te), inside_diameter_mm=d)
    thick = band(profile=profile, width_mm=max(w, we), thickness_mm=max(t, te), inside_diameter_mm=d)
    assert thin.volume_mm3 * (1 - 1e-12) <= one.volume_mm3 <= thick.volume_mm3 * (1 + 1e-12)


@given(profiles, width, thickness, inside, st.floats(1.001, 1.5))
def test_more_of_anything_is_more_metal(profile: str, w: float, t: float, d: float, more: float) -> None:
    base = band(profile=profile, width_mm=w, thickness_mm=t, inside_diameter_mm=d).volume_mm3
    assert band(profile=profile, width_mm=w * more, thickness_mm=t, inside_diameter_mm=d).volume_mm3 > base
    assert band(profile=profile, width_mm=w, thickness_mm=t * more, inside_diameter_mm=d).volume_mm3 > base
    assert band(profile=profile, width_mm=w, thickness_mm=t, inside_diameter_mm=d * more).volume_mm3 > base


def test_flat_holds_the_most_and_knife_edge_the_least() -> None:
    volumes = {
        name: band(profile=name, width_mm=4, thickness_mm=2, inside_diameter_mm=17).volume_mm3
        for name in PROFILES
    }
    assert sorted(volumes, key=lambda name: -volumes[name]) == [
        "flat",
        "comfort",
        "court",
        "half-round",
        "knife-edge",
    ]


@given(profiles, width, thickness)
def test_outline_is_symmetric_and_lies_within_its_box(profile: str, w: float, t: float) -> None:
    points = section_outline(profile=profile, width_mm=w, thickness_mm=t)
    assert max(x for x, _ in points) == pytest.approx(w / 2)
    assert min(x for x, _ in points) == pytest.approx(-w / 2)
    assert min(y for _, y in points) == pytest.approx(0, abs=1e-9)
    assert max(y for _, y in points) == pytest.approx(t)
    for x, y in points:
        assert any(abs(x + other) < 1e-6 and abs(y - height) < 1e-6 for other, height in points)
    assert len(set(points)) == len(points)


EDGES: list[tuple[str, float]] = [
    ("width_mm", 0.049),
    ("width_mm", 100.1),
    ("thickness_mm", 0.0),
    ("thickness_mm", -1.0),
    ("thickness_mm", float("nan")),
    ("inside_diameter_mm", 0.49),
    ("inside_diameter_mm", 201.0),
    ("width_end_mm", 0.0),
    ("thickness_end_mm", 101.0),
]


@pytest.mark.parametrize(("field", "value"), EDGES)
def test_edges_of_a_band(field: str, value: float) -> None:
    sizes: dict[str, float] = {"width_mm": 4, "thickness_mm": 2, "inside_diameter_mm": 17}
    with pytest.raises(BadInput) as caught:
        band(profile="flat", **(sizes | {field: value}))  # type: ignore[arg-type]
    assert caught.value.field == field


def test_an_unknown_profile_is_named() -> None:
    for call in (
        lambda: shape_of(profile="oval"),
        lambda: band(profile="oval", width_mm=4, thickness_mm=2, inside_diameter_mm=17),
        lambda: section_outline(profile="oval", width_mm=4, thickness_mm=2),
    ):
        with pytest.raises(BadInput) as caught:
            call()
        assert caught.value.field == "profile"


@pytest.mark.parametrize(("steps", "width_mm"), [(3, 4.0), (2001, 4.0), (48, 0.01)])
def test_edges_of_an_outline(steps: int, width_mm: float) -> None:
    with pytest.raises(BadInput):
        section_outline(profile="court", width_mm=width_mm, thickness_mm=2, steps=steps)


def test_head_and_tray_grow_and_are_guarded() -> None:
    four = head_allowance(claws=4, claw_diameter_mm=1, claw_length_mm=5, rail_diameters_mm=(5.0,))
    six = head_allowance(claws=6, claw_diameter_mm=1, claw_length_mm=5, rail_diameters_mm=(5.0, 6.0))
    assert six.claws_mm3 == pytest.approx(1.5 * four.claws_mm3)
    assert six.rails_mm3 == pytest.approx(2.2 * four.rails_mm3)
    assert six.volume_mm3 == six.claws_mm3 + six.rails_mm3
    for field, value in (
        ("claws", 25),
        ("claw_diameter_mm", 0.1),
        ("claw_length_mm", -1),
        ("rail_wire_mm", 6),
    ):
        sizes: dict[str, float] = {"claws": 4, "claw_diameter_mm": 1, "claw_length_mm": 5}
        with pytest.raises(BadInput) as caught:
            head_allowance(**(sizes | {field: value}))  # type: ignore[arg-type]
        assert caught.value.field == field
    with pytest.raises(BadInput):
        head_allowance(claws=4, claw_diameter_mm=1, claw_length_mm=5, rail_diameters_mm=(0.1,))
    uncut = halo_tray_allowance(line_length_mm=25, strip_width_mm=2, thickness_mm=1.5, cut_share=0)
    assert uncut == 75
    for cut in (-0.1, 0.81):
        with pytest.raises(BadInput):
            halo_tray_allowance(line_length_mm=25, strip_width_mm=2, thickness_mm=1.5, cut_share=cut)

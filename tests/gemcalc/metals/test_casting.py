"""Casting chain, substitution, shrinkage, metal account, troy units and prices."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gemcalc.account import loss_pct, reconcile
from gemcalc.alloys import find
from gemcalc.casting import casting_chain, mass_from_volume, pattern_mass_for, substitute
from gemcalc.errors import BadInput, OutOfRange
from gemcalc.model_weights import model_weights
from gemcalc.shrinkage import shrinkage
from gemcalc.troy import UNITS_G, convert, fine_content_g, price_per_gram

density = st.floats(2.1, 22.5)
mass = st.floats(0.01, 200)


@given(mass, density, st.floats(0.5, 3), st.floats(0, 100), st.floats(0, 90), st.floats(1.1, 9))
def test_chain_is_homogeneous_and_in_order(
    pattern: float, metal: float, wax: float, button: float, loss: float, times: float
) -> None:
    terms = {
        "metal_density_g_cm3": metal,
        "pattern_density_g_cm3": wax,
        "button_pct": button,
        "finishing_loss_pct": loss,
    }
    one = casting_chain(pattern_mass_g=pattern, **terms)
    more = casting_chain(pattern_mass_g=pattern * times, **terms)
    assert more.cast_mass_g == pytest.approx(times * one.cast_mass_g)
    assert more.pour_mass_g == pytest.approx(times * one.pour_mass_g)
    assert one.finished_mass_g <= one.cast_mass_g <= one.pour_mass_g
    assert one.pour_mass_g == pytest.approx(one.cast_mass_g + one.button_mass_g)
    assert one.links[0].name == "pattern"
    assert one.links[-1].mass_g == one.finished_mass_g


@given(mass, density, st.floats(0.5, 3), st.floats(0, 90))
def test_chain_read_backwards(pattern: float, metal: float, wax: float, loss: float) -> None:
    finished = casting_chain(
        pattern_mass_g=pattern,
        metal_density_g_cm3=metal,
        pattern_density_g_cm3=wax,
        finishing_loss_pct=loss,
    ).finished_mass_g
    back = pattern_mass_for(
        finished_mass_g=finished,
        metal_density_g_cm3=metal,
        pattern_density_g_cm3=wax,
        finishing_loss_pct=loss,
    )
    assert back == pytest.approx(pattern)


def test_shrinkage_makes_the_casting_lighter() -> None:
    full = casting_chain(pattern_mass_g=1, metal_density_g_cm3=15.5)
    shrunk = casting_chain(pattern_mass_g=1, metal_density_g_cm3=15.5, shrinkage_linear_pct=1)
    assert shrunk.cast_mass_g == pytest.approx(0.99**3 * full.cast_mass_g)


@given(mass, density, density)
def test_substitution_there_and_back(piece: float, one: float, other: float) -> None:
    there = substitute(mass_g=piece, density_g_cm3=one, to_density_g_cm3=other)
    assert substitute(mass_g=there, density_g_cm3=other, to_density_g_cm3=one) == pytest.approx(piece)
    assert (there > piece) == (other > one) or there == pytest.approx(piece)


@given(st.lists(st.floats(0, 10), max_size=6))
def test_enlarging_undoes_shrinking(steps: list[float]) -> None:
    found = shrinkage(linear_pct_steps=steps)
    assert found.enlarge_factor * (1 - found.linear_pct / 100) == pytest.approx(1)
    assert found.volume_pct >= found.linear_pct - 1e-9
    assert found == shrinkage(linear_pct_steps=sorted(steps)) or found.linear_pct == pytest.approx(
        shrinkage(linear_pct_steps=sorted(steps)).linear_pct
    )


def test_the_published_chain_of_shrinkage() -> None:
    found = shrinkage(linear_pct_steps=[2.5, 1.0])
    assert found.linear_pct == pytest.approx(3.475)
    assert found.volume_pct == pytest.approx(10.07, abs=0.005)


def test_account_of_one_mount_with_every_base() -> None:
    found = reconcile(issued_mg=9800, clean_returns_mg=4620, mount_mg=4310, filings_mg=710)
    assert found.loss_mg == 160
    assert found.worked_mg == 5180
    shares = (found.loss_of_issued_pct, found.loss_of_worked_pct, found.loss_of_mount_pct)
    assert [round(share or 0, 1) for share in shares] == [1.6, 3.1, 3.7]
    assert "1.6 % of the metal issued, 3.1 % of the metal worked, 3.7 % of the finished mount" in found.words


def test_more_back_than_out_is_a_finding() -> None:
    found = reconcile(issued_mg=5000, clean_returns_mg=2000, mount_mg=3100, filings_mg=0)
    assert found.loss_mg == -100
    assert "more came back" in found.words


def test_account_before_there_is_a_mount_or_any_work() -> None:
    found = reconcile(issued_mg=5000, clean_returns_mg=5000, mount_mg=0, filings_mg=0)
    assert (found.loss_mg, found.loss_of_worked_pct, found.loss_of_mount_pct) == (0, None, None)


@given(st.integers(1, 10**6), st.data())
def test_account_balances(issued: int, data: st.DataObject) -> None:
    returns = data.draw(st.integers(0, issued))
    mount = data.draw(st.integers(0, issued - returns))
    filings = data.draw(st.integers(0, issued - returns - mount))
    found = reconcile(issued_mg=issued, clean_returns_mg=returns, mount_mg=mount, filings_mg=filings)
    assert found.loss_mg + filings + mount + returns == issued
    assert found.loss_of_issued_pct <= (found.loss_of_worked_pct or 0) + 1e-9


@given(st.decimals(0, 10**4, places=4), st.sampled_from(sorted(UNITS_G)), st.sampled_from(sorted(UNITS_G)))
def test_units_there_and_back(amount: Decimal, unit: str, to: str) -> None:
    there = convert(mass=amount, unit=unit, to=to)  # type: ignore[arg-type]
    back = convert(mass=there, unit=to, to=unit)  # type: ignore[arg-type]
    assert abs(back - amount) <= Decimal("1e-18")


def test_an_ounce_of_grams_costs_an_ounce() -> None:
    price = price_per_gram(price_per_troy_ounce="1999.99")
    assert abs(price * convert(mass=1, unit="ozt", to="g") - Decimal("1999.99")) < Decimal("1e-20")
    assert price_per_gram(price_per_troy_ounce=2000, fineness_ppt=750) * 4 == 3 * price_per_gram(
        price_per_troy_ounce=2000
    )


@given(st.floats(0, 5000), st.floats(0, 500), st.floats(0, 90))
def test_model_weights_agree_with_the_chain(volume: float, button: float, loss: float) -> None:
    alloy = find(name="18ct white Pd")
    (found,) = model_weights(volume_mm3=volume, alloys=[alloy], button_pct=button, finishing_loss_pct=loss)
    assert found.low_g <= found.mass_g <= found.high_g
    if volume > 1:
        chain = casting_chain(
            pattern_mass_g=volume / 1000,
            metal_density_g_cm3=alloy.density_g_cm3,
            button_pct=button,
            finishing_loss_pct=loss,
        )
        assert found.mass_g == pytest.approx(chain.cast_mass_g)
        assert found.pour_mass_g == pytest.approx(chain.pour_mass_g)
        assert found.finished_mass_g == pytest.approx(chain.finished_mass_g)


def test_fine_content() -> None:
    assert fine_content_g(mass_g=Decimal("4.31"), fineness_ppt=750) == Decimal("3.2325")


CALLS: list[tuple[str, Callable[..., object], dict[str, object], list[object]]] = [
    ("pattern_mass_g", casting_chain, {"metal_density_g_cm3": 15.5}, [0.0, 10_001, float("nan")]),
    ("metal_density_g_cm3", casting_chain, {"pattern_mass_g": 1}, [1.99, 22.61]),
    (
        "pattern_density_g_cm3",
        casting_chain,
        {"pattern_mass_g": 1, "metal_density_g_cm3": 15.5},
        [0.49, 3.01, float("inf")],
    ),
    ("shrinkage_linear_pct", casting_chain, {"pattern_mass_g": 1, "metal_density_g_cm3": 15}, [-0.1, 10.1]),
    ("button_pct", casting_chain, {"pattern_mass_g": 1, "metal_density_g_cm3": 15}, [-0.1, 501]),
    ("finishing_loss_pct", casting_chain, {"pattern_mass_g": 1, "metal_density_g_cm3": 15}, [-0.1, 90.1]),
    ("finished_mass_g", pattern_mass_for, {"metal_density_g_cm3": 15}, [0.0, 10_001]),
    ("finishing_loss_pct", pattern_mass_for, {"metal_density_g_cm3": 15, "finished_mass_g": 1}, [-1, 91]),
    ("volume_mm3", mass_from_volume, {"density_g_cm3": 15}, [-1, 1.1e9]),
    ("density_g_cm3", mass_from_volume, {"volume_mm3": 1}, [0.09, 25.1]),
    ("mass_g", substitute, {"density_g_cm3": 1, "to_density_g_cm3": 15}, [-1, 1.1e6]),
    ("density_g_cm3", substitute, {"mass_g": 1, "to_density_g_cm3": 15}, [0.0, 26]),
    ("to_density_g_cm3", substitute, {"mass_g": 1, "density_g_cm3": 15}, [0.0, 26]),
    ("before_g", loss_pct, {"after_g": 1}, [0.0, 1.1e6]),
    ("after_g", loss_pct, {"before_g": 1}, [-0.1, 1.1e6]),
    ("volume_mm3", model_weights, {"alloys": [find(name="Ag925")]}, [-1, 1.1e9, float("nan")]),
    ("button_pct", model_weights, {"alloys": [], "volume_mm3": 1}, [-1, 501]),
    ("finishing_loss_pct", model_weights, {"alloys": [], "volume_mm3": 1}, [-1, 91]),
    ("linear_pct_steps", shrinkage, {}, [[-0.1], [10.1], [0.0] * 11]),
    ("mass", convert, {"unit": "g", "to": "ozt"}, ["-1", "1000000001", "NaN", "Infinity", "much"]),
    ("unit", convert, {"mass": 1, "to": "g"}, ["stone"]),
    ("to", convert, {"mass": 1, "unit": "g"}, ["stone"]),
    ("price_per_troy_ounce", price_per_gram, {}, [-1, "x", "1e10"]),
    ("fineness_ppt", price_per_gram, {"price_per_troy_ounce": 1}, [-1, 1001]),
    ("mass_g", fine_content_g, {"fineness_ppt": 750}, [-1, 1_000_001]),
    (
        "issued_mg",
        reconcile,
        {"clean_returns_mg": 0, "mount_mg": 0, "filings_mg": 0},
        [0, 10_000_001, 1.5, True],
    ),
    ("filings_mg", reconcile, {"clean_returns_mg": 0, "mount_mg": 0, "issued_mg": 5}, [-1, 10_000_001]),
]


@pytest.mark.parametrize(
    ("field", "call", "rest", "value"),
    [(field, call, rest, value) for field, call, rest, values in CALLS for value in values],
)
def test_every_edge_is_guarded(
    field: str, call: Callable[..., object], rest: dict[str, object], value: object
) -> None:
    with pytest.raises(BadInput) as caught:
        call(**rest, **{field: value})
    assert caught.value.field == field


def test_the_guard_tells_value_and_range() -> None:
    with pytest.raises(OutOfRange, match="must be from 0 to 90, and 95 is not"):
        casting_chain(pattern_mass_g=1, metal_density_g_cm3=15, finishing_loss_pct=95)

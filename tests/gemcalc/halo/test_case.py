"""What is asked for: read strictly, named in the user's words, the same whatever the order."""

import pytest

from gemcalc.errors import BadInput
from gemcalc.halo.case import plain_case, read_case, size_label

from .cases import ROUND, case

BAD = [
    ("centre.length_mm", case({"cut": "oval", "width_mm": 6})),
    ("centre.cut", case({"cut": "egg"})),
    ("centre.diameter_mm", case({"cut": "round", "diameter_mm": "wide"})),
    ("centre.diameter_mm", case({"cut": "round", "diameter_mm": float("nan")})),
    (
        "centre.corner_radius_mm",
        case({"cut": "cushion", "length_mm": 6, "width_mm": 6, "corner_radius_mm": 3.5}),
    ),
    ("centre.points_mm", case({"cut": "outline", "points_mm": [[0, 0], [1, 0]]})),
    ("centre.points_mm.1", case({"cut": "outline", "points_mm": [[0, 0], [1], [1, 1]]})),
    ("centre.lobe_mm", case({"cut": "heart", "length_mm": 7, "width_mm": 6.5, "lobe_mm": 3})),
    ("melee.sizes_mm", case(ROUND, melee={"sizes_mm": []})),
    ("melee.sizes_mm", case(ROUND, melee={"sizes_mm": [1.3, -1]})),
    ("melee.stock", case(ROUND, melee={"stock": 3})),
    ("rules.gap_max_mm", case(ROUND, rules={"gap_max_mm": 0.01})),
    ("rules.clearance_mm", case(ROUND, rules={"clearance_mm": None})),
    ("rules.row_gap_min_mm", case(ROUND, rows=2)),
    ("symmetry", case(ROUND, symmetry="D3")),
    ("rows", case(ROUND, rows=3)),
    ("target", case(ROUND, target=7)),
]


@pytest.mark.parametrize(("field", "data"), BAD)
def test_a_wrong_field_is_named(field, data):
    with pytest.raises(BadInput) as caught:
        read_case(data)
    assert caught.value.field == field


def test_the_order_of_the_drawer_changes_nothing():
    one = case(ROUND, melee={"sizes_mm": [1.3, 1.1, 1.2], "stock": {"1.30": 4, "1.10": 8, "1.20": 2}})
    two = case(ROUND, melee={"sizes_mm": [1.1, 1.2, 1.3, 1.2], "stock": {"1.2": 2, "1.1": 8, "1.3": 4}})
    assert read_case(one) == read_case(two)


def test_a_size_without_a_count_is_out_of_stock():
    read = read_case(case(ROUND, melee={"sizes_mm": [1.2, 1.3], "stock": {"1.20": 20}}))
    assert read.melee.stock == (20, 0)


def test_a_plain_case_reads_back_as_itself():
    read = read_case(
        case({"cut": "heart", "length_mm": 7, "width_mm": 6.5}, rules={"stone_on_deg": [90, 450]})
    )
    assert read.rules.stone_on_deg == (90.0,)
    assert read_case(plain_case(read)) == read


def test_size_labels_lose_nothing():
    assert [size_label(size) for size in (1.3, 1.125, 0.9)] == ["1.30", "1.125", "0.90"]

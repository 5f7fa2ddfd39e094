"""What is told of a stone: photographed, plotted, asked about, turned, and its condition put to the client."""

from __future__ import annotations

from django.core.files.uploadedfile import SimpleUploadedFile

from commissions.pages.demo import loose
from commissions.pages.demo.setting_out import Cast, on
from commissions.sourcing import actions as sourcing
from commissions.sourcing.models import Bearer, Risk, Stone
from commissions.sourcing.queries import risks
from studio.pictures.actions import render


def photograph_stone(cast: Cast, stone: Stone, *, day: str, shots: list[tuple[str, str, bytes]]) -> None:
    """Photographs of a stone: what each shows, its sentence, its picture."""
    for shot, caption, body in shots:
        with on(day, "16:20"):
            row = sourcing.add_photo(
                stone=stone,
                upload=SimpleUploadedFile("stone.jpg", body, content_type="image/jpeg"),
                shot=shot,
                caption=caption,
                person=cast.jeweller,
            )
        render(pk=row.picture.pk)


def own_old_cut(cast: Cast, stone: Stone) -> None:
    """
    The client's own old-cut: measured, photographed, known again, plotted and turned; its condition waits.

    Caetana has said that it is her stone; she has not signed how it is.
    """
    with on("2026-09-11", "16:00"):
        sourcing.check_in(
            stone=stone,
            weight_mct=1031,
            length_hmm=646,
            width_hmm=640,
            depth_hmm=392,
            readings={"length": [646, 646], "width": [640, 641], "depth": [392, 393]},
            inscription_typed="",
            seal="S-2217",
            weight_reason="Old cut: high crown, small table and thick girdle; weighed three times",
            girdle_note="Thick from 7 to 9",
            risk=Risk.US,
            value_minor=480000,
            value_currency="GBP",
            value_basis="Stated by the client from a valuation of 2019",
            person=cast.jeweller,
        )
    photograph_stone(
        cast,
        stone,
        day="2026-09-11",
        shots=[
            (
                "packet",
                "Your packet, its seal whole when we opened it",
                loose.packet(seed=41, words="S-2217"),
            ),
            ("face", "Face up, about 12×", loose.face(seed=42, feather_deg=-30)),
            ("side", "From the side, about 12×", loose.side(seed=43)),
            ("mark", "The feather at 4 o'clock, about 20×", loose.face(seed=42, near=True, feather_deg=-30)),
        ],
    )
    with on("2026-09-11", "16:40"):
        sourcing.ask_same_stone(stone=stone, person=cast.owner)
    client = stone.commission.client
    with on("2026-09-12", "22:05"):
        sourcing.answer_same_stone(
            stone=stone, same=True, words="", by_words=client.full_name, access=client.access
        )
    with on("2026-09-14", "09:40"):
        sourcing.say_north(
            stone=stone, words="the widest of the eight facets round the culet", person=cast.jeweller
        )
        for mark in (
            {"kind": "feather", "position": "4", "out_permille": 930, "size_hmm": 80, "look": 2, "surface": True,
             "note": "Comes to the surface at the girdle"},
            {"kind": "crystal", "position": "10½", "out_permille": 870, "size_hmm": 18, "look": 2, "surface": False},
        ):  # fmt: skip
            sourcing.plot_mark(stone=stone, person=cast.jeweller, **mark)
    with on("2026-09-14", "10:00"):
        sourcing.turn_stone(stone=stone, step_deg=None, reach_hmm=57, person=cast.jeweller)
    with on("2026-09-14", "10:30"):
        sourcing.send_condition(
            stone=stone,
            bearer=Bearer.CLIENT,
            risk="\n".join(risks(stone=stone)),
            setting="Four claws, closed by hand in opposing order, none bearing on the feather.",
            damage="The feather at 4 o'clock is open to the surface at the girdle. No chip at ten times.",
            remedy="Damage by our own carelessness is ours: a stone like it, up to its stated value. If the feather "
            "runs in ordinary setting we return the stone and charge no setting.",
            insurance="Our policy covers the stone in the safe and on the way. It leaves out damage while it is "
            "being worked on; ask your own insurer whether yours covers that.",
            person=cast.owner,
        )


def plotted_crystal(cast: Cast, stone: Stone, *, day: str) -> None:
    """A stone with one crystal near the girdle, laid so that a claw hides it."""
    with on(day, "11:00"):
        sourcing.say_north(stone=stone, words="where the inscription begins", person=cast.jeweller)
        sourcing.plot_mark(
            stone=stone,
            kind="crystal",
            position="2",
            out_permille=900,
            size_hmm=14,
            look=2,
            surface=False,
            person=cast.jeweller,
        )
        sourcing.turn_stone(stone=stone, step_deg=None, reach_hmm=60, person=cast.jeweller)

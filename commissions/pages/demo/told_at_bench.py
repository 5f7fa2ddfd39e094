"""Short words for what happens to a ring at the bench."""

from __future__ import annotations

import datetime
import io

from django.core.files.uploadedfile import SimpleUploadedFile

from commissions.bench import actions as bench
from commissions.bench import queries as bench_queries
from commissions.bench.actions.planning import plan_step
from commissions.bench.models import MetalLot, StepTemplate
from commissions.design import queries as designs
from commissions.pages.demo import photographs
from commissions.pages.demo.setting_out import Cast, on
from commissions.record.models import Commission
from commissions.sourcing import actions as sourcing
from commissions.sourcing.models import MeleeLot
from gemcalc.melee.lots import weight_of_count_ct
from studio.people.models import Person
from studio.pictures.actions import receive, render


def drawer_lot(cast: Cast, size: str) -> MeleeLot:
    """The lot of one size in the drawer, taken in at the beginning of the year."""
    name = f"{size} mm, January"
    found = MeleeLot.objects.filter(name=name).first()
    if found:
        return found
    with on("2026-01-08", "11:00"):
        return sourcing.open_lot(
            name=name,
            size_hmm=round(100 * float(size)),
            count=300,
            weight_mct=round(1000 * weight_of_count_ct(count=300, diameter_mm=float(size))[0]),
            origin="natural",
            person=cast.owner,
            supplier="Halvorsen Stones (invented)",
            cost_minor=round(300 * 640 * (float(size) / 1.3) ** 2),
            currency="GBP",
            screening="ours",
            screening_words="Every stone, on our own instrument (invented)",
        )


class AtBench:
    """The part of a story that happens at the bench; mixed into the teller."""

    cast: Cast
    commission: Commission
    photos: int

    def begin(self, *, day: str, template: str = "Cast halo ring") -> None:
        """Lay the steps and begin at the bench."""
        with on(day, "08:45"):
            self.commission.refresh_from_db()
            bench.begin(
                commission=self.commission,
                template=StepTemplate.objects.get(name=template),
                person=self.cast.owner,
            )
            self.commission.refresh_from_db()

    def step(self, *, day: str, person: Person | None = None, start_only: bool = False) -> None:
        """The current step, started and (unless *start_only*) done."""
        person = person or self.cast.jeweller
        step = bench_queries.current_step(commission=self.commission)
        with on(day, "09:00"):
            bench.start_step(commission=self.commission, step=step, person=person)
        if not start_only:
            with on(day, "14:00"):
                step.refresh_from_db()
                bench.finish_step(commission=self.commission, step=step, person=person)
                self.commission.refresh_from_db()

    def sends_out(self, *, day: str, supplier: str, words: str, due: str, mg: int):
        """The current step's work leaves the house."""
        step = bench_queries.current_step(commission=self.commission)
        with on(day, "09:20"):
            return bench.send_out(
                commission=self.commission,
                task=step.supplier_task,
                supplier=supplier,
                words=words,
                due_on=datetime.date.fromisoformat(due),
                person=self.cast.jeweller,
                sent_mg=mg,
            )

    def plan(self, *, day: str, due: str) -> None:
        """The current step gets its day."""
        with on(day, "08:50"):
            plan_step(
                step=bench_queries.current_step(commission=self.commission),
                due_on=datetime.date.fromisoformat(due),
                person=self.cast.owner,
            )

    def weigh(self, *, kind: str, mg: int, day: str) -> None:
        """Something on the scale."""
        with on(day, "13:00"):
            bench.weigh(
                commission=self.commission,
                step=bench_queries.current_step(commission=self.commission),
                kind=kind,
                gross_mg=mg,
                tare_mg=0,
                scale="bench 2",
                person=self.cast.jeweller,
                sure=True,
            )

    def metal(self, *, lot: MetalLot, kind: str, mg: int, day: str) -> None:
        """Metal changes hands."""
        with on(day, "09:10"):
            bench.move_metal(
                lot=lot,
                kind=kind,
                mg=mg,
                person=self.cast.jeweller,
                commission=self.commission,
                scale="bench 2",
            )

    def issues(self, *, day: str, spare: int = 2) -> None:
        """The halo's stones come out of the drawer, by count and weight, with some to spare."""
        for size, number in bench_queries.needed(commission=self.commission).items():
            lot = drawer_lot(self.cast, size)
            count = number + spare
            with on(day, "16:40"):
                sourcing.move_lot(
                    lot=lot,
                    kind="issue",
                    count=count,
                    weight_mct=round(1000 * weight_of_count_ct(count=count, diameter_mm=float(size))[0]),
                    person=self.cast.jeweller,
                    commission=self.commission,
                    holder=str(self.cast.setter),
                )

    def count(self, *, day: str, returned: int = 0, broken: int = 0) -> None:
        """The stones counted: what the sheet needs is set, the rest came back or broke."""
        lines = [
            {
                "lot": row.lot.pk,
                "set": row.issued - returned - broken,
                "returned": returned,
                "returned_mct": round(returned * row.issued_mct / row.issued),
                "broken": broken,
                "broken_mct": round(broken * row.issued_mct / row.issued * 0.8),
                "lost": 0,
            }
            for row in bench_queries.issued_lots(commission=self.commission)
        ]
        sums = {name: sum(line[name] for line in lines) for name in ("set", "returned", "broken", "lost")}
        with on(day, "13:30"):
            bench.count_stones(
                commission=self.commission,
                step=bench_queries.current_step(commission=self.commission),
                person=self.cast.setter,
                issued=sum(sums.values()),
                lines=lines,
                **sums,
            )

    def photograph(
        self,
        *,
        day: str,
        caption: str,
        metal: str = "white",
        halo_set: bool = True,
        centre_set: bool = True,
        scale: str = "Shown about 8×",
        shot: str = "",
        release: bool = True,
        grams: str = "",
        person: Person | None = None,
    ):
        """A bench picture drawn from this ring's own halo, released unless it is held back."""
        revision = designs.agreed(commission=self.commission)
        seed = sum(map(ord, self.commission.reference)) + self.photos
        self.photos += 1
        body = (
            photographs.on_scale(grams=grams, words=caption, seed=seed)
            if grams
            else photographs.face_up(
                parameters=revision.parameters,
                layout=revision.outputs["layout"],
                metal=metal,
                seed=seed,
                centre_set=centre_set,
                halo_set=halo_set,
            )
        )
        with on(day, "15:30"):
            picture = receive(
                upload=SimpleUploadedFile(
                    "bench.jpg", io.BytesIO(body).getvalue(), content_type="image/jpeg"
                ),
                kind="bench",
                person_words=str(person or self.cast.jeweller),
            )
            photo = bench.add_photo(
                commission=self.commission,
                picture=picture,
                step=bench_queries.current_step(commission=self.commission),
                person=person or self.cast.jeweller,
                shot=shot,
                caption=caption,
                scale=scale,
            )
        render(pk=picture.pk)
        photo.refresh_from_db()
        if release:
            with on(day, "16:00"):
                bench.release_photo(photo=photo, background_checked=True, person=self.cast.owner)
        return photo

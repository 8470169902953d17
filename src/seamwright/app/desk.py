"""The jobs of a shop and what is being worked out for them: what the screens stand on."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace

from seamwright.app.background import Bench, Stage, Work
from seamwright.app.boards_in_papers import OnHand, boards_in_papers
from seamwright.app.drawings import drawing_of, remember
from seamwright.app.handing_out import boards_told, sound_sheet
from seamwright.app.planning import PlanReport, plan
from seamwright.app.questions import Questions
from seamwright.app.replanning import Drafts
from seamwright.app.shop_text import woods_only, woods_part
from seamwright.app.soundings import Soundings, own_woods_in
from seamwright.app.yard import Yard
from seamwright.design import Drawing, demo, write
from seamwright.design.write import quoted
from seamwright.errors import DesignError, Fault, LengthError
from seamwright.lengths import Unit, parse_length
from seamwright.papers import Handout, Page, Part, write_set
from seamwright.pictures import Ruler
from seamwright.plan import (
    Shop,
    default_shop,
    read_gluing,
    read_money,
    read_shop,
    shop_values,
)
from seamwright.planner import Prefer
from seamwright.rack import RackError
from seamwright.store import Job, Store, choose_way, chosen_way

PLAN_SECONDS = 12.0
"""Time for the exact choice while somebody is drawing [s]."""

Change = Callable[[Drawing], Drawing]


class Desk:
    """A store, and places to work in: for plans, for papers, and for whether boards hold."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._plans = Bench()
        self._papers = Bench()
        self.yard = Yard(store)
        self.soundings = Soundings(store)
        self.questions = Questions(store)

    def close(self) -> None:
        """Stop all work and let go of the store."""
        self._plans.close()
        self._papers.close()
        self.yard.close()
        self.soundings.close()
        self.questions.close()
        self.store.close()

    def welcome(self) -> None:
        """Lay the demo job on an empty shelf."""
        if self.store.empty():
            self.begin(demo(), said="The demo board")

    def begin(self, text: str, *, said: str) -> Job:
        """Start a job from a design file.

        Raises:
            DesignError: anything in it is wrong.
        """
        drawing = drawing_of(text)
        return self.store.add(title=drawing.title, design=text, said=said)

    def edit(self, id: str, change: Change, *, said: str, after: int) -> Job:
        """Change a job's drawing and keep it at once.

        Args:
            id: the job.
            change: gives the new drawing.
            said: what was done, for the history.
            after: number of the edit that was on the screen.
        Raises:
            StoreError: no such job, or it was changed elsewhere meanwhile.
            DesignError: the new drawing breaks a rule; nothing is kept then.
        """
        drawing = change(drawing_of(self.store.job(id).design))
        text = write(drawing)
        remember(text, drawing)
        return self.store.save(id, title=drawing.title, design=text, said=said, after=after)

    def replace_text(self, id: str, text: str, *, after: int) -> Job:
        """Take over a design file as typed.

        Raises:
            DesignError: anything in it is wrong; nothing is kept then.
        """
        drawing = drawing_of(text)
        return self.store.save(
            id, title=drawing.title, design=text, said="Changed the design file", after=after
        )

    def duplicate(self, id: str) -> Job:
        """A copy that can be changed without touching the original."""
        job = self.store.job(id)
        return self.store.duplicate(id, title=job.title, design=job.design)

    def shop(self) -> Shop:
        """The shop as the user has set it."""
        text = self.store.shop_profile()
        return read_shop(text) if text else default_shop()

    def shop_typed(self) -> dict[str, str]:
        """Every value of the shop as it stands, as text, by its name."""
        text = self.store.shop_profile()
        money = read_money(text)
        told = {name: f"{value:g}" for name, value in shop_values(text).items()}
        return told | {
            "maker.name": money.name,
            "maker.currency": money.currency,
            "maker.margin": money.margin,
        }

    def set_shop(self, values: dict[str, str], *, woods: str | None = None) -> None:
        """Keep the shop's values, by their names such as ``saws.table_kerf``.

        Args:
            values: as typed, by name.
            woods: the user's own woods as they stand in a shop file; None leaves them as they are.

        Raises:
            ShopError: a value cannot be; nothing is kept then.
        """
        tables: dict[str, list[str]] = {}
        for name, value in values.items():
            section, _, key = name.partition(".")
            typed = quoted(value.strip()) if section == "maker" else _value(value)
            tables.setdefault(section, []).append(f"{key} = {typed}")
        text = "\n".join(
            line for section, lines in tables.items() for line in (f"[{section}]", *lines, "")
        )
        own = self.woods_text() if woods is None else woods_only(woods)
        text = f"{text}\n{own}"
        read_shop(text)
        self.store.save_shop_profile(text)

    def woods_text(self) -> str:
        """The user's own woods as they stand in the shop's profile."""
        return woods_part(self._profile())

    def start_plan(self, job: Job) -> Work:
        """Begin planning a job as it stands, unless that is done or under way."""
        return self._plans.start(
            self._plan_key(job), plan_text, job.design, self._profile(), self.way(job).value
        )

    def plan_work(self, job: Job) -> Work | None:
        """How far the plan of a job as it stands is; None where it was not asked for."""
        return self._plans.state(self._plan_key(job))

    def stop_plan(self, job: Job) -> None:
        """Stop planning a job."""
        self._plans.cancel(self._plan_key(job))

    def report(self, job: Job) -> PlanReport | None:
        """The plan of a job as it stands, where it is ready."""
        work = self.plan_work(job)
        if work is None or work.stage is not Stage.DONE:
            return None
        result: PlanReport = work.result
        return result

    def start_papers(self, job: Job, *, parts: frozenset[Part], page: Page, unit: Unit) -> Work:
        """Begin printing; the plan must be ready.

        Raises:
            LookupError: it is not.
        """
        report = self.report(job)
        if report is None:
            raise LookupError("no plan is ready")
        key = self._papers_key(job, parts, page, unit)
        on_hand = self.yard.on_hand(job) if Part.BOARDS in parts else None
        return self._papers.start(key, print_set, report, parts, page, unit, on_hand)

    def papers_work(
        self, job: Job, *, parts: frozenset[Part], page: Page, unit: Unit
    ) -> Work | None:
        """How far the papers of a job are."""
        return self._papers.state(self._papers_key(job, parts, page, unit))

    def stop_papers(self, job: Job, *, parts: frozenset[Part], page: Page, unit: Unit) -> None:
        """Stop printing."""
        self._papers.cancel(self._papers_key(job, parts, page, unit))

    def _profile(self) -> str:
        return self.store.shop_profile()

    def _plan_key(self, job: Job) -> str:
        told = f"{job.design}\0{self._profile()}\0{self.way(job).value}"
        return hashlib.sha256(told.encode()).hexdigest()

    def way(self, job: Job) -> Prefer:
        """What matters most for a job; the cheapest where nothing we know was chosen."""
        chosen = chosen_way(self.store, job.id)
        return Prefer(chosen) if chosen in {each.value for each in Prefer} else Prefer.CHEAPEST

    def choose(self, job: Job, prefer: str) -> None:
        """Plan a job another way from now on, by its name.

        Raises:
            DesignError: no way has that name.
        """
        if prefer not in {each.value for each in Prefer}:
            raise DesignError(Fault("A901", "the change", "was not understood"))
        choose_way(self.store, job.id, "" if prefer == Prefer.CHEAPEST.value else prefer)

    def _papers_key(self, job: Job, parts: frozenset[Part], page: Page, unit: Unit) -> str:
        chosen = ",".join(sorted(part.value for part in parts))
        boards = ""
        if Part.BOARDS in parts:
            boards = hashlib.sha256(repr(self.yard.on_hand(job)).encode()).hexdigest()
        return f"{self._plan_key(job)} {chosen} {page.value} {unit.value} {boards}"


_DRAFTS = Drafts()
"""What the process that plans remembers from one edit to the next."""


def plan_text(
    text: str,
    profile: str,
    way: str,
    *,
    early: Callable[[PlanReport], None],
    progress: Callable[[float, str], None],
    cancelled: Callable[[], bool],
) -> PlanReport:
    """Plan the board of a design file in the shop of a shop file; runs in a process of its own.

    Args:
        text, profile: the files; an empty profile is the default shop.
        way: what matters most, by its name.
        early: told a first plan, where the cheapest is looked for.
        progress, cancelled: as in ``plan``.
    """
    shop = read_shop(profile) if profile else default_shop()
    drawing, prefer, own = drawing_of(text), Prefer(way), own_woods_in(profile)
    if prefer is not Prefer.CHEAPEST:
        report = plan(
            drawing,
            shop,
            prefer=prefer,
            seconds=PLAN_SECONDS,
            own=own,
            progress=progress,
            cancelled=cancelled,
        )
        return replace(report, gluing=read_gluing(profile))
    report = _DRAFTS.replan(
        drawing,
        shop,
        seconds=PLAN_SECONDS,
        own=own,
        early=early,
        progress=progress,
        cancelled=cancelled,
    )
    return replace(report, gluing=read_gluing(profile))


def print_set(
    report: PlanReport,
    parts: frozenset[Part],
    page: Page,
    unit: Unit,
    on_hand: OnHand | None,
    *,
    progress: Callable[[float, str], None],
    cancelled: Callable[[], bool],
) -> tuple[Handout, ...]:
    """Make papers; runs in a process of its own.

    Where no cut plan can be made from the boards on hand, theirs are left out: the page of the
    wood says why.
    """
    boards = None
    if on_hand is not None:
        with suppress(RackError):
            boards = boards_in_papers(report, on_hand, progress=progress, cancelled=cancelled)
    sheet = sound_sheet(report, parts, None, progress=progress, cancelled=cancelled)
    return tuple(
        write_set(
            report.plan,
            report.drawing,
            shelf=report.shelf,
            page=page,
            ruler=Ruler(unit=unit),
            parts=parts,
            own=report.own,
            gluing=report.gluing,
            sound=sheet,
            boards=boards_told(boards) if boards else None,
            progress=progress,
            cancelled=cancelled,
        )
    )


def _value(typed: str) -> str:
    """A value of the shop as TOML: a number, a length made millimetres, or the text, to be refused.

    >>> _value(" 3.2 "), _value('1/8"'), _value("thin")
    ('3.2', '3.175', '"thin"')
    """
    with suppress(LengthError):
        return f"{float(parse_length(typed, unit=Unit.MM)):.12g}"
    return quoted(typed.strip()[:40])

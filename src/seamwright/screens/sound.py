"""Will it hold, will it move, is it safe: verdicts that light their places, pictures, sliders."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from seamwright.app.background import Stage, Work
from seamwright.app.desk import Desk
from seamwright.app.drawings import drawing_of
from seamwright.app.situation import FINISHES, RINGS, USES, USUAL_SEASONS
from seamwright.app.sound_view import (
    pictures_view,
    sums_view,
    through_view,
    verdicts_view,
    woods_view,
    worst_words,
)
from seamwright.app.sounding import SoundReport
from seamwright.app.soundings import Asked, glance_text
from seamwright.app.wood_words import find_woods
from seamwright.errors import SeamwrightError
from seamwright.screens.rendering import desk_of, faults_of, page
from seamwright.store import Job
from seamwright.strength import BUILT_PCT, usual_loads
from seamwright.woods import climates

_BRIEF = 3
_SEASONS = (
    ("dry", "Dry season", USUAL_SEASONS[0], 10, 60),
    ("damp", "Damp season", USUAL_SEASONS[1], 30, 95),
)
_OWN_AIR = "own"


def sound_page(request: Request) -> Response:
    """The page; what the grain tells comes with the first answer to its script."""
    desk = desk_of(request)
    job = desk.store.job(request.path_params["id"])
    desk.start_plan(job)
    drawing = drawing_of(job.design)
    used = {patch.wood for patch in drawing.patches}
    return page(
        request, "sound.html", job=job, tab="sound",
        seasons=_SEASONS, climates=climates(), own_air=_OWN_AIR, built_pct=BUILT_PCT,
        loads=usual_loads(drawing), drawn_in=drawing.unit.value,
        uses=USES, finishes=FINISHES, rings=list(RINGS),
        woods=[(letter, name) for letter, name in drawing.woods if letter in used],
        known_woods=[wood.name for wood in find_woods(own=desk.soundings.own_woods())],
    )  # fmt: skip


def sound_state(request: Request) -> Response:
    """How far it is: what is known at once, then everything."""
    desk = desk_of(request)
    job = desk.store.job(request.path_params["id"])
    query = request.query_params
    try:
        asked = _asked(query)
        work = desk.soundings.start(job, asked) if "go" in query else None
        work = desk.soundings.work(job, asked) or work
        said = _state(desk, job, asked, work, first="first" in query, brief="brief" in query)
    except SeamwrightError as error:
        said = {"stage": "refused", "faults": [fault["text"] for fault in faults_of(error)]}
    return JSONResponse({"at_edit": job.at_edit, **said})


async def sound_stop(request: Request) -> Response:
    """Stop reckoning."""
    desk = desk_of(request)
    job = await run_in_threadpool(desk.store.job, request.path_params["id"])
    desk.soundings.stop(job, _asked(request.query_params))
    return JSONResponse({"stage": "stopped"})


def sound_woods(request: Request) -> Response:
    """Woods side by side."""
    own = desk_of(request).soundings.own_woods()
    try:
        names = tuple(request.query_params.getlist("name"))[:8]
        return JSONResponse({"faults": [], **woods_view(names, own)})
    except SeamwrightError as error:
        return JSONResponse({"faults": [fault["text"] for fault in faults_of(error)]})


def _state(
    desk: Desk, job: Job, asked: Asked, work: Work | None, *, first: bool, brief: bool
) -> dict[str, object]:
    stage = work.stage.value if work else "none"
    said: dict[str, object] = {"stage": stage, "faults": []}
    if work is not None:
        said |= {"share": work.share, "doing": work.doing}
        said["faults"] = [str(fault) for fault in work.faults]
    report: SoundReport | None = None
    if work is not None and work.stage is Stage.DONE:
        report = work.result
    elif first:
        report = glance_text(job.design, desk.store.shop_profile(), asked)
    if report is None:
        return said
    said["faults"] = [str(fault) for fault in report.faults]
    if brief:
        return {**said, "through": through_view(report), "top": worst_words(report, _BRIEF)}
    plan = desk.plan_work(job)
    return said | {
        "situation": report.situation.words,
        "verdicts": verdicts_view(report, desk.report(job)),
        "planned": plan is None or plan.stage is not Stage.RUNNING,
        "pictures": pictures_view(report, desk.soundings.own_woods()),
        "sums": sums_view(report),
    }


def _asked(query: Mapping[str, str]) -> Asked:
    """What the sliders and choices say; what is odd is left at its usual value."""
    seasons, airs = [], []
    for name, _, usual, _, _ in _SEASONS:
        chosen = query.get(name, usual)
        if chosen == _OWN_AIR:
            airs.append(f"{query.get(f'{name}_t', '')[:8]},{query.get(f'{name}_h', '')[:8]}")
        else:
            seasons.append(chosen)
    built = BUILT_PCT
    with suppress(ValueError):
        built = float(query.get("built", BUILT_PCT))
    kind, force = query.get("load", ""), query.get("force", "")
    place = [query.get(name, "").strip()[:12] for name in ("from_left", "from_below")]
    at = f"@{','.join(place)}" if any(place) else ""
    letters = {name.partition("-")[2] for name in query if name.startswith(("ring-", "wood-"))}
    return Asked(
        seasons=tuple(seasons),
        airs=tuple(airs),
        built_pct=built,
        loads=(f"{kind}={force[:12]}{at}",) if kind else (),
        use=query["use"] if query.get("use", "") in USES else None,
        finish=query["finish"] if query.get("finish", "") in FINISHES else "none",
        rings=tuple(
            f"{letter}={query[f'ring-{letter}']}"
            for letter in sorted(letters)
            if query.get(f"ring-{letter}", "flat") != "flat"
        ),
        swaps=tuple(
            (letter, query[f"wood-{letter}"].strip()[:80])
            for letter in sorted(letters)
            if query.get(f"wood-{letter}", "").strip()
        ),
    )


ROUTES = [
    Route("/jobs/{id}/sound", sound_page),
    Route("/jobs/{id}/sound/state", sound_state),
    Route("/jobs/{id}/sound/woods", sound_woods),
    Route("/jobs/{id}/sound/stop", sound_stop, methods=["POST"]),
]

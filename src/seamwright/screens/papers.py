"""The papers: choose them, wait for them, look at them, take them away."""

from __future__ import annotations

import io
import zipfile
from dataclasses import dataclass
from urllib.parse import urlencode

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from seamwright.app.background import Stage, Work
from seamwright.app.desk import Desk
from seamwright.app.drawings import drawing_of
from seamwright.app.handing_out import FOR_THE_BENCH
from seamwright.app.previewing import page_count, page_png
from seamwright.lengths import Unit
from seamwright.papers import Handout, Page, Part
from seamwright.screens.rendering import desk_of, page, unit_of
from seamwright.store import Job

_ABOUT = {
    Part.SHEETS: ("Bench sheets", "A card for every step, with drawings, settings and cautions"),
    Part.SOUNDNESS: ("Will it hold", "Verdicts, the board moved, small parts step by step"),
    Part.TEMPLATES: ("Templates", "Full-size outlines for jigs and angles"),
    Part.LABELS: ("Labels", "One for every part, with its code"),
    Part.LISTS: ("Lists", "Sticks and cuts as tables (CSV)"),
    Part.BOARDS: ("Boards to cut", "Every board with its cuts in order, flaws, and what goes back"),
    Part.DRAWING: ("Drawing", "The board at full size (SVG, DXF)"),
    Part.EXPLODED: ("Pulled apart", "Every glue-up with its parts moved apart (SVG)"),
    Part.MODELS: ("Models", "Every glue-up in three dimensions (GLB)"),
    Part.WOOD: ("Wood pictures", "The board in its woods, new and after five years (PNG)"),
    Part.CHECKS: ("Checks of settings", "Square, 45°, 22.5°, kerf and stop, with room to write"),
}
_KINDS = {
    "pdf": "application/pdf", "csv": "text/csv; charset=utf-8", "svg": "image/svg+xml",
    "dxf": "application/dxf", "glb": "model/gltf-binary", "png": "image/png",
    "txt": "text/plain; charset=utf-8",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    job: Job
    parts: frozenset[Part]
    page: Page
    unit: Unit

    def work(self, desk: Desk) -> Work | None:
        return desk.papers_work(self.job, parts=self.parts, page=self.page, unit=self.unit)


def papers_page(request: Request) -> Response:
    """What can be printed, and what has been."""
    desk, asked = desk_of(request), _asked(request)
    desk.start_plan(asked.job)
    if desk.report(asked.job) is None:
        return page(request, "waiting.html", job=asked.job, tab="papers")
    serves = desk.yard.on_hand(asked.job).serves(drawing_of(asked.job.design))
    work = asked.work(desk)
    done = work is not None and work.stage is Stage.DONE
    files: tuple[Handout, ...] = work.result if work is not None and done else ()
    return page(
        request, "papers.html", job=asked.job, tab="papers",
        parts=[(part, *_ABOUT[part], part in asked.parts) for part in Part
               if part is not Part.BOARDS or serves],
        pages=list(Page), chosen=asked.page, work=work, done=done,
        files=[(_ABOUT[part][0], [f for f in files if f.part is part]) for part in Part],
        look=_look(request, files), query=_query(request), refused=work.faults if work else (),
    )  # fmt: skip


def _look(request: Request, files: tuple[Handout, ...]) -> dict[str, object] | None:
    """The page of a PDF that is looked at."""
    name, typed = request.query_params.get("look", ""), request.query_params.get("at", "1")
    found = next((file for file in files if file.name == name), None)
    if found is None or not name.endswith(".pdf"):
        return None
    pages = page_count(found.data)
    number = min(max(int(typed) if typed.isdigit() and len(typed) < 6 else 1, 1), pages)
    return {"name": name, "at": number, "pages": pages}


def _query(request: Request) -> str:
    """The choice of papers, without the page looked at."""
    kept = [(k, v) for k, v in request.query_params.multi_items() if k not in {"look", "at"}]
    return urlencode(kept)


async def papers_deed(request: Request) -> Response:
    """Begin or stop printing."""
    desk, asked = desk_of(request), _asked(request)
    chosen = {"parts": asked.parts, "page": asked.page, "unit": asked.unit}
    if request.path_params["deed"] == "stop":
        desk.stop_papers(asked.job, **chosen)  # type: ignore[arg-type]
    elif desk.report(asked.job) is not None:
        desk.start_papers(asked.job, **chosen)  # type: ignore[arg-type]
    back = f"/jobs/{asked.job.id}/papers?{request.url.query}"
    return RedirectResponse(back, status_code=303)


def papers_state(request: Request) -> Response:
    """How far the printing is."""
    work = _asked(request).work(desk_of(request))
    if work is None:
        return JSONResponse({"stage": "none"})
    return JSONResponse({"stage": work.stage.value, "share": work.share, "doing": work.doing})


def one_file(request: Request) -> Response:
    """One of the files, to look at or to keep."""
    name = request.path_params["name"]
    for file in _files(request):
        if file.name == name:
            kind = _KINDS.get(name.rsplit(".", 1)[-1], "application/octet-stream")
            how = "attachment" if "keep" in request.query_params else "inline"
            return Response(
                file.data,
                media_type=kind,
                headers={"content-disposition": f'{how}; filename="{name}"'},
            )
    raise HTTPException(404)


def one_page(request: Request) -> Response:
    """A page of a PDF as a picture."""
    name, number = request.path_params["name"], request.path_params["number"]
    for file in _files(request):
        if file.name == name and name.endswith(".pdf"):
            try:
                return Response(page_png(file.data, number), media_type="image/png")
            except IndexError:
                break
    raise HTTPException(404)


def all_files(request: Request) -> Response:
    """All of them in one file."""
    files = _files(request)
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for file in files:
            archive.writestr(zipfile.ZipInfo(file.name), file.data)
    return Response(
        packed.getvalue(),
        media_type="application/zip",
        headers={"content-disposition": 'attachment; filename="papers.zip"'},
    )


def _files(request: Request) -> tuple[Handout, ...]:
    work = _asked(request).work(desk_of(request))
    if work is None or work.stage is not Stage.DONE:
        raise HTTPException(404)
    files: tuple[Handout, ...] = work.result
    return files


def _asked(request: Request) -> _Asked:
    """Which papers, from the address; what the bench needs where it says nothing."""
    job = desk_of(request).store.job(request.path_params["id"])
    query = request.query_params
    known = {part.value: part for part in Part}
    parts = frozenset(known[name] for name in query.getlist("part") if name in known)
    pages = {each.value: each for each in Page}
    return _Asked(
        job=job,
        parts=parts or FOR_THE_BENCH,
        page=pages.get(query.get("page", ""), Page.LETTER),
        unit=unit_of(request, drawing_of(job.design)),
    )


ROUTES = [
    Route("/jobs/{id}/papers", papers_page),
    Route("/jobs/{id}/papers/do/{deed:str}", papers_deed, methods=["POST"]),
    Route("/jobs/{id}/papers/state", papers_state),
    Route("/jobs/{id}/papers/file/{name:str}", one_file),
    Route("/jobs/{id}/papers/page/{name:str}/{number:int}.png", one_page),
    Route("/jobs/{id}/papers/all.zip", all_files),
]

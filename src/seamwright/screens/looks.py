"""The looks of a board: the board as wood, in light and dark, and as others see its colours."""

from __future__ import annotations

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from seamwright.app.drawings import drawing_of
from seamwright.app.wood_view import pair_words, pairs, seen_svg, value_svg, wood_jpeg
from seamwright.pictures.timber import Age
from seamwright.pictures.values import Sight
from seamwright.screens.rendering import desk_of, page, ruler_of

_AGES = {"new": Age.NEW, "aged": Age.FIVE_YEARS}


def looks_page(request: Request) -> Response:
    """All looks of a board."""
    job = desk_of(request).store.job(request.path_params["id"])
    drawing = drawing_of(job.design)
    ruler = ruler_of(request, drawing)
    met = pairs(drawing)
    return page(
        request, "looks.html", job=job, tab="looks",
        values=value_svg(job.design),
        sights=[(sight.value, seen_svg(job.design, sight)) for sight in Sight],
        pairs=[(pair_words(pair, ruler), pair.close or bool(pair.mixed_up)) for pair in met],
        close=[pair.woods for pair in met if pair.close],
    )  # fmt: skip


def wood_picture(request: Request) -> Response:
    """The picture in wood; the address holds the edit, so it may be kept by the browser."""
    job = desk_of(request).store.job(request.path_params["id"])
    age = _AGES.get(request.path_params["age"])
    if age is None:
        raise HTTPException(404)
    return Response(
        wood_jpeg(job.design, age),
        media_type="image/jpeg",
        headers={"cache-control": "private, max-age=3600"},
    )


ROUTES = [
    Route("/jobs/{id}/looks", looks_page),
    Route("/jobs/{id}/looks/{edit:int}/{age:str}.jpg", wood_picture),
]

"""The addresses of the desk: pages, answers, and the files that a page loads."""

from __future__ import annotations

import functools
import hashlib
import threading
from collections.abc import Callable
from dataclasses import dataclass
from http import HTTPStatus
from importlib import resources

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp

from tablegen.answers.case import SolvedStates, sharing
from tablegen.errors import RequestError, TablegenError
from tablegen.report.html.answer_page import ANSWER_STYLE
from tablegen.web.desk_page import JOBS, DeskPage, answer_part, problem_part
from tablegen.web.error_lines import lines_of, logged_line
from tablegen.web.guard import Access, Guard
from tablegen.web.job_list_page import answered_list, form_part, refused_list, uploaded
from tablegen.web.questions import QUESTIONS, Desk, DeskQuestion
from tablegen.wording import desk as wording

_FOREVER = "public, max-age=31536000, immutable"
_FACES = ("SourceSansPro-Regular.ttf", "SourceSansPro-Semibold.ttf")
# One answer after the other: the interpreter computes no two at a time, and what reads configs and properties was not
# made for it.
_ANSWERING = threading.Lock()
# So that a load is answered as it is typed.
_STATES = SolvedStates(32)


@dataclass(frozen=True, slots=True)
class _PageFile:
    """A file that pages load: what it is, and its bytes."""

    kind: str
    content: bytes


def desk_site(desk: Desk, access: Access) -> ASGIApp:
    """All that a desk answers, guarded."""
    files = _page_files()
    addresses = {name: f"/files/{name}?{hashlib.sha256(own.content).hexdigest()[:12]}" for name, own in files.items()}
    page = DeskPage(desk, addresses)

    def file(request: Request) -> Response:
        own = files.get(request.path_params["name"])
        if own is None:
            raise HTTPException(HTTPStatus.NOT_FOUND)
        return Response(own.content, media_type=own.kind, headers={"Cache-Control": _FOREVER})

    routes = [
        Route("/", lambda request: RedirectResponse("/pick", HTTPStatus.SEE_OTHER)),
        Route("/files/{name}", file),
        *(Route(f"/{name}", _page_of(page, own)) for name, own in QUESTIONS.items()),
        Route(f"/{JOBS}", lambda request: _whole_page(desk, lambda: page.other(JOBS, form_part()))),
        Route(f"/answer/{JOBS}", _list_answer_of(desk), methods=["POST"]),
        *(Route(f"/answer/{name}", _answer_of(desk, own)) for name, own in QUESTIONS.items()),
    ]
    site = Starlette(routes=routes, exception_handlers={HTTPException: _no_page})
    return Guard(site, access)


def _answer_of(desk: Desk, question: DeskQuestion) -> Callable[[Request], object]:
    """What answers the fields of a question with a part of its page."""

    async def answer(request: Request) -> Response:
        status, shown = await run_in_threadpool(shown_answer, desk, question, dict(request.query_params))
        return HTMLResponse(shown, status)

    return answer


def _page_of(page: DeskPage, question: DeskQuestion) -> Callable[[Request], object]:
    """What answers with a page whose fields are filled in as its address says."""

    def whole(values: dict[str, str]) -> Response:
        status, shown = shown_answer(page.desk, question, values)
        return _whole_page(page.desk, lambda: page.question(question, values, shown), status)

    async def answer(request: Request) -> Response:
        return await run_in_threadpool(whole, dict(request.query_params))

    return answer


def _whole_page(desk: Desk, make: Callable[[], str], status: int = HTTPStatus.OK) -> Response:
    """A page, or the lines that say why the catalogue gives none."""
    try:
        with _ANSWERING:
            return HTMLResponse(make(), status)
    except TablegenError as error:
        return PlainTextResponse("\n".join(lines_of(error, desk)) + "\n", HTTPStatus.UNPROCESSABLE_ENTITY)


def _list_answer_of(desk: Desk) -> Callable[[Request], object]:
    """What answers the jobs of a file that is sent."""

    async def answer(request: Request) -> Response:
        try:
            name, content = await uploaded(request)
        except RequestError as error:
            found = refused_list(error)
        else:
            found = await run_in_threadpool(answered_list, desk, name, content)
        return JSONResponse(found.as_json(), found.status)

    return answer


def shown_answer(desk: Desk, question: DeskQuestion, values: dict[str, str]) -> tuple[int, str]:
    """The status of an answer, and what a page shows of it: one line for each thing that is wrong.

    An error that nobody foresaw is logged, and shown by its kind alone.
    """
    try:
        with _ANSWERING, sharing(_STATES):
            return HTTPStatus.OK, answer_part(desk.ask(question, values))
    except TablegenError as error:
        return HTTPStatus.UNPROCESSABLE_ENTITY, problem_part(lines_of(error, desk))
    except Exception as error:
        return HTTPStatus.INTERNAL_SERVER_ERROR, problem_part([logged_line(error)])


def warm_up(desk: Desk) -> None:
    """Give an answer to each question that needs more than the catalogue, so that the next comes at once."""
    catalogue = desk.catalogue
    own = catalogue.combinations[0] if catalogue.combinations else None
    if own is None:
        return
    case = {
        "refrigerant": catalogue.groups[own.group].members[0],
        "family": own.family,
        "size": catalogue.families[own.family].sizes[0].name,
        "application": own.application,
        "sst": f"{catalogue.applications[own.application].example_sst_k:.6f} K",
        "load": "10 kW",
    }
    for question in QUESTIONS.values():
        shown_answer(desk, question, {name: value for name, value in case.items() if name in question.names})


def _no_page(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else HTTPStatus.NOT_FOUND
    return PlainTextResponse(wording.NO_PAGE() + "\n", status)


@functools.cache
def _page_files() -> dict[str, _PageFile]:
    """The files of the pages by name."""
    own = resources.files("tablegen.web") / "page"
    faces = resources.files("tablegen.report.pdf") / "fonts"
    return {
        "desk.css": _PageFile("text/css", (own / "desk.css").read_bytes()),
        "answer.css": _PageFile("text/css", ANSWER_STYLE.encode()),
        "desk.js": _PageFile("text/javascript", (own / "desk.js").read_bytes()),
        **{face: _PageFile("font/ttf", (faces / face).read_bytes()) for face in _FACES},
    }

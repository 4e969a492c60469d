"""The page for lists of jobs: a file goes in, its answers come back as a page and as a workbook; nothing is kept."""

from __future__ import annotations

import base64
import re
import threading
from dataclasses import dataclass
from html import escape
from http import HTTPStatus

from starlette.requests import Request

from tablegen.api._questions import PickQuestion
from tablegen.api.jobs import pick_job_file
from tablegen.errors import RequestError, TablegenError
from tablegen.report.html.answer_page import fragment
from tablegen.web.desk_page import problem_part
from tablegen.web.error_lines import lines_of, logged_line
from tablegen.web.questions import Desk
from tablegen.wording import desk as wording

MAX_BYTES = 5_000_000
_KINDS = (".csv", ".xlsx")
# A list takes the interpreter for seconds, in turns with single answers; several would leave these too few.
_ONE_LIST = threading.Lock()


@dataclass(frozen=True, slots=True)
class AnsweredList:
    """What became of a list: the status of the response, what the page shows, and the workbook with its name."""

    status: int
    shown: str
    workbook: bytes = b""
    name: str = ""

    def as_json(self) -> dict[str, str]:
        """What the page's script reads."""
        return {"shown": self.shown, "workbook": base64.b64encode(self.workbook).decode(), "name": self.name}


def form_part() -> str:
    """Where a file is dropped or chosen, and what becomes of it."""
    return (
        '<form id="jobs" data-ask="/answer/jobs"><div class="drop">'
        f'<label for="file">{escape(wording.JOBS_FILE())}</label>'
        f'<input type="file" id="file" accept="{",".join(_KINDS)}" aria-describedby="file-hint">'
        f'<p class="hint" id="file-hint">{escape(wording.JOBS_HINT())}</p></div>'
        f'<p class="buttons"><a id="workbook" class="button" hidden>{escape(wording.JOBS_WORKBOOK())}</a></p></form>'
    )


def answered_list(desk: Desk, name: str, content: bytes) -> AnsweredList:
    """The answers to a file's jobs; what cannot be answered is said line by line."""
    try:
        with _ONE_LIST:
            call = None if desk.stock is None else PickQuestion(stock=str(desk.stock))
            answer = pick_job_file(content, name, call=call, catalogue=desk.place, units=desk.units)
            assert answer.sheets is not None
            workbook = answer.sheets.workbook()
    except TablegenError as error:
        return AnsweredList(HTTPStatus.UNPROCESSABLE_ENTITY, problem_part(lines_of(error, desk)))
    except Exception as error:
        return AnsweredList(HTTPStatus.INTERNAL_SERVER_ERROR, problem_part([logged_line(error)]))
    stem = name.rpartition(".")[0]
    shown = problem_part(answer.problems) + fragment(answer)
    return AnsweredList(HTTPStatus.OK, shown, workbook, wording.JOBS_ANSWERED_NAME(name=stem))


def refused_list(error: RequestError) -> AnsweredList:
    """A file that is not even looked into."""
    return AnsweredList(HTTPStatus.UNPROCESSABLE_ENTITY, problem_part([str(error)]))


async def uploaded(request: Request) -> tuple[str, bytes]:
    """Name and content of the file in a request, which is read no further than a file may be large.

    Raises
    ------
    RequestError
        If it is larger, or has another ending.
    """
    name = re.split(r"[/\\]", request.query_params.get("name", ""))[-1][-80:]
    if not name.lower().endswith(_KINDS) or not name.isprintable():
        raise RequestError(wording.JOBS_KIND(name=repr(name)))
    content = bytearray()
    async for part in request.stream():
        content += part
        if len(content) > MAX_BYTES:
            raise RequestError(wording.JOBS_TOO_LARGE(name=name, maximum=MAX_BYTES // 1_000_000))
    return name, bytes(content)

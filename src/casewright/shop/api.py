"""The same log as JSON, for the page's outbox and for other programs; described by OpenAPI."""

from __future__ import annotations

import json
from typing import Any

from django.http import HttpRequest, JsonResponse
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET, require_http_methods

from casewright import __version__
from casewright.errors import CasewrightError, LogError
from casewright.job.entry import entry_from
from casewright.job.kinds import BODIES
from casewright.shop import desk


def _problem(status: int, error: CasewrightError | str, **more: Any) -> JsonResponse:
    fields = desk.errors_by_field(error) if isinstance(error, CasewrightError) else {}
    return JsonResponse({"problem": str(error), "fields": fields, **more}, status=status)


@csrf_exempt
@require_GET
def jobs(request: HttpRequest) -> JsonResponse:
    """Ids of the jobs."""
    return JsonResponse({"jobs": list(desk.store().jobs())})


@csrf_exempt
@require_GET
def job_state(request: HttpRequest, job: str) -> JsonResponse:
    """Where a job stands: head, count, conflicts, oddities."""
    try:
        opened = desk.open_job(job)
    except LogError as error:
        return _problem(404, error)
    state = opened.state
    return JsonResponse(
        {
            "job": job,
            "title": state.opened.body.title if state.opened else "",
            "head": state.head,
            "count": state.count,
            "conflicts": [list(conflict.entries) for conflict in state.conflicts],
            "oddities": list(state.oddities),
        }
    )


@csrf_exempt  # a JSON body with its content type can't be sent by another site's form
@require_http_methods(["GET", "POST"])
def entries(request: HttpRequest, job: str) -> JsonResponse:
    """GET: the log. POST: take one entry; the same entry sent twice is taken once."""
    if request.method == "GET":
        try:
            log = desk.open_job(job).log
        except LogError as error:
            return _problem(404, error)
        return JsonResponse({"entries": [json.loads(one.line()) for one in log.entries]})
    if request.content_type != "application/json":
        return _problem(415, "send the entry as application/json")
    try:
        plain = json.loads(request.body)
        if not isinstance(plain, dict):
            raise ValueError("an entry is a JSON object")
    except ValueError as error:
        return _problem(400, f"this isn't a JSON object: {error}")
    return _taken(job, plain)


def _taken(job: str, plain: dict[str, Any]) -> JsonResponse:
    if job not in desk.store().jobs():
        return _problem(404, f"there is no job {job!r} here; open it first")
    try:
        accepted, questions = desk.take(job, entry_from(plain))
    except CasewrightError as error:
        return _problem(422, error)
    if accepted is None:
        return _problem(409, "please confirm", questions=[q.because for q in questions])
    return JsonResponse(
        {"id": accepted.entry.id, "sequence": accepted.sequence, "hash": accepted.hash}, status=201
    )


@require_GET
def description(request: HttpRequest) -> JsonResponse:
    """OpenAPI of these addresses."""
    return JsonResponse(openapi())


def openapi() -> dict[str, Any]:
    """The description, with the schema of an entry."""
    job = {"name": "job", "in": "path", "required": True, "schema": {"type": "string"}}
    entry = {
        "type": "object",
        "required": ["id", "kind", "body", "who", "happened_at"],
        "properties": {
            "id": {"type": "string", "minLength": 8, "maxLength": 64},
            "kind": {"type": "string", "enum": sorted(BODIES)},
            "version": {"type": "integer"},
            "body": {"type": "object"},
            "who": {"type": "string"},
            "happened_at": {"type": "string", "format": "date-time"},
            "supersedes": {"type": ["string", "null"]},
            "seen": {"type": ["integer", "null"]},
        },
    }
    problem = {
        "description": "what is wrong, in words",
        "content": {
            "application/json": {
                "schema": {"type": "object", "required": ["problem"]},
            }
        },
    }
    found = {
        "description": "as asked",
        "content": {"application/json": {"schema": {"type": "object"}}},
    }
    answers = {"200": found, "404": problem}
    return {
        "openapi": "3.1.0",
        "info": {"title": "Casewright", "version": __version__},
        "paths": {
            "/api/jobs": {"get": {"responses": {"200": found}}},
            "/api/jobs/{job}": {"get": {"parameters": [job], "responses": answers}},
            "/api/jobs/{job}/entries": {
                "get": {"parameters": [job], "responses": answers},
                "post": {
                    "parameters": [job],
                    "requestBody": {
                        "required": True,
                        "content": {"application/json": {"schema": entry}},
                    },
                    "responses": {
                        "201": found,
                        "400": problem,
                        "404": problem,
                        "409": problem,
                        "415": problem,
                        "422": problem,
                    },
                },
            },
        },
    }

"""Every error as problem details (RFC 9457): one shape, one media type, all reasons at once."""

from __future__ import annotations

from http import HTTPStatus
from typing import Any

from django.core.exceptions import PermissionDenied, RequestDataTooBig, SuspiciousOperation
from django.core.exceptions import ValidationError as ModelValidationError
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.utils.encoding import iri_to_uri
from django.views.decorators.csrf import csrf_exempt
from django.views.defaults import server_error as server_error_page
from rest_framework import exceptions
from rest_framework.response import Response

from engineering.errors import OutOfRange
from jobs.errors import Refused, Stale

MEDIA_TYPE = "application/problem+json"
PROBLEMS_PATH = "/api/problems/"
PROBLEMS = {
    "refused": "A rule of the work stands in the way. `reasons` lists all of them.",
    "stale": "The row was changed since the version you sent. `current` is the row as it stands now.",
    "invalid": "The body, or a filter of the address, can't be used. `errors` lists each field and why.",
    "out-of-range": "A value outside what a formula, a table or a report allows: `field`, `value` and `allowed`.",
}
HIDDEN = "Nothing is kept at this address, or it is not yours to see."


def problem(name: str, status: int, detail: str, *, instance: str, **more: Any) -> dict[str, Any]:
    """The members of one problem; `name` is a key of PROBLEMS, or empty when the status says it all."""
    return {
        "type": f"{PROBLEMS_PATH}#{name}" if name else "about:blank",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail,
        "instance": iri_to_uri(instance),
        **more,
    }


def problem_response(exc: Exception, context: dict[str, Any]) -> Response | None:
    """DRF's exception handler. None (an error of ours) leaves it to the server's log and `server_error`."""
    instance = context["request"].path
    headers: dict[str, str] = {}
    if isinstance(exc, Stale):
        current = _row_as_served(exc, context)
        body = problem("stale", 409, str(exc), instance=instance, reasons=list(exc.reasons), current=current)
    elif isinstance(exc, Refused):
        body = problem("refused", 409, str(exc), instance=instance, reasons=list(exc.reasons))
    elif isinstance(exc, OutOfRange):
        body = out_of_range(exc, instance=instance)
    elif isinstance(exc, ModelValidationError):
        body = _invalid(_model_errors(exc), instance=instance)
    elif isinstance(exc, exceptions.ValidationError):
        body = _invalid(field_errors(exc.detail), instance=instance)
    elif isinstance(exc, Http404):
        body = problem("", 404, HIDDEN, instance=instance)
    elif isinstance(exc, PermissionDenied):
        body = problem("", 403, str(exc) or "Your roles do not allow this.", instance=instance)
    elif isinstance(exc, RequestDataTooBig):
        body = problem("", 413, "The body is larger than this server takes.", instance=instance)
    elif isinstance(exc, SuspiciousOperation):
        body = problem("", 400, "The request can't be read.", instance=instance)
    elif isinstance(exc, exceptions.APIException):
        body = problem("", exc.status_code, _plain(exc.detail), instance=instance)
        if challenge := getattr(exc, "auth_header", None):
            headers["WWW-Authenticate"] = challenge
    else:
        return None
    return Response(body, status=body["status"], headers=headers, content_type=MEDIA_TYPE)


def out_of_range(exc: OutOfRange, *, instance: str) -> dict[str, Any]:
    """The problem for a value that engineering refuses."""
    value = exc.value if isinstance(exc.value, str | int | float | bool | None) else repr(exc.value)
    if isinstance(value, float) and not abs(value) < float("inf"):
        value = str(value)  # JSON has no word for it
    return problem("out-of-range", 422, str(exc), instance=instance, field=exc.field, value=value, allowed=exc.allowed)


def field_errors(detail: Any, path: str = "") -> list[dict[str, str]]:
    """DRF's nested errors as a flat list of {field, message}; `field` is a dotted path, empty for the whole."""
    if isinstance(detail, dict):
        return [
            error
            for key, value in detail.items()
            for error in field_errors(value, path if key == "non_field_errors" else _join(path, key))
        ]
    if isinstance(detail, list):
        return [
            error
            for index, value in enumerate(detail)
            for error in field_errors(value, path if isinstance(value, str) else _join(path, index))
        ]
    return [{"field": path, "message": str(detail)}]


@csrf_exempt
def unknown_address(request: HttpRequest) -> HttpResponse:
    """Whatever stands under /api/ and is no route."""
    return _plain_response(problem("", 404, HIDDEN, instance=request.path))


def server_error(request: HttpRequest) -> HttpResponse:
    """Our own mistakes: a problem for the API, the usual page elsewhere. Says nothing of what went wrong inside."""
    if not request.path.startswith("/api/"):
        return server_error_page(request)
    return _plain_response(problem("", 500, "The server made a mistake; it has been logged.", instance=request.path))


def _plain_response(body: dict[str, Any]) -> JsonResponse:
    return JsonResponse(body, status=body["status"], content_type=MEDIA_TYPE)


def _invalid(errors: list[dict[str, str]], *, instance: str) -> dict[str, Any]:
    said = "; ".join(f"{e['field']}: {e['message']}" if e["field"] else e["message"] for e in errors)
    return problem("invalid", 400, said, instance=instance, errors=errors)


def _row_as_served(exc: Stale, context: dict[str, Any]) -> Any:
    view = context["view"]
    queryset = view.get_queryset()
    row = queryset.get(pk=exc.current.pk) if queryset.model is type(exc.current) else exc.current
    return view.get_serializer(row).data


def _model_errors(exc: ModelValidationError) -> list[dict[str, str]]:
    if hasattr(exc, "error_dict"):
        return [
            {"field": "" if field == "__all__" else field, "message": message}
            for field, messages in exc.message_dict.items()
            for message in messages
        ]
    return [{"field": "", "message": message} for message in exc.messages]


def _plain(detail: Any) -> str:
    if isinstance(detail, dict):
        return str(detail.get("detail", detail))
    return str(detail)


def _join(path: str, key: object) -> str:
    return f"{path}.{key}" if path else str(key)

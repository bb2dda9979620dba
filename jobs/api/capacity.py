"""The engineering questions of `manage.py capacity`, asked by POST."""

from __future__ import annotations

from typing import IO, Any

from django.http import Http404
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema
from rest_framework.exceptions import ParseError
from rest_framework.parsers import JSONParser
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from engineering import capacity, exchange
from engineering.errors import OutOfRange

KIND = OpenApiParameter("kind", str, OpenApiParameter.PATH, enum=sorted(capacity.KINDS))
ANY_OBJECT = {"type": "object", "additionalProperties": True}
ONE_OR_MANY = {"oneOf": [ANY_OBJECT, {"type": "array", "items": ANY_OBJECT}]}


class EngineeringJson(JSONParser):
    """JSON as the command line reads it: a key given twice, or a number that is none, is an error."""

    media_type = "application/json"

    def parse(self, stream: IO[bytes], media_type: str | None = None, parser_context: Any = None) -> Any:
        try:
            return exchange.parse(stream.read())
        except OutOfRange as why:
            raise ParseError(str(why)) from why


class CapacityView(APIView):
    """GET says what a question must hold, with units; POST answers one (an object) or many (a list)."""

    needs = {"get": "capacity.run", "post": "capacity.run"}
    parser_classes = [EngineeringJson]
    http_method_names = ["get", "head", "post"]

    @extend_schema(operation_id="capacity_schema", parameters=[KIND], responses={(200, "application/json"): ANY_OBJECT})
    def get(self, request: Request, kind: str) -> Response:
        """The JSON Schema of this kind of question; each property names its unit."""
        _require_known(kind)
        return Response(capacity.schema(kind))

    @extend_schema(
        operation_id="capacity_run",
        parameters=[KIND],
        request={"application/json": ONE_OR_MANY},
        responses={
            (200, "application/json"): ONE_OR_MANY,
            (422, "application/json"): OpenApiResponse({"type": "array", "items": ANY_OBJECT}, "Some items failed."),
        },
    )
    def post(self, request: Request, kind: str) -> Response:
        """Compute. A value that can't be used: 422 naming field, value and what is allowed; in a list each item has
        its own `result` or `error`, and one error makes the whole answer a 422."""
        _require_known(kind)
        output, ok = capacity.run(kind, request.data)
        if not ok and isinstance(output, dict):
            raise OutOfRange(**output["error"])
        return Response(output, status=200 if ok else 422)


def _require_known(kind: str) -> None:
    if kind not in capacity.KINDS:
        raise Http404

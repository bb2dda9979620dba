"""Jobs and their criteria sheets."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from jobs import as_built
from jobs.api import as_built as as_built_api
from jobs.api.serializers.designs import DesignDetailSerializer
from jobs.api.serializers.jobs import (
    CriteriaSheetSerializer,
    IssueDesignInput,
    JobSerializer,
    MoveJobInput,
    NewJobSerializer,
    SeenVersionInput,
)
from jobs.api.viewsets.base import CreatableViewSet, EditableViewSet
from jobs.models import CriteriaSheet, Job
from jobs.services import criteria, designs, jobs, stages


class JobViewSet(CreatableViewSet):
    """Jobs: one retrofit of one house."""

    queryset = Job.objects.select_related("house", "estimator", "assigned_engineer").prefetch_related("holds")
    serializer_class = JobSerializer
    needs = {
        "list": "job.view",
        "retrieve": "job.view",
        "create": "job.create",
        "partial_update": "job.edit",
        "move": "job.view",  # the edge asks for its own action
        "issue_design": "design.issue",
        "as_built": "as_built.view",
    }
    filterset_fields = {
        "number": ["exact"],
        "house": ["exact"],
        "stage": ["exact", "in"],
        "legal_basis": ["exact"],
        "estimator": ["exact"],
        "assigned_engineer": ["exact"],
        "waiting_for_due": ["lte"],
    }

    @extend_schema(request=NewJobSerializer, responses={201: JobSerializer})
    def create(self, request: Request) -> Response:
        """Open a job."""
        wish = NewJobSerializer(data=request.data)
        wish.is_valid(raise_exception=True)
        facts = dict(wish.validated_data)
        job = jobs.create_job(house_id=facts.pop("house").pk, by=request.user, **facts)
        return Response(JobSerializer(job).data, status=201)

    def edit(self, row: Job, *, seen_version: int, changes: dict[str, Any]) -> None:
        jobs.edit_job(job_id=row.pk, seen_version=seen_version, changes=changes, by=self.request.user)

    @extend_schema(request=MoveJobInput, responses=JobSerializer)
    @action(detail=True, methods=["post"])
    def move(self, request: Request, pk: str | None = None) -> Response:
        """Move the job to another stage. 409 lists every reason that stands in the way."""
        job = self.get_object()  # 404 for a hidden job, before anything else is said
        wish = MoveJobInput(data=request.data)
        wish.is_valid(raise_exception=True)
        stages.move_job(job_id=job.pk, by=request.user, **wish.validated_data)
        return Response(JobSerializer(self.get_queryset().get(pk=job.pk)).data)

    @extend_schema(request=IssueDesignInput, responses={201: DesignDetailSerializer})
    @action(detail=True, methods=["post"], url_path="issue-design")
    def issue_design(self, request: Request, pk: str | None = None) -> Response:
        """Freeze a revision of the design from the house and the choices as they stand."""
        job = self.get_object()
        wish = IssueDesignInput(data=request.data)
        wish.is_valid(raise_exception=True)
        design = designs.issue_design(job_id=job.pk, by=request.user, **wish.validated_data)
        return Response(DesignDetailSerializer(design).data, status=201)

    @extend_schema(filters=False, responses={(200, "application/json"): as_built_api.schema()})
    @action(detail=True, methods=["get"], url_path="as-built")
    def as_built(self, request: Request, pk: str | None = None) -> Response:
        """Each line and link as found, as designed and as built by what was logged, inspected and accepted; what is
        short and where, what is outside tolerance, what is to be tested, and what blocks the close-out."""
        return Response(as_built_api.answer(as_built.design_built(self.get_object())))


class CriteriaSheetViewSet(EditableViewSet):
    """Standing templates (`job` null) and the sheets of jobs."""

    queryset = CriteriaSheet.objects.select_related("confirmed_by")
    serializer_class = CriteriaSheetSerializer
    needs = {
        "list": "criteria.view",
        "retrieve": "criteria.view",
        "partial_update": "criteria.edit",
        "confirm": "criteria.confirm",
    }
    filterset_fields = {"job": ["exact", "isnull"], "jurisdiction": ["exact"], "code_family": ["exact"]}

    def edit(self, row: CriteriaSheet, *, seen_version: int, changes: dict[str, Any]) -> None:
        """A change takes the engineer's confirmation away."""
        if row.job_id is not None:
            criteria.edit_sheet(sheet_id=row.pk, seen_version=seen_version, changes=changes, by=self.request.user)
            return
        criteria.save_template(
            jurisdiction_id=row.jurisdiction_id,
            code_family=row.code_family,
            seen_version=seen_version,
            by=self.request.user,
            **changes,
        )

    @extend_schema(request=SeenVersionInput, responses=CriteriaSheetSerializer)
    @action(detail=True, methods=["post"])
    def confirm(self, request: Request, pk: str | None = None) -> Response:
        """The assigned engineer confirms the sheet as it stands, named and dated, under their licence."""
        sheet = self.get_object()
        wish = SeenVersionInput(data=request.data)
        wish.is_valid(raise_exception=True)
        sheet = criteria.confirm_sheet(sheet_id=sheet.pk, seen_version=wish.validated_data["version"], by=request.user)
        return Response(self.get_serializer(sheet).data)

"""Jobs and their criteria sheets."""

from __future__ import annotations

from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from jobs.api.serializers.designs import DesignDetailSerializer
from jobs.api.serializers.jobs import CriteriaSheetSerializer, IssueDesignInput, JobSerializer, MoveJobInput
from jobs.api.viewsets.base import EditableViewSet
from jobs.models import CriteriaSheet, Job
from jobs.services import designs, stages


class JobViewSet(EditableViewSet):
    queryset = Job.objects.select_related("house", "estimator", "assigned_engineer").prefetch_related("holds")
    serializer_class = JobSerializer
    needs = {
        "list": "job.view",
        "retrieve": "job.view",
        "partial_update": "job.edit",
        "move": "job.view",  # the edge asks for its own action
        "issue_design": "design.issue",
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


class CriteriaSheetViewSet(EditableViewSet):
    """Standing templates (`job` null) and the sheets of jobs."""

    queryset = CriteriaSheet.objects.select_related("confirmed_by")
    serializer_class = CriteriaSheetSerializer
    needs = {"list": "criteria.view", "retrieve": "criteria.view", "partial_update": "criteria.edit"}
    filterset_fields = {"job": ["exact", "isnull"], "jurisdiction": ["exact"], "code_family": ["exact"]}

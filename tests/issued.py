"""A job as it stands when its engineer is about to stamp: surveyed, chosen, confirmed, issued by the real services."""

from __future__ import annotations

from engineering import evaluated
from jobs.models import Design, Job
from jobs.services.designs import issue_design
from tests.factories import (
    CompanyFactory,
    CriteriaSheetFactory,
    EngineerLicenceFactory,
    EvaluatedFactory,
    JobFactory,
    LineChoiceFactory,
    NailFactory,
    TableSetAcceptanceFactory,
    UserFactory,
    surveyed_house,
)


def issued_design(**jurisdiction: object) -> Design:
    """A design without an open link under confirmed criteria, issued by an estimator, its engineer licensed."""
    CompanyFactory()
    engineer = EngineerLicenceFactory(user__first_name="Ada", user__last_name="Trial", number="0001").user
    TableSetAcceptanceFactory(engineer=engineer)
    house = surveyed_house(**{f"jurisdiction__{name}": value for name, value in jurisdiction.items()})
    job = JobFactory(house=house, assigned_engineer=engineer)
    CriteriaSheetFactory(
        job=job,
        confirmed_by=engineer,
        accepts_r_for_panels=True,
        link_0_accepted=True,
        small_pieces_accepted=True,
    )
    house.wall_lines.update(foundation_accepted_by=engineer, foundation_acceptance_reason="sound concrete")
    _choose(job)
    return issue_design(job_id=job.pk, by=UserFactory(roles=["estimator"]), seen_version=job.version)


def _choose(job: Job) -> None:
    inside_the_value = {"value_basis": "ASD seismic, C_D not applied", "minimum_concrete_psi": 2500.0, "species": []}
    stitch_nail = NailFactory(key="16d-common", name="16d common 0.162 × 3½ in", diameter_in=0.162, length_in=3.5)
    methods = {
        "floor_to_plate": EvaluatedFactory(use=evaluated.USE_THROUGH_PLATES),
        "stitch_nail": stitch_nail,
        "splice_nail": stitch_nail,
        "block_nail": stitch_nail,
        "sill_anchor": EvaluatedFactory(
            key="demo-anchor",
            name="Demo anchor ½ in",
            kind="sill anchor",
            use=evaluated.USE_SILL_ANCHOR,
            value_lb=980.0,
            diameter_in=0.5,
            length_in=7.0,
            embedment_in=4.0,
            washer_in=0.25,
            minimum_edge_in=0.875,
            **inside_the_value,
        ),
        "tie_down": EvaluatedFactory(
            key="demo-tie-down",
            name="Demo tie-down",
            kind="tie-down",
            use=evaluated.USE_TIE_DOWN,
            value_lb=4000.0,
            value_basis="already 1.6",
            diameter_in=0.625,
        ),
        "tie_down_anchor": EvaluatedFactory(
            key="demo-rod",
            name="Demo rod ⅝ in",
            kind="tie-down anchor",
            use=evaluated.USE_TIE_DOWN_ANCHOR,
            value_lb=3500.0,
            diameter_in=0.625,
            embedment_in=10.0,
            **inside_the_value,
        ),
    }
    end_post = {
        "end_post_width_in": 3.0,
        "end_post_depth_in": 3.5,
        "rod_from_end_in": 4.5,
        "compression_from_end_in": 1.5,
    }
    for line in job.house.wall_lines.all():
        LineChoiceFactory(job=job, wall_line=line, **methods, **end_post)

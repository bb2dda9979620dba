"""Catalogue rows as engineering takes them: nails and lag screws by geometry, the rest by their report."""

from __future__ import annotations

from collections.abc import Iterable

from engineering import inputs
from jobs.errors import Refused
from jobs.models import Connector


def catalogue(rows: Iterable[Connector], *, bar_stock_in: Iterable[float]) -> inputs.Catalogue:
    """The connectors that a calculation may use, each once, by key."""
    used = {row.key: row for row in rows}
    ordered = [used[key] for key in sorted(used)]
    return inputs.Catalogue(
        nails=tuple(nail(row) for row in ordered if row.kind == "nail"),
        lags=tuple(lag(row) for row in ordered if row.kind == "lag screw"),
        evaluated=tuple(evaluated(row) for row in ordered if row.kind not in ("nail", "lag screw")),
        bar_stock_in=tuple(float(bar) for bar in bar_stock_in),
    )


def nail(row: Connector) -> inputs.Nail:
    """A nail; Refused for any other kind of connector."""
    if row.kind != "nail":
        raise Refused(f"{row} is a {row.kind}; a nail is needed here.")
    return inputs.Nail(
        key=row.key, name=row.name, kind=row.nail_kind, diameter_in=row.diameter_in, length_in=row.length_in,
        finish=row.finish,
    )  # fmt: skip


def lag(row: Connector) -> inputs.LagScrew:
    """A lag screw."""
    return inputs.LagScrew(
        key=row.key, name=row.name, diameter_in=row.diameter_in, root_diameter_in=row.root_diameter_in,
        length_in=row.length_in, thread_in=row.thread_in, tip_in=row.tip_in, finish=row.finish,
        washer_in=row.washer_in,
    )  # fmt: skip


def evaluated(row: Connector) -> inputs.EvaluatedConnector:
    """A connector with the values and limits of its evaluation report."""
    return inputs.EvaluatedConnector(
        key=row.key, name=row.name, kind=row.kind, report=row.report, issued=row.issued_on.isoformat(),
        expires=row.expires_on.isoformat(), use=row.use, species=tuple(row.species), value_lb=row.value_lb,
        value_basis=row.value_basis, diameter_in=row.diameter_in, length_in=row.length_in,
        embedment_in=row.embedment_in, minimum_penetration_in=row.minimum_penetration_in,
        minimum_edge_in=row.minimum_edge_in, pilot_in=row.pilot_in, washer_in=row.washer_in,
        minimum_concrete_psi=row.minimum_concrete_psi, finish=row.finish, wet_service_factor=row.wet_service_factor,
        adhesive=row.adhesive, give_in=row.give_in, asd_conversion=row.asd_conversion,
        minimum_end_in=row.minimum_end_in, minimum_spacing_in=row.minimum_spacing_in,
        minimum_member_in=row.minimum_member_in, minimum_embedment_in=row.minimum_embedment_in,
        minimum_concrete_in=row.minimum_concrete_in, maximum_gap_in=row.maximum_gap_in,
        member_faces=tuple(row.member_faces),
    )  # fmt: skip

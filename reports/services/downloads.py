"""What can be taken along besides PDFs: each sheet's drawings as DXF, the connection schedule as CSV."""

from __future__ import annotations

import csv
import io
import json
import zipfile

from engineering.feet_inches import format_feet_inches
from jobs.models import Design, ScheduleLine
from reports.documents import standing
from reports.drawings import dxf
from reports.drawings.sheet import Sheet
from reports.models import Document
from reports.services.documents import sections_of

CLOCKLESS = (1980, 1, 1, 0, 0, 0)  # the first day that an archive can name: same files, same bytes
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\N{FULLWIDTH EQUALS SIGN}", "\N{FULLWIDTH PLUS SIGN}")


def sheets_to_scale(document: Document) -> dict[str, list[Sheet]]:
    """The drawings of each sheet that has any to scale, by sheet number."""
    found: dict[str, list[Sheet]] = {}
    for section in sections_of(document).values():
        if scaled := dxf.to_scale(section.drawings.values()):
            found[section.sheet or section.name] = scaled
    return found


def sheet_dxf(document: Document, sheet: str) -> bytes:
    """The drawings of one sheet side by side, in inches. KeyError for a sheet without any."""
    return dxf.write(*sheets_to_scale(document)[sheet])


def all_dxf(document: Document) -> bytes:
    """A zip archive with a DXF of every sheet that has drawings."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for sheet, drawings in sheets_to_scale(document).items():
            archive.writestr(zipfile.ZipInfo(f"{sheet}.dxf", CLOCKLESS), dxf.write(*drawings), zipfile.ZIP_DEFLATED)
    return out.getvalue()


def schedule_csv(design: Design) -> bytes:
    """The connection schedule by RFC 4180, UTF-8 with its mark so that a spreadsheet reads ½ and ″ right.

    Without demands, capacities and ratios where the papers show none. A text that a spreadsheet would take for a
    formula gets an apostrophe in front.
    """
    ratios = standing.of(json.loads(design.snapshot)).shows_ratios
    columns = ["Wall line", "Link", "Use", "Panel", "Sill piece", "Count", "Connector", "Spacing, in"]
    columns += ["Demand", "Capacity", "Unit", "Ratio", "Governed by"] if ratios else []
    columns += ["Note", "Places from the zero end, in", "Places from the zero end"]
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(columns)
    for row in design.connection_schedule.lines.all():
        writer.writerow([_plain(value) for value in _cells(row, ratios=ratios)])
    return b"\xef\xbb\xbf" + out.getvalue().encode()


def _cells(row: ScheduleLine, *, ratios: bool) -> list[str | float | None]:
    cells = [row.wall_line_label, row.link, row.role, row.panel, row.piece, row.count, row.connector_name]
    cells.append(row.spacing_in)
    if ratios:
        cells += [row.demand, row.capacity, row.unit, row.ratio, row.governing]
    places = [float(place) for place in row.positions_in]
    return [*cells, row.note, "; ".join(_number(place) for place in places), "; ".join(map(format_feet_inches, places))]


def _plain(value: str | float | None) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return f"'{value}" if value.startswith(FORMULA_STARTS) else value
    return _number(value)


def _number(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".")

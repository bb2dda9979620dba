"""Side connections, washers under old bolts, blocking, straps, struts: on every paper of crew and inspector."""

from __future__ import annotations

from dataclasses import replace

import pytest

from jobs.web import tasks
from reports.documents import figures, inspection_checklist, notes, plan_set, schedule_rows, work_order
from tests.engineering.varied import SIDE, house, with_connector, with_line, with_side_connections
from tests.reports import snapshots

ROLES = (
    "floor to plate",
    "blocking nails",
    "stitch nails",
    "splice nails each side",
    "plate straps",
    "strut splice",
    "panel edge nails",
    "block nails",
    "sill anchors",
    "side connections",
    "tie-downs",
    "tie-down anchors",
)


def said(value):
    return " ".join(snapshots.texts(value))


def bonded(given):
    return with_connector(given, replace(SIDE, adhesive=True, embedment_in=4.0))


@pytest.fixture(scope="module")
def beside():
    """House A with bonded side connections on line B and no anchor from above."""
    given = bonded(with_line(with_side_connections(house(), "B"), "B", methods={"sill_anchor": ""}))
    return snapshots.snapshot(given)


def filled(role, *, count=6, positions=(24.0, 60.0)):
    """The sample with rows of one role more on line A."""
    snapshot = snapshots.snapshot()
    line = next(one for one in snapshot["result"]["schedule"]["lines"] if one["label"] == "A")
    line["items"].append(
        {
            "link": "3", "role": role, "connector": "12d", "count": count, "spacing_in": None,
            "positions_in": list(positions), "panel": None, "piece": None, "note": "",
        }
    )  # fmt: skip
    return snapshot


@pytest.mark.parametrize("words", [schedule_rows.ROLE_WORDS, tasks.ROLES])
def test_every_role_of_the_schedule_has_its_words(words):
    assert set(words) == set(ROLES)


def test_side_connections_have_their_lines_on_the_checklist(beside):
    groups = {group["title"]: group["lines"] for group in inspection_checklist.stage_lines(beside, "B")}
    counted = [row for row in groups["Wall line B"] if SIDE.name in row["text"]]
    scheduled = schedule_rows.total(beside, "B", "side connections")
    assert sum(int(row["required"]) for row in counted) == scheduled > 0
    every = groups[f"Every {SIDE.name}, lines B"]
    assert ("Embedment", "4″") in {(row["text"], row["required"]) for row in every}
    assert not any("washer" in row["text"] for row in every)
    assert any("Adhesive in date" in row["text"] for row in every)


def test_adhesive_in_a_horizontal_hole_is_inspected_continuously(beside):
    rows = [row for row in notes.special_inspections(beside) if SIDE.name in row["what"]]
    assert [row["how"].split(",")[0] for row in rows] == ["continuous"]
    assert any("Side connections stand where" in text for _, texts in notes.general(beside) for text in texts)


def test_an_anchor_that_is_not_bonded_is_inspected_periodically():
    rows = [row for row in notes.special_inspections(snapshots.snapshot()) if row["stage"] == "B"]
    assert {row["how"].split(",")[0] for row in rows} == {"periodic"}


def test_a_side_connection_stands_in_its_bay_and_in_the_pick_list(beside):
    parts = [part["what"] for row in work_order.bay_rows(beside, "B") for part in row["parts"]]
    assert any(part.endswith(("side connection", "side connections")) for part in parts)
    picked = {row["item"]: row["count"] for row in work_order.pick_list(beside, ["B"])}
    assert picked[SIDE.name] == str(schedule_rows.total(beside, "B", "side connections"))


def test_washers_under_old_bolts_reach_every_paper_with_count_size_and_place():
    snapshot = snapshots.snapshot()
    for label in ("A", "1"):
        by_size = schedule_rows.washers_by_size(snapshot, label)
        warned = next(
            link["check"] for link in schedule_rows.line_result(snapshot, label)["links"] if link["link"] == "6a"
        )
        to_fit = next(step["value"] for step in warned["steps"] if step["key"] == "washers_to_fit")
        assert sum(len(places) for places in by_size.values()) == to_fit > 0
        groups = {group["title"]: group["lines"] for group in inspection_checklist.stage_lines(snapshot, "B")}
        bays = said(work_order.bay_rows(snapshot, label))
        anchors = "anchors" if to_fit > 1 else "anchor"
        assert f"plate washers under {to_fit} existing {anchors}" in schedule_rows.counted_phrase(snapshot, label)
        general = said([texts for _, texts in notes.general(snapshot)])
        for size, places in by_size.items():
            at = figures.lengths(places)
            text = f"New plate washers {size} on existing anchors, at {at}"
            assert (text, str(len(places))) in {(row["text"], row["required"]) for row in groups[f"Wall line {label}"]}
            assert f"existing anchor, fit plate washer {size}, tighten" in bays
            assert f"line {label}: {len(places)} × {size} at {at}" in general


@pytest.mark.parametrize(
    ("role", "note", "word"),
    [
        ("blocking nails", "New blocking between the joists", "blocking nail"),
        ("plate straps", "Straps across plate joints", "plate strap"),
        ("strut splice", "Struts lap the top plate", "strut splice"),
    ],
)
def test_what_is_scheduled_beside_the_usual_has_its_note_bay_and_line(role, note, word):
    snapshot = filled(role)
    assert note in said([texts for _, texts in notes.general(snapshot)])
    assert note not in said([texts for _, texts in notes.general(snapshots.snapshot())])
    assert word in said(work_order.bay_rows(snapshot, "A"))
    rows = [row for group in inspection_checklist.stage_lines(snapshot, "C") for row in group["lines"]]
    assert any(row["required"] == "6" and (role == "blocking nails" or "2′-0″" in row["text"]) for row in rows)
    table = schedule_rows.line_rows(snapshot, "A", ratios=True)
    assert schedule_rows.ROLE_WORDS[role] in {row["role"] for row in table}


def test_a_plan_set_of_side_connections_can_be_made(beside):
    sheets = {section.sheet: section for section in plan_set.sections(beside, None)}
    assert "Side connections, sill to foundation" in said(sheets["S4.0"].context)

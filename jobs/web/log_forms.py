"""The crew's forms: one entry about a task or a wall, the nails of a panel counted, a panel as it stands."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from uuid import uuid4, uuid5

from django import forms
from django.utils import timezone

from engineering.as_built_inputs import MOST
from engineering.inputs import Nail
from jobs.log_entries import Connector
from jobs.models import FieldEvent, FieldEventKind, Finish, NailKind
from jobs.services import field_work
from jobs.web.fields import LengthField, LengthListField, NumberField, words
from jobs.web.tasks import Task, tape

MEASURED = "a nail that we measured"
WITH_WORDS = (FieldEventKind.MISSED, FieldEventKind.SPLIT, FieldEventKind.NOTE)
OF_SOME = (FieldEventKind.MISSED, FieldEventKind.MOVED, FieldEventKind.SUBSTITUTED, FieldEventKind.SPLIT)
KIND_WORDS = {
    FieldEventKind.INSTALLED: "Installed as shown",
    FieldEventKind.MOVED: "Moved",
    FieldEventKind.MISSED: "Missed, or not possible here",
    FieldEventKind.SUBSTITUTED: "Something else used",
    FieldEventKind.SPLIT: "Wood split",
    FieldEventKind.ADDED: "One more, besides what is shown",
    FieldEventKind.NOTE: "Note only",
}
NAIL = ("diameter_in", "length_in", "kind", "finish")


class Stamped(forms.Form):
    """What every entry has. `id` and `at_client` are made with the page: sent twice, it is written once."""

    id = forms.UUIDField(widget=forms.HiddenInput)
    at_client = forms.DateTimeField(widget=forms.HiddenInput, input_formats=["%Y-%m-%dT%H:%M:%S.%f%z"])

    def __init__(self, data: Any = None, **kwargs: Any) -> None:
        made_now = {"id": uuid4(), "at_client": timezone.now().strftime("%Y-%m-%dT%H:%M:%S.%f%z")}
        super().__init__(data, label_suffix="", initial=made_now | kwargs.pop("initial", {}), **kwargs)


class EntryForm(Stamped):
    """One entry about a task of the work order, or (no task) a note about the wall."""

    makes_good = forms.UUIDField(required=False, widget=forms.HiddenInput)
    kind = forms.ChoiceField(choices=list(KIND_WORDS.items()), widget=forms.RadioSelect, label="What happened")
    places = forms.MultipleChoiceField(
        required=False, widget=forms.CheckboxSelectMultiple, label="Which", help_text="None ticked: all of them."
    )
    count = forms.IntegerField(required=False, min_value=1, max_value=MOST, label="How many")
    rest = forms.BooleanField(required=False, label="The others here are installed as shown")
    moved_to_in = LengthListField(
        required=False,
        widget=forms.TextInput,
        label="New place",
        help_text="From the zero end, as 4'-3\" or 51 in; several parted by commas, one for each.",
    )
    across_in = LengthField(required=False, positive=False, label="Off its line, across the wall")
    substitute = forms.ChoiceField(required=False, label="What was used")
    nail_diameter_in = NumberField(required=False, min_value=0.01, label="Nail diameter, in", help_text="By calliper.")
    nail_length_in = NumberField(required=False, min_value=0.1, label="Nail length, in")
    nail_kind = forms.ChoiceField(required=False, choices=[("", "choose…"), *words(NailKind)], label="Kind of nail")
    nail_finish = forms.ChoiceField(required=False, choices=[("", "choose…"), *words(Finish)], label="Finish")
    note = forms.CharField(required=False, max_length=500, widget=forms.Textarea(attrs={"rows": 3}), label="Words")

    def __init__(
        self, data: Any = None, *, task: Task | None, connectors: Sequence[Connector] = (), **kwargs: Any
    ) -> None:
        """`connectors` are those of the design that could stand in the task's place."""
        super().__init__(data, **kwargs)
        self.task = task
        kinds = dict(KIND_WORDS) if task else {FieldEventKind.NOTE: KIND_WORDS[FieldEventKind.NOTE]}
        gone: set[str] = set()
        if task is None:
            gone = {"places", "count", "rest", "moved_to_in", "across_in", "substitute"}
        elif task.by_number:
            gone = {"places", "moved_to_in", "across_in"}
            kinds.pop(FieldEventKind.MOVED)
        else:
            gone = {"count"} | ({"places", "rest"} if len(task.positions_in) == 1 else set())
            self.fields["places"].choices = [(str(n), tape(at_in)) for n, at_in in enumerate(task.positions_in)]
        if data is None and task:  # "installed as shown" is the other button
            kinds.pop(FieldEventKind.INSTALLED)
        self.fields["kind"].choices = list(kinds.items())
        nails = any(isinstance(one, Nail) for one in connectors)
        self.fields["substitute"].choices = [
            ("", "what the words below say"),
            *((one.key, one.name) for one in connectors if task and one.key != task.connector_key),
            *([(MEASURED, MEASURED)] if nails else []),
        ]
        gone |= set() if nails else {f"nail_{name}" for name in NAIL}
        for name in gone:
            del self.fields[name]

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        kind, task = said.get("kind"), self.task
        said["at_in"] = self._places(said)
        if task and kind:
            self._clean_numbers(kind, said)
            self._clean_substitute(kind, said)
        nameless = kind == FieldEventKind.SUBSTITUTED and not said.get("substitute")
        if (kind in WITH_WORDS or nameless) and not said.get("note"):
            self.add_error("note", "Say what happened, in a few words.")
        return said

    def _places(self, said: dict[str, Any]) -> list[float]:
        """The task's places that the entry is about."""
        if self.task is None:
            return []
        ticked = said.get("places") or []
        return [at_in for n, at_in in enumerate(self.task.positions_in) if not ticked or str(n) in ticked]

    def _clean_numbers(self, kind: str, said: dict[str, Any]) -> None:
        if self.task.by_number:
            if kind not in (FieldEventKind.INSTALLED, FieldEventKind.NOTE) and not said.get("count"):
                self.add_error("count", "Say how many.")
            return
        given = said.get("moved_to_in")
        if "moved_to_in" in self.errors:
            return
        if kind == FieldEventKind.MOVED and len(given) != len(said["at_in"]):
            several = f"Give {len(said['at_in'])} new places, one for each." if len(said["at_in"]) > 1 else ""
            self.add_error("moved_to_in", several or "Say where it stands now.")
        if kind == FieldEventKind.ADDED and not given:
            self.add_error("moved_to_in", "Say where it stands.")

    def _clean_substitute(self, kind: str, said: dict[str, Any]) -> None:
        if said.get("substitute") == MEASURED and kind in (FieldEventKind.SUBSTITUTED, FieldEventKind.ADDED):
            for name in NAIL:
                if not said.get(f"nail_{name}") and f"nail_{name}" not in self.errors:
                    self.add_error(f"nail_{name}", "Diameter, length, kind and finish tell a nail.")

    def payload(self) -> dict[str, Any]:
        """What the log keeps of the entry."""
        said, kind = self.cleaned_data, self.cleaned_data["kind"]
        payload = self.task.payload() if self.task else {}
        if self.task and kind != FieldEventKind.NOTE:
            payload |= self._of_row(kind, said)
        if said["note"]:
            payload["text"] = said["note"]
        if said["makes_good"] and kind in field_work.MAKES_GOOD:
            payload["makes_good"] = str(said["makes_good"])
        return payload

    def _of_row(self, kind: str, said: dict[str, Any]) -> dict[str, Any]:
        facts: dict[str, Any] = {}
        if self.task.by_number:
            facts["count"] = said.get("count") or self.task.count
        elif kind == FieldEventKind.ADDED:
            facts |= {"positions_in": said["moved_to_in"], "count": len(said["moved_to_in"])}
        else:
            facts |= {"positions_in": said["at_in"], "count": len(said["at_in"])}
        if kind == FieldEventKind.MOVED:
            facts["moved_to_in"] = said["moved_to_in"]
        if said.get("across_in"):
            facts["across_in"] = said["across_in"]
        if kind in (FieldEventKind.SUBSTITUTED, FieldEventKind.ADDED) and said.get("substitute"):
            measured = said["substitute"] == MEASURED
            facts |= (
                {"nail": {name: said[f"nail_{name}"] for name in NAIL}}
                if measured
                else {"substitute": said["substitute"]}
            )
        return facts

    def log(self, *, work_order_id: int, wall_line_label: str, by: Any) -> FieldEvent:
        """Write the entry, and before it the others of its task where they are said to be installed."""
        said, about = self.cleaned_data, {"work_order_id": work_order_id, "wall_line_label": wall_line_label, "by": by}
        about["at_client"] = said["at_client"]
        if said.get("rest") and said["kind"] in OF_SOME and (others := self._others()):
            field_work.log_event(
                event_id=uuid5(said["id"], "the others"), kind=FieldEventKind.INSTALLED, payload=others, **about
            )
        return field_work.log_event(event_id=said["id"], kind=said["kind"], payload=self.payload(), **about)

    def _others(self) -> dict[str, Any]:
        """What stands as shown besides what the entry is about; empty where nothing is left."""
        task = self.task
        if task.by_number:
            return task.payload()
        others = [at_in for at_in in task.positions_in if at_in not in self.cleaned_data["at_in"]]
        return task.payload() | {"positions_in": others, "count": len(others)} if others else {}


class NailCountForm(Stamped):
    """The edge nails of one panel, each looked at once; the rest are flush."""

    total = forms.IntegerField(min_value=1, max_value=MOST, label="Edge nails in the panel")
    over_16th = forms.IntegerField(min_value=0, label="Sunk more than 1/16 in, not more than 1/8 in", initial=0)
    over_8th = forms.IntegerField(min_value=0, label="Sunk more than 1/8 in", initial=0)
    missed_framing = forms.IntegerField(min_value=0, label="With no framing behind", initial=0)

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        off = sum(said.get(name) or 0 for name in ("over_16th", "over_8th", "missed_framing"))
        if said.get("total") and off > said["total"]:
            self.add_error("total", f"The numbers below add up to {off}: count again.")
        said["flush"] = (said.get("total") or 0) - off
        return said

    def payload(self) -> dict[str, Any]:
        """The tally."""
        names = ("total", "flush", "over_16th", "over_8th", "missed_framing")
        return {name: self.cleaned_data[name] for name in names}


class PanelBuiltForm(Stamped):
    """From where to where a panel stands that was cut or moved."""

    from_in = LengthField(positive=False, label="From")
    to_in = LengthField(label="To")

    def payload(self) -> dict[str, Any]:
        """The span."""
        return {name: self.cleaned_data[name] for name in ("from_in", "to_in")}

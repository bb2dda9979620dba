"""The engineer takes the nailing of the code of the year built: which link, which nails, which edition, why."""

from __future__ import annotations

from django import forms

from jobs.web.wall_line_forms import AsFoundNailingForm


class NailingForm(AsFoundNailingForm):
    edition = forms.CharField(required=False, max_length=120, label="Edition")
    reason = forms.CharField(required=False, max_length=300, label="Reason")

"""What the office keeps in the admin: users, connectors, jurisdictions, crews, licences and certificates."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.forms import AdminUserCreationForm, UserChangeForm
from django.contrib.auth.models import Group
from django.core.exceptions import ValidationError
from django.db.models import Model, QuerySet
from django.http import HttpRequest

from jobs import policy
from jobs.errors import Refused, Stale
from jobs.models import (
    Company,
    Connector,
    Crew,
    EngineerLicence,
    EnrolledCertificate,
    Jurisdiction,
    Role,
    User,
)
from jobs.services import people


class OfficeAdmin(admin.ModelAdmin):
    """Asks policy, keeps every row (nothing here is deleted) and refuses a change of a version not seen."""

    def has_module_permission(self, request: HttpRequest) -> bool:
        return bool(policy.check(request.user, "admin.use"))

    def has_view_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return self.has_module_permission(request)

    def has_add_permission(self, request: HttpRequest) -> bool:
        return self.has_module_permission(request)

    def has_change_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return self.has_module_permission(request)

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False


class VersionedForm(forms.ModelForm):
    seen_version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["seen_version"].initial = self.instance.version

    def clean(self) -> dict[str, Any]:
        super().clean()
        if self.instance.pk:
            now = type(self.instance)._base_manager.select_for_update().get(pk=self.instance.pk)
            if now.version != self.cleaned_data.get("seen_version"):
                raise ValidationError(str(Stale(now)))
        return self.cleaned_data


class VersionedAdmin(OfficeAdmin):
    form = VersionedForm

    def save_model(self, request: HttpRequest, obj: Any, form: forms.ModelForm, change: bool) -> None:
        if change:
            obj.version += 1  # the form holds the row locked and has compared what was seen
        super().save_model(request, obj, form, change)


@admin.register(Company)
class CompanyAdmin(VersionedAdmin):
    list_display = ["name", "phone", "email"]

    def has_add_permission(self, request: HttpRequest) -> bool:
        return super().has_add_permission(request) and not Company.objects.exists()

    def save_model(self, request: HttpRequest, obj: Any, form: forms.ModelForm, change: bool) -> None:
        obj.pk = 1
        super().save_model(request, obj, form, change)


@admin.register(Connector)
class ConnectorAdmin(VersionedAdmin):
    list_display = ["name", "key", "kind", "basis", "expires_on", "active"]
    list_filter = ["kind", "basis", "active", "invented"]
    search_fields = ["name", "key", "report"]

    def get_readonly_fields(self, request: HttpRequest, obj: Model | None = None) -> list[str]:
        return ["key"] if obj else []  # issued designs quote the key


@admin.register(Jurisdiction)
class JurisdictionAdmin(VersionedAdmin):
    list_display = ["name", "state", "code_family", "edition", "stamp_method", "accepts_prescriptive"]
    list_filter = ["state", "code_family"]
    search_fields = ["name"]


class CrewForm(VersionedForm):
    def clean(self) -> dict[str, Any]:
        super().clean()
        named = [self.cleaned_data.get("lead"), *(self.cleaned_data.get("members") or [])]
        others = [user.display_name for user in named if user and Role.INSTALLER not in user.roles]
        if others:
            raise ValidationError(f"Not an installer: {', '.join(others)}.")
        return self.cleaned_data


@admin.register(Crew)
class CrewAdmin(VersionedAdmin):
    form = CrewForm
    list_display = ["name", "lead"]
    filter_horizontal = ["members"]


class LicenceForm(VersionedForm):
    def clean_user(self) -> User:
        return _engineer(self.cleaned_data["user"])


@admin.register(EngineerLicence)
class EngineerLicenceAdmin(VersionedAdmin):
    form = LicenceForm
    list_display = ["user", "state", "discipline", "number", "expires_on"]


class CertificateForm(forms.ModelForm):
    def clean_user(self) -> User:
        return _engineer(self.cleaned_data["user"])

    def clean_certificate_pem(self) -> str:
        try:
            people.read_certificate(self.cleaned_data["certificate_pem"])
        except Refused as why:
            raise ValidationError(list(why.reasons)) from why
        return self.cleaned_data["certificate_pem"]


@admin.register(EnrolledCertificate)
class EnrolledCertificateAdmin(OfficeAdmin):
    form = CertificateForm
    fields = ["user", "certificate_pem"]
    list_display = ["user", "subject", "fingerprint_sha256", "not_after", "revoked_at"]
    actions = ["revoke"]

    def has_change_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return obj is None and super().has_change_permission(request)  # a list with its action; rows stay

    def save_model(self, request: HttpRequest, obj: Any, form: forms.ModelForm, change: bool) -> None:
        row = people.enrol_certificate(user_id=obj.user_id, certificate_pem=obj.certificate_pem, by=request.user)
        obj.pk = row.pk

    @admin.action(description="Revoke: accept nothing signed with it from now on", permissions=["view"])
    def revoke(self, request: HttpRequest, queryset: QuerySet) -> None:
        for row in queryset:
            people.revoke_certificate(certificate_id=row.pk, by=request.user)


def _engineer(user: User) -> User:
    if Role.ENGINEER not in user.roles:
        raise ValidationError(f"{user.display_name} is not an engineer.")
    return user


class RolesMixin:
    """Roles by name, and only a set of them that a user may hold."""

    def clean_groups(self) -> QuerySet:
        groups = self.cleaned_data["groups"]
        if reasons := people.reasons_against_roles(self.instance, frozenset(group.name for group in groups)):
            raise ValidationError(reasons)
        return groups


class NewUserForm(RolesMixin, AdminUserCreationForm):
    groups = forms.ModelMultipleChoiceField(Group.objects.filter(name__in=Role.values), label="Roles")


class ChangedUserForm(RolesMixin, UserChangeForm):
    groups = forms.ModelMultipleChoiceField(Group.objects.filter(name__in=Role.values), label="Roles")

    def clean_is_active(self) -> bool:
        if not self.cleaned_data["is_active"] and people.is_last_office_user(self.instance):
            raise ValidationError("This is the last office user; the account stays switched on.")
        return self.cleaned_data["is_active"]


@admin.register(User)
class OfficeUserAdmin(OfficeAdmin, UserAdmin):
    form = ChangedUserForm
    add_form = NewUserForm
    fieldsets = [
        (None, {"fields": ["username", "password", "is_active"]}),
        ("Person", {"fields": ["first_name", "last_name", "email"]}),
        ("Roles", {"fields": ["groups"]}),
    ]
    add_fieldsets = [
        (None, {"fields": ["username", "first_name", "last_name", "email", "password1", "password2", "groups"]}),
    ]
    filter_horizontal = []
    list_display = ["username", "first_name", "last_name", "is_active"]
    list_filter = ["groups", "is_active"]

    def save_related(self, request: HttpRequest, form: forms.ModelForm, formsets: list[Any], change: bool) -> None:
        """Roles go through the service, which logs them."""
        names = [group.name for group in form.cleaned_data["groups"]]
        people.set_roles(user_id=form.instance.pk, roles=names, by=request.user)

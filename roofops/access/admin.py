"""The admin's view of memberships: here an administrator gives and takes roles."""

from typing import Any

from django.contrib import admin
from django.contrib.auth.models import User
from django.forms import ModelForm
from django.http import HttpRequest

from roofops.access.actions import note_role_change
from roofops.access.models import Membership
from roofops.record import clock


@admin.register(Membership)
class MembershipAdmin(admin.ModelAdmin):
    """Who holds which role in which yard."""

    list_display = ("user", "yard", "role")
    list_filter = ("role", "yard")
    list_select_related = ("user", "yard")
    autocomplete_fields = ("user",)

    def save_model(self, request: HttpRequest, obj: Membership, form: ModelForm, change: bool) -> None:
        """Save, and write who gave which role into the log."""
        super().save_model(request, obj, form, change)
        assert isinstance(request.user, User)
        note_role_change(request.user, obj, "give-role", clock.now())

    def delete_model(self, request: HttpRequest, obj: Membership) -> None:
        """Delete, and write who took which role into the log."""
        assert isinstance(request.user, User)
        note_role_change(request.user, obj, "take-role", clock.now())
        super().delete_model(request, obj)

    def delete_queryset(self, request: HttpRequest, queryset: Any) -> None:
        """Delete one by one, so that each is written into the log."""
        for membership in queryset:
            self.delete_model(request, membership)

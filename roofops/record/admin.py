"""The admin's read-only view of the log, of background work and of notices."""

from django.contrib import admin
from django.db.models import Model
from django.http import HttpRequest

from roofops.record.models import LogEntry, Notice, Work


class ReadOnly(admin.ModelAdmin):
    """Rows that are looked up here and changed nowhere by hand."""

    def has_add_permission(self, request: HttpRequest) -> bool:
        """Refuse."""
        return False

    def has_change_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        """Refuse."""
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        """Refuse."""
        return False


@admin.register(LogEntry)
class LogEntryAdmin(ReadOnly):
    """The decision log."""

    list_display = ("at", "verb", "subject_type", "subject_id", "yard_id", "actor")
    list_filter = ("verb", "yard_id")
    list_select_related = ("actor",)
    search_fields = ("subject_id",)


@admin.register(Work)
class WorkAdmin(ReadOnly):
    """Background work."""

    list_display = ("kind", "state", "progress", "runs", "created_at", "finished_at", "yard_id")
    list_filter = ("state", "kind")


@admin.register(Notice)
class NoticeAdmin(ReadOnly):
    """The outbox."""

    list_display = ("key", "channel", "state", "created_at", "sent_at")
    list_filter = ("state", "channel")

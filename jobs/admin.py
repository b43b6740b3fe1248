"""Looking up and mending rows; no rules here."""

from django.contrib import admin

from jobs.models import (
    Contact,
    Detail,
    Edge,
    Inspection,
    Job,
    Load,
    PhaseWork,
    Photo,
    ReadyItem,
    Section,
    Supplier,
    Yard,
)


class Rows(admin.ModelAdmin):
    """Rows of one model."""


class Lines(admin.TabularInline):
    """Rows that belong to a job."""


class SectionInline(Lines):
    model = Section
    extra = 0
    fields = ("position", "name", "pitch_in_12", "squares", "old_squares", "bare_squares", "dried_in_squares")


class ReadyInline(Lines):
    model = ReadyItem
    extra = 0


@admin.register(Yard)
class YardAdmin(Rows):
    list_display = ("name", "company", "time_zone", "is_demo")


@admin.register(Supplier)
class SupplierAdmin(Rows):
    list_display = ("name", "yard", "kind", "phone")
    list_filter = ("yard", "kind")


@admin.register(Job)
class JobAdmin(Rows):
    list_display = ("number", "short_name", "yard", "kind", "status", "street")
    list_filter = ("yard", "status", "kind")
    search_fields = ("number", "short_name", "street")
    inlines = (SectionInline, ReadyInline)


@admin.register(Section)
class SectionAdmin(Rows):
    list_display = ("job", "name", "pitch_in_12", "squares", "old_squares", "bare_squares", "dried_in_squares")
    search_fields = ("job__number", "name")


@admin.register(Edge)
class EdgeAdmin(Rows):
    list_display = ("job", "kind", "length_ft", "open_ft", "finished_ft")
    list_filter = ("kind",)


@admin.register(Detail)
class DetailAdmin(Rows):
    list_display = ("job", "kind", "count", "length_ft", "section")


@admin.register(PhaseWork)
class PhaseWorkAdmin(Rows):
    list_display = ("job", "section", "phase", "planned_labor_hours", "done_labor_hours")
    list_filter = ("phase",)


@admin.register(Load)
class LoadAdmin(Rows):
    list_display = ("job", "kind", "state", "need_by", "slot_start", "weight_lb")
    list_filter = ("kind", "state")


@admin.register(Inspection)
class InspectionAdmin(Rows):
    list_display = ("job", "kind", "state", "window_start", "window_end")
    list_filter = ("kind", "state")


@admin.register(Photo)
class PhotoAdmin(Rows):
    list_display = ("job", "kind", "taken_at", "by")
    list_filter = ("kind",)


@admin.register(Contact)
class ContactAdmin(Rows):
    list_display = ("job", "language")

"""From a checked report form to the entry that is kept: which kind, where, how much was shown before."""

import uuid
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils.translation import gettext_lazy as _

from crews.progress import NewEntry
from jobs.models import Edge, Section
from roofops.pages.forms.report import (
    DriedInForm,
    EmptyForm,
    NamedForm,
    PeopleForm,
    PhotoForm,
    ProblemForm,
    ReportForm,
    SheetsForm,
    SquaresForm,
)


@dataclass(frozen=True)
class What:
    """One thing that can be reported: its form, its words, and the kind of its entry (empty: the form says)."""

    form: type[ReportForm]
    heading: Any
    button: Any
    kind: str = ""
    note: Any = ""


WHATS = {
    "squares": What(SquaresForm, _("Report squares"), _("Save this report")),
    "dried_in": What(
        DriedInForm,
        _("Section is dried-in"),
        _("It is closed"),
        "dried_in",
        _("Closed: lapped over the ridge, sealed to the old shingles, valleys lined, pipes capped, nothing bare."),
    ),
    "rain": What(
        EmptyForm,
        _("Rain here now"),
        _("It rains here now"),
        "rain_here",
        _("Close what is open. The office is told."),
    ),
    "people": What(PeopleForm, _("Who is here"), _("Save this report"), "people_here"),
    "sheets": What(SheetsForm, _("Deck sheets replaced"), _("Save this report"), "deck_sheets"),
    "dry": What(
        NamedForm, _("The deck is dry"), _("It is dry"), "dry_reading", _("Dry to the hand, or read with the meter.")
    ),
    "closed": What(
        NamedForm,
        _("Closed for the night"),
        _("It is closed for the night"),
        "closed",
        _("Bare deck 0 sq, open ridge 0 ft, laps capped, valleys and walls sealed."),
    ),
    "problem": What(ProblemForm, _("Something is wrong"), _("Tell the office"), "problem"),
    "photo": What(PhotoForm, _("Photo"), _("Save the photo")),
}


def before_fields(sections: list[Section], edges: list[Edge]) -> list[tuple[str, str]]:
    """Return what the form showed as done so far, to be sent back with the report: (field name, amount)."""
    found = []
    for row in sections:
        found += [(f"before_s{row.pk}_{kind}", f"{amount:.4f}") for kind, amount in slope_totals(row).items()]
    for edge in edges:
        found.append((f"before_e{edge.pk}_ridge_opened", f"{edge.open_ft + edge.finished_ft:.4f}"))
        found.append((f"before_e{edge.pk}_ridge_finished", f"{edge.finished_ft:.4f}"))
    return found


def slope_totals(row: Section) -> dict[str, float]:
    """Return the running totals of one slope [squares]."""
    closed = row.dried_in_squares + row.shingled_squares
    return {"torn_off": row.bare_squares + closed, "dried_in": closed, "shingled": row.shingled_squares}


def entry_of(
    what: str, form: ReportForm, posted: Any, job_id: int, client_uuid: uuid.UUID, now: datetime, photo_id: int | None
) -> NewEntry:
    """Return the entry that a checked form stands for.

    Raises
    ------
    ValueError
        The report makes no sense, in a sentence.
    """
    data = form.cleaned_data
    kind = WHATS[what].kind or data["kind"]
    place = data.get("place") or ""
    section_id = int(place[1:]) if place.startswith("s") else None
    edge_id = int(place[1:]) if place.startswith("e") else None
    amount = data.get("amount")
    if what == "dried_in" and section_id is not None:
        # What the lead saw counts: squares torn off since then are not closed by this tap.
        now_torn = slope_totals(form.sections[section_id])["torn_off"]
        shown_torn = _before(posted, place, "torn_off")
        amount = now_torn if shown_torn is None else min(shown_torn, now_torn)
    note = str(data.get("note") or "")
    if data.get("problem"):
        note = f"{data['problem']}: {note}" if note else data["problem"]
    if data.get("no_photo") and photo_id is None:
        note = f"{note} (no photo)".strip()
    return NewEntry(
        client_uuid=client_uuid,
        job_id=job_id,
        kind=kind,
        at=now,
        device="web",
        section_id=section_id,
        edge_id=edge_id,
        done_before=_before(posted, place, kind),
        done_after=amount,
        note=note,
        by_name=str(data.get("by_name") or ""),
        photo_id=photo_id,
    )


def _before(posted: Any, place: str, kind: str) -> float | None:
    try:
        return float(posted.get(f"before_{place}_{kind}", ""))
    except ValueError:
        return None

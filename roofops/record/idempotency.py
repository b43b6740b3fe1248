"""Makes the repetition of a POST harmless: the second one gets the first one's answer."""

import uuid
from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.db import IntegrityError, transaction
from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse
from django.utils.translation import gettext as _

from roofops.record import clock
from roofops.record.models import IdempotencyKey

HEADER = "Idempotency-Key"
FIELD = "idempotency_key"
REFUSED_FROM = 400

Args = ParamSpec("Args")
View = Callable[Concatenate[HttpRequest, Args], HttpResponse]


def idempotent(view: View[Args]) -> View[Args]:
    """Answer a repeated POST with the stored answer; the key is a UUID in the header or the form.

    The key, what the view saves and the answer go into one transaction, so a crash leaves all or nothing. The view
    must therefore do no slow work itself. A refusal (400 and above) is not kept: the person may mend and repeat it.
    Without a key the view runs as it is.
    """

    @wraps(view)
    def once(request: HttpRequest, *args: Args.args, **kwargs: Args.kwargs) -> HttpResponse:
        text = request.headers.get(HEADER) or request.POST.get(FIELD)
        if request.method != "POST" or not text or not request.user.is_authenticated:
            return view(request, *args, **kwargs)
        try:
            key = uuid.UUID(text)
        except ValueError:
            return _plain(_("The idempotency key must be a UUID."), 400)
        method_path = f"POST {request.path}"[:300]
        try:
            with transaction.atomic():
                row = IdempotencyKey.objects.create(
                    key=key, user_id=request.user.pk, method_path=method_path, created_at=clock.now()
                )
                return _keep(row, view(request, *args, **kwargs))
        except IntegrityError:
            known = IdempotencyKey.objects.filter(key=key, user_id=request.user.pk).first()
            if known is None:  # the view itself broke a rule of the database
                raise
            return _repeat(known, method_path)

    return once


def _keep(row: IdempotencyKey, response: HttpResponse) -> HttpResponse:
    if isinstance(response, TemplateResponse):
        response.render()
    if response.status_code >= REFUSED_FROM:
        row.delete()
        return response
    row.response_status = response.status_code
    row.response_body = response.content.decode(response.charset or "utf-8")
    row.response_type = response.headers.get("Content-Type", "text/html")
    row.response_location = response.headers.get("Location", "")
    row.save()
    return response


def _repeat(row: IdempotencyKey, method_path: str) -> HttpResponse:
    if row.method_path != method_path:
        return _plain(_("This idempotency key belongs to another request."), 422)
    response = HttpResponse(row.response_body, status=row.response_status, content_type=row.response_type)
    if row.response_location:
        response["Location"] = row.response_location
    return response


def _plain(text: str, status: int) -> HttpResponse:
    return HttpResponse(text, status=status, content_type="text/plain; charset=utf-8")

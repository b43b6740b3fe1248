"""The check that stands before a view."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest
from django.http.response import HttpResponseBase

from roofops.access.requests import access_for
from roofops.record.access import Forbidden, Role

Args = ParamSpec("Args")
View = Callable[Concatenate[HttpRequest, Args], HttpResponseBase]


def require_role(*roles: Role) -> Callable[[View[Args]], View[Args]]:
    """Let only people through who hold one of these roles in some yard; any role counts when none is named.

    A visitor is sent to the sign-in page. Whether the role is held in the yard of the row at hand is checked by the
    query or action that gets the `Access`; this is the first, coarse door.
    """

    def wrap(view: View[Args]) -> View[Args]:
        @wraps(view)
        def checked(request: HttpRequest, *args: Args.args, **kwargs: Args.kwargs) -> HttpResponseBase:
            access = access_for(request)
            if access.user is None:
                return redirect_to_login(request.get_full_path())
            if not access.yards(*roles):
                raise Forbidden("This page is for another role.")
            return view(request, *args, **kwargs)

        return checked

    return wrap

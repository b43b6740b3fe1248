"""The sign-in form."""

from typing import Any

from django.contrib.auth.forms import AuthenticationForm
from django.utils.translation import gettext_lazy as _


class SignInForm(AuthenticationForm):
    """User name and password; the message never says which of the two was wrong."""

    error_messages = {
        "invalid_login": _("User name and password do not fit. Check both and try again."),
        "inactive": _("User name and password do not fit. Check both and try again."),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = _("User name")
        self.fields["username"].widget.attrs |= {"autocomplete": "username", "autocapitalize": "none"}
        self.fields["password"].label = _("Password")

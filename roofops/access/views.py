"""Sign in and sign out."""

from typing import Any

from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpResponse

from roofops.access.forms import SignInForm


class SignIn(LoginView):
    """The sign-in page. Django checks that `next` stays on this site; axes counts the bad tries."""

    form_class = SignInForm
    template_name = "access/sign_in.html"
    redirect_authenticated_user = True

    def form_invalid(self, form: Any) -> HttpResponse:
        """Show the form again with what was typed, answered as a refusal so that no script takes it for success."""
        response = super().form_invalid(form)
        response.status_code = 422
        return response


class SignOut(LogoutView):
    """Ends the session; POST only, so that no foreign page can sign somebody out."""

    http_method_names = ["post", "options"]

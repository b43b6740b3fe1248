"""Addresses for signing in and out."""

from django.urls import path

from roofops.access.views import SignIn, SignOut

urlpatterns = [
    path("sign-in/", SignIn.as_view(), name="sign_in"),
    path("sign-out/", SignOut.as_view(), name="sign_out"),
]

"""Every address of the site, by app."""

from django.contrib import admin
from django.urls import URLPattern, URLResolver, include, path

from roofops import health

urlpatterns: list[URLPattern | URLResolver] = [
    path("healthz", health.healthz, name="healthz"),
    path("readyz", health.readyz, name="readyz"),
    path("admin/", admin.site.urls),
    path("", include("roofops.access.urls")),
    path("", include("roofops.pages.urls")),
]

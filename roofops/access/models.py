"""Who holds which role in which yard."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from roofops.record.access import Role

ROLE_NAMES = [
    (Role.MANAGER.value, _("Project manager")),
    (Role.DISPATCHER.value, _("Dispatcher")),
    (Role.CREW_LEAD.value, _("Crew lead")),
]


class Membership(models.Model):
    """One person's role in one yard. Which worker a crew lead is stands in `crews.Worker.user`."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="memberships")
    yard = models.ForeignKey("jobs.Yard", on_delete=models.CASCADE, related_name="+")
    role = models.CharField(max_length=12, choices=ROLE_NAMES)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["user", "yard"], name="access_one_role_per_yard")]
        verbose_name = _("membership")
        verbose_name_plural = _("memberships")

    def __str__(self) -> str:
        return f"{self.user_id} {self.role} {self.yard_id}"

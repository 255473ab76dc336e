"""The one Django app."""

from django.apps import AppConfig


class ShopConfig(AppConfig):
    """Models and pages of the shop."""

    name = "casewright.shop"
    label = "shop"
    default_auto_field = "django.db.models.BigAutoField"

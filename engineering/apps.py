"""The only Django import here: it makes `engineering` an installed app."""

from django.apps import AppConfig


class EngineeringConfig(AppConfig):
    name = "engineering"

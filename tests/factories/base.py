"""What every factory shares."""

from __future__ import annotations

from factory.django import DjangoModelFactory

PASSWORD = "long enough for a test"


class Factory(DjangoModelFactory):
    class Meta:
        abstract = True
        skip_postgeneration_save = True

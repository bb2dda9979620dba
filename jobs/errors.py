"""What a service says when it will not do something. Not status codes."""

from __future__ import annotations

from django.db.models import Model


class Refused(Exception):
    """A rule stands in the way. `reasons` are sentences that a person can act on, all of them at once."""

    def __init__(self, *reasons: str) -> None:
        if not reasons:
            raise ValueError("A refusal names at least one reason.")
        self.reasons = reasons
        super().__init__(" ".join(reasons))


class Stale(Refused):
    """The row was changed after the writer read it. `current` is the row as it stands now."""

    def __init__(self, current: Model) -> None:
        self.current = current
        super().__init__(
            f"Someone changed this {current._meta.verbose_name} while you were editing it "
            f"(now version {current.version}). Look at what it says now, then save again."
        )


class NeverChanged(Exception):
    """A frozen or append-only row was about to be changed or deleted: a mistake in the program, not a refusal."""

"""What the tests of pages share: logging in, and a form as a browser would send it."""

from __future__ import annotations

from html.parser import HTMLParser

from django.test import Client

from tests.factories import UserFactory


def logged_in(*roles: str) -> Client:
    """A browser of a new user with these roles; `client.user` is that user."""
    client = Client()
    client.user = UserFactory(roles=list(roles))
    client.force_login(client.user)
    return client


class _Fields(HTMLParser):
    """Collects what the page's forms would send, untouched."""

    def __init__(self) -> None:
        super().__init__()
        self.values: dict[str, str | list[str]] = {}
        self.select = ""
        self.textarea = ""
        self.in_main = False

    def handle_starttag(self, tag, attrs):
        at = dict(attrs)
        if tag == "main":
            self.in_main = True
        if not self.in_main:
            return
        if tag == "input" and at.get("name"):
            if at.get("type") in ("checkbox", "radio"):
                if "checked" in at:
                    self._add(at["name"], at.get("value", "on"))
            elif at.get("type") != "file":
                self.values[at["name"]] = at.get("value", "")
        elif tag == "select":
            self.select = at["name"]
            self.values.setdefault(self.select, "")
        elif tag == "option" and self.select and "selected" in at:
            self.values[self.select] = at["value"]
        elif tag == "textarea":
            self.textarea = at["name"]
            self.values[self.textarea] = ""

    def _add(self, name, value):
        before = self.values.get(name)
        self.values[name] = value if before is None else [*([before] if isinstance(before, str) else before), value]

    def handle_endtag(self, tag):
        if tag == "select":
            self.select = ""
        elif tag == "textarea":
            self.textarea = ""

    def handle_data(self, data):
        if self.textarea:
            self.values[self.textarea] += data


def as_sent(response) -> dict[str, str | list[str]]:
    """Every field of the page's main part as a browser would send it if nobody touched it."""
    parser = _Fields()
    parser.feed(response.content.decode())
    return parser.values

"""One walk through all four roles, and a stranger with a sheet in hand, on the demo and in a real browser."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

from reports import demo_engineer
from tests.demo_company import DemoCompany
from tests.servers import need

pytestmark = pytest.mark.browser
WIDE, PHONE = {"width": 1280, "height": 900}, {"width": 360, "height": 740}
QUIET = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run",
         "--disable-component-update", "--disable-sync"]  # fmt: skip
USERS = {"office": "olive", "estimator": "emery", "engineer": "edda", "installer": "ines"}


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as play:
        chromium = play.chromium.launch(executable_path=need("chromium"), args=QUIET)
        yield chromium
        chromium.close()


@contextmanager
def a_person(browser: Browser, company: DemoCompany, *, size: dict[str, int] = WIDE) -> Iterator[Page]:
    """A page whose console stays silent and that asks nobody but the company's server."""
    context = browser.new_context(viewport=size, accept_downloads=True)
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    yield page
    # The browser shows a PDF with pages of its own, chrome://….
    elsewhere = [url for url in asked if not url.startswith((company.url, "data:", "blob:", "chrome"))]
    # A refused form or page is answered 4xx, which the browser repeats on its console.
    problems = [text for text in said if "the server responded with a status of 4" not in text]
    context.close()
    assert not elsewhere
    assert not problems


@contextmanager
def logged_in(browser: Browser, company: DemoCompany, role: str, *, size: dict[str, int] = WIDE) -> Iterator[Page]:
    with a_person(browser, company, size=size) as page:
        page.goto(f"{company.url}/")
        page.get_by_label("User name").fill(USERS[role])
        page.get_by_label("Password").fill(company.passwords[USERS[role]])
        page.get_by_role("button", name="Log in").click()
        yield page


def fits(page: Page) -> None:
    """Nothing to scroll sideways for."""
    page.wait_for_load_state("load")
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]


def test_the_estimator_finds_a_house_and_mends_a_measure(browser, demo_server):
    with logged_in(browser, demo_server, "estimator") as page:
        page.get_by_label(re.compile("^Search")).fill("Saltbush")
        page.get_by_role("button", name="Show").click()
        expect(page.locator("main")).not_to_contain_text("Larkspur")
        page.get_by_role("link", name="26-0003").or_(page.locator("a", has_text="-0003")).first.click()
        expect(page.get_by_role("heading", level=1)).to_contain_text("not observed")
        expect(page.get_by_role("link", name="Admin")).to_have_count(0)
        page.get_by_role("link", name="Line A", exact=True).click()

        depth = page.get_by_label("Rim or end joist, depth", exact=True)
        depth.fill("9")  # feet or inches?
        headroom = page.get_by_label("Headroom under the plates", exact=True)
        headroom.fill("2 ft 7-1/2 in")
        page.get_by_role("button", name="Save and compute").click()
        expect(page.get_by_role("alert")).to_contain_text("Rim or end joist, depth")
        expect(page.get_by_label("Rim or end joist, depth", exact=True)).to_have_value("9")
        expect(page.get_by_label("Headroom under the plates", exact=True)).to_have_value("2 ft 7-1/2 in")

        page.get_by_label("Rim or end joist, depth", exact=True).fill("9 1/4 in")
        page.get_by_role("button", name="Save and compute").click()
        expect(page.get_by_label("Headroom under the plates", exact=True)).to_have_value("2'-7 1/2\"")
        expect(page.locator("main")).to_contain_text("31 1/2 in")
        drawing = page.locator("img[src*='load-path']")
        expect(drawing).to_be_visible()
        page.wait_for_load_state("load")  # with its pictures
        assert drawing.evaluate("image => image.complete && image.naturalWidth > 100")
        expect(page.locator("main")).to_contain_text("Quantity study, not engineering")
        page.set_viewport_size(PHONE)
        fits(page)
        assert page.goto(f"{demo_server.url}/review/2/").status == 403
        assert page.goto(f"{demo_server.url}/admin/").status == 403


def test_the_engineer_reads_signs_and_stamps(browser, demo_server, tmp_path):
    key = demo_engineer.ThrowAwayKey.load((demo_server.var / "demo-engineer.p12").read_bytes())
    with logged_in(browser, demo_server, "engineer") as page:
        page.locator("a", has_text="-0002").first.click()
        expect(page.locator("main")).to_contain_text("Criteria sheet")
        step = page.locator("details", has_text="12d common nail").first
        step.locator("summary").first.click()
        expect(step).to_contain_text("NDS")
        for number in (1, 2):
            row = page.locator(".packet-file").nth(number - 1)
            with page.expect_download() as coming:
                row.get_by_role("link", name="download the signing copy").click()
            signing_copy = Path(coming.value.path()).read_bytes()
            if number == 1:  # the wrong file first: it says why, and nothing is stamped
                row.locator("input[type=file]").set_input_files(
                    {"name": "unsigned.pdf", "mimeType": "application/pdf", "buffer": signing_copy}
                )
                row.get_by_role("button", name="Send the signed file").click()
                expect(page.locator("[role=alert]")).to_contain_text("sign")
                page.goto(f"{demo_server.url}/review/2/")
                row = page.locator(".packet-file").nth(0)
            signed = demo_engineer.sign(signing_copy, key, licence="Invented CA DEMO-0000", day="today")
            row.locator("input[type=file]").set_input_files(
                {"name": "signed.pdf", "mimeType": "application/pdf", "buffer": signed}
            )
            row.get_by_role("button", name="Send the signed file").click()
            page.goto(f"{demo_server.url}/review/2/")
            expect(page.locator(".packet-file").nth(number - 1)).to_contain_text("stamped")
        page.get_by_role("button", name="Move the job to “stamped”").click()
        page.goto(f"{demo_server.url}/review/2/")
        expect(page.locator("main")).to_contain_text("current")
        page.set_viewport_size(PHONE)
        fits(page)
        page.goto(f"{demo_server.url}/jobs/2/")
        page.get_by_role("link", name="Methods and load path").first.click()
        expect(page.get_by_role("heading", level=1)).to_contain_text("Methods for wall line")
        expect(page.locator("a[href*='/wall-lines/']")).to_have_count(0)  # the survey is not the engineer's to change
        assert page.goto(f"{demo_server.url}/jobs/3/").status == 404  # not assigned


def test_the_crew_works_a_wall_on_a_phone(browser, demo_server):
    with logged_in(browser, demo_server, "installer", size=PHONE) as page:
        expect(page.get_by_role("heading", level=1)).to_contain_text("Today")
        fits(page)
        page.locator("a.card").first.click()
        page.get_by_role("link", name=re.compile("^Wall 1")).click()
        expect(page.get_by_role("heading", level=1)).to_have_text("Wall 1")
        fits(page)
        before = page.locator("main").inner_text()
        assert "0 of " in before
        page.locator("a.card.next").click()
        button = page.get_by_role("button", name="Installed as shown")
        assert button.bounding_box()["height"] >= 48
        fits(page)
        button.click()
        page.get_by_role("link", name=re.compile("‹ Wall 1")).click()
        expect(page.locator("main")).not_to_contain_text("0 of 36 installed")
        page.get_by_role("button", name="Tick").first.click()
        expect(page.locator("main")).to_contain_text("Ines Calloway")
        for path in ("/clients/", "/review/", "/admin/"):
            assert page.goto(f"{demo_server.url}{path}").status == 403
        assert page.goto(f"{demo_server.url}/jobs/2/").status == 404
        page.goto(f"{demo_server.url}/jobs/1/")
        expect(page.locator("body")).not_to_contain_text("555-0142")  # the owner's telephone


def test_the_office_sees_what_each_job_waits_for_and_submits_one(browser, demo_server):
    with logged_in(browser, demo_server, "office") as page:
        expect(page.locator("main")).to_contain_text("the plate joints of wall B")
        page.locator("a", has_text="-0001").first.click()
        expect(page.locator("main")).to_contain_text("current")
        expect(page.locator("main")).to_contain_text("DEMO-26-0417")
        page.get_by_role("link", name="W1", exact=True).click()
        expect(page.locator("main")).to_contain_text("Wall 1")
        page.set_viewport_size(PHONE)
        fits(page)
        assert page.goto(f"{demo_server.url}/api/docs/").status == 200
        assert page.goto(f"{demo_server.url}/admin/").status == 200


def test_a_stranger_with_a_sheet_learns_if_it_is_genuine(browser, demo_server):
    path = re.search(r"current; http\S+?(/verify/\S+)", demo_server.output)[1]
    stamped = re.search(r"stamp on plan set .*: valid, (\S+)", demo_server.output)[1]
    with a_person(browser, demo_server, size=PHONE) as page:
        page.goto(f"{demo_server.url}{path}")
        expect(page.locator("main")).to_contain_text("genuine and current")
        expect(page.locator("main")).to_contain_text("Edda Thornquist")
        expect(page.locator("body")).not_to_contain_text("Quade")  # the client's name
        fits(page)
        page.get_by_label("A PDF that you were given").set_input_files(stamped)
        page.get_by_role("button", name="Compare").click()
        expect(page.locator("main")).to_contain_text("byte for byte")
        other = Path(stamped).read_bytes().replace(b"%PDF-1", b"%PDF-2", 1)
        page.get_by_label("A PDF that you were given").set_input_files(
            {"name": "other.pdf", "mimeType": "application/pdf", "buffer": other}
        )
        page.get_by_role("button", name="Compare").click()
        expect(page.locator("main")).to_contain_text("none of this packet's files")
        page.goto(f"{demo_server.url}/jobs/1/")
        expect(page.get_by_role("heading", level=1)).to_have_text("Log in")

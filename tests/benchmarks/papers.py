"""How fast papers are drawn, beside bare WeasyPrint and Chromium, and how much memory the workers take.

Run by hand: `.venv/bin/python -m tests.benchmarks.papers [runs [packets]]`. Prints medians and ratios, asserts nothing.
Real workers (Celery, two prefork processes, files as broker, SQLite) draw a packet from the asking to its four copies;
the same two processes draw the same sections with bare WeasyPrint; a warm Chromium prints the same HTML, both one tab
after another and in two tabs at once. The ways take turns, so that a busy machine hits all of them alike. `packets`
packets are drawn for the memory (100 unless told).
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from statistics import median
from typing import Any

VAR = Path(tempfile.mkdtemp(prefix="stemwall-papers-"))
os.environ["STEMWALL_VAR"] = str(VAR)
os.environ["DJANGO_SETTINGS_MODULE"] = "tests.benchmarks.papers_settings"
WORKER = (sys.executable, "-m", "celery", "-A", "jobs.project", "worker", "-P", "prefork", "-c", "2")


def main(runs: int, packets: int) -> None:
    """Print the table."""
    import django

    django.setup()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    with (VAR / "worker.log").open("wb") as log:
        worker = subprocess.Popen([*WORKER, "--loglevel", "WARNING"], stdout=log, stderr=log, start_new_session=True)
    try:
        Benchmark().run(runs, packets)
    finally:
        os.killpg(worker.pid, signal.SIGKILL)
        worker.wait(10)
        shutil.rmtree(VAR)


class Benchmark:
    def __init__(self) -> None:
        from tests.benchmarks import papers_worker
        from tests.factories import DesignFactory, UserFactory
        from tests.reports import snapshots

        self.worker, self.snapshots = papers_worker, snapshots
        self.office, first = UserFactory(roles=["office"]), DesignFactory()
        self.job, self.new_design = first.job, DesignFactory
        self.base = snapshots.snapshot()
        self.sections = [
            section
            for kind in papers_worker.TWENTY_PAGES
            for section in papers_worker.sections(kind, self.base | {"benchmark": "twenty pages"}, None)
        ]

    def run(self, runs: int, packets: int) -> None:
        self.describe()
        self.packet("twenty pages"), self.bare()  # warm
        with Chromium(self.sections, self.worker.html_of) as chromium:
            ways: dict[str, Callable[[], float]] = {
                "ours": lambda: self.packet("twenty pages"),
                "bare": self.bare,
                "chromium": chromium.one_by_one,
                "two tabs": chromium.in_two_tabs,
            }
            chromium.in_two_tabs()
            times: dict[str, list[float]] = {name: [] for name in ways}
            work: dict[str, list[float]] = {name: [] for name in ways}
            for _ in range(runs):
                for name, way in ways.items():
                    before = processor_s()
                    times[name].append(way())
                    work[name].append(processor_s() - before)
        ours, bare, one, two = (median(times[name]) for name in ways)
        say("packet, from asking to four copies", ours)
        say("bare WeasyPrint, same sections, same two processes", bare, ours / bare, 1.10)
        say("Chromium, same HTML, one after another", one, ours / one, 1.0)
        say("Chromium, same HTML, two tabs at once", two, ours / two, 1.0)
        effort = {name: median(seconds) for name, seconds in work.items()}
        for name, what in (("bare", "bare WeasyPrint's"), ("chromium", "Chromium's")):
            say(f"processor time, beside {what}", effort["ours"], effort["ours"] / effort[name])
        self.whole_and_changed(runs)
        say("60 sheets with 80 photos of 12 megapixels (s)", self.photos(), target=30)
        self.memory(packets)

    def describe(self) -> None:
        from reports import merging, rendering

        pages = sum(merging.page_count(rendering.render_section(section)) for section in self.sections)
        drawings = [drawing for section in self.sections for drawing in section.drawings.values()]
        cells = sum(self.worker.html_of(section).count("<td") for section in self.sections)
        parts = sum(drawing.count("<") for drawing in drawings)
        load = os.getloadavg()[0]
        what = f"{pages} pages, {len(drawings)} drawings ({parts:,} elements), {cells:,} cells"
        print(f"{len(self.sections)} sections, {what}")
        print(f"{os.cpu_count()} processors, load {load:.1f} before the start (two are busy while it runs)")

    # --- ours --------------------------------------------------------------------------------------------------------
    def packet(self, which: str, snapshot: dict[str, Any] | None = None, *, drawn_before: bool = False) -> float:
        """Seconds from asking for a packet to its last copy."""
        from jobs.models import Packet
        from reports.services.packets import make_packet

        if not drawn_before:
            shutil.rmtree(VAR / "files" / "sections", ignore_errors=True)
        text = json.dumps((snapshot or self.base) | {"benchmark": which}, sort_keys=True)
        design = self.new_design(job=self.job, snapshot=text)
        start = time.perf_counter()
        packet = make_packet(design_id=design.pk, by=self.office)
        wait_until(lambda: Packet.objects.get(pk=packet.pk).is_ready)
        return time.perf_counter() - start

    def whole_and_changed(self, runs: int) -> None:
        """The whole packet of the house, and again after the end anchor of one wall line was moved by an inch."""
        results: set[tuple[tuple[str, bytes], ...]] = set()
        full, again, changed = [], [], []
        for number in range(runs):
            full.append(self.packet("all"))
            drawn = stored_sections()
            again.append(self.packet("all", drawn_before=True))
            changed.append(self.packet("all", self.with_line_changed(number + 1), drawn_before=True))
            redrawn = len(stored_sections()) - len(drawn)
            results.add(tuple(sorted(drawn.items())))
        say("whole packet", median(full))
        say("the same again, nothing to draw", median(again), median(again) / median(full))
        say("one wall line changed", median(changed), median(changed) / median(full), 0.25)
        again = f"{redrawn} of {len(drawn)} sections drawn again"
        print(f"  {again}; all of them {runs} times from nothing: {len(results)} different result(s)")

    def with_line_changed(self, inches: int) -> dict[str, Any]:
        inputs = self.snapshots.house_inputs()
        first, *others = inputs.lines
        anchors = first.existing_anchors
        moved = replace(anchors[-1], at_ft=anchors[-1].at_ft - inches / 12)
        return self.snapshots.snapshot(
            replace(inputs, lines=(replace(first, existing_anchors=(*anchors[:-1], moved)), *others))
        )

    def photos(self) -> float:
        from reports import storage
        from tests.benchmarks.photos import crawlspace

        for number in range(self.worker.PHOTOS):
            storage.put(f"photos/{number}.jpg", crawlspace(number))
        return self.document("photos")

    def document(self, which: str) -> float:
        from reports.models import Document
        from reports.services.documents import request_document

        design = self.new_design(job=self.job, snapshot=json.dumps(self.base | {"benchmark": which}, sort_keys=True))
        start = time.perf_counter()
        document = request_document(kind="plan_set", design_id=design.pk, by=self.office)
        wait_until(lambda: Document.objects.get(pk=document.pk).state in ("ready", "failed"))
        seconds = time.perf_counter() - start
        if problem := Document.objects.get(pk=document.pk).problem:
            raise RuntimeError(problem)
        return seconds

    def memory(self, packets: int) -> None:
        for _ in range(packets):
            self.packet("twenty pages")
        for number in range(20):  # enough for each process to take one
            self.worker.memory.delay(str(VAR / f"asked-{number}"))
        wait_until(lambda: len(list(VAR.glob("memory-*"))) >= 2, seconds=30)
        peaks = sorted(float(file.read_text()) for file in VAR.glob("memory-*"))
        say(f"peak memory of a worker after {packets} packets (MB)", peaks[-1], target=600)

    # --- bare WeasyPrint ---------------------------------------------------------------------------------------------
    def bare(self) -> float:
        """Seconds for the same sections over the same two processes, the longest first."""
        folder = Path(tempfile.mkdtemp(dir=VAR))
        jobs = []
        for number, section in enumerate(sorted(self.sections, key=lambda section: section.work, reverse=True)):
            names = [str(folder / f"{number}.{kind}") for kind in ("html", "json", "pdf")]
            Path(names[0]).write_text(self.worker.html_of(section))
            Path(names[1]).write_text(json.dumps({name: str(drawing) for name, drawing in section.drawings.items()}))
            jobs.append(names)
        start = time.perf_counter()
        for names in jobs:
            self.worker.bare.delay(*names)
        wait_until(lambda: all(Path(names[2]).exists() for names in jobs))
        return time.perf_counter() - start


def stored_sections() -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in (VAR / "files" / "sections").glob("*.pdf")}


class Chromium:
    """A warm browser that prints files with pictures and style beside them."""

    def __init__(self, sections: list[Any], html_of: Callable[[Any], str]) -> None:
        from reports.rendering import ASSETS

        self.folder = VAR / "chromium"
        shutil.copytree(ASSETS, self.folder)
        css = (self.folder / "print.css").read_text().replace("asset:", "")
        (self.folder / "print.css").write_text(css)
        self.files = []
        for number, section in enumerate(sorted(sections, key=lambda section: section.work, reverse=True)):
            html = html_of(section).replace("asset:", "")
            for name, drawing in section.drawings.items():
                (self.folder / f"{number}-{name}.svg").write_text(drawing)
                html = html.replace(f"drawing:{name}", f"{number}-{name}.svg")
            file = self.folder / f"{number}.html"
            file.write_text(html)
            self.files.append(file)

    def __enter__(self) -> Chromium:
        # Each tab is driven from a thread of its own, as the driver wants it.
        self.threads = [ThreadPoolExecutor(1) for _ in range(2)]
        self.tabs = [thread.submit(self._open).result() for thread in self.threads]
        return self

    def __exit__(self, *_: object) -> None:
        for thread, (driver, browser, _) in zip(self.threads, self.tabs, strict=True):
            thread.submit(browser.close).result()
            thread.submit(driver.stop).result()
            thread.shutdown()

    def _open(self) -> tuple[Any, Any, Any]:
        from playwright.sync_api import sync_playwright

        driver = sync_playwright().start()
        browser = driver.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        return driver, browser, browser.new_page()

    def one_by_one(self) -> float:
        return self._print([self.files, []])

    def in_two_tabs(self) -> float:
        """Whoever is free takes the next."""
        left = list(self.files)
        return self._timed([left, left])

    def _print(self, shares: list[list[Path]]) -> float:
        return self._timed([list(share) for share in shares])

    def _timed(self, shares: list[list[Path]]) -> float:
        def work(tab: Any, share: list[Path]) -> None:
            while share:
                tab.goto(share.pop(0).as_uri())
                tab.pdf(prefer_css_page_size=True, print_background=True)

        start = time.perf_counter()
        waiting = [
            thread.submit(work, tab, share)
            for thread, (_, _, tab), share in zip(self.threads, self.tabs, shares, strict=True)
        ]
        for one in waiting:
            one.result()
        return time.perf_counter() - start


def processor_s() -> float:
    """Processor time of all processes that this one started, so far: less disturbed by what else runs than a clock."""
    parents, seconds = {}, {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            facts = stat.read_text().rpartition(")")[2].split()
        except OSError:  # it has just ended
            continue
        pid = int(stat.parent.name)
        parents[pid], seconds[pid] = int(facts[1]), sum(map(int, facts[11:15])) / os.sysconf("SC_CLK_TCK")
    ours, found = {os.getpid()}, True
    while found:
        found = {pid for pid, parent in parents.items() if parent in ours} - ours
        ours |= found
    return sum(seconds.get(pid, 0) for pid in ours - {os.getpid()})


def wait_until(done: Callable[[], bool], seconds: float = 120) -> None:
    end = time.monotonic() + seconds
    while not done():
        if time.monotonic() > end:
            raise TimeoutError((VAR / "worker.log").read_text()[-3000:])
        time.sleep(0.005)


def say(what: str, value: float, ratio: float | None = None, target: float | None = None) -> None:
    times = f"{ratio:6.2f} ×" if ratio is not None else 8 * " "
    print(f"  {what:<52}{value:8.2f}  {times}{f'   target {target:g}' if target else ''}", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5, int(sys.argv[2]) if len(sys.argv) > 2 else 100)

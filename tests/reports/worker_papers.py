"""What the workers of these tests draw: a section for each note of the snapshot.

Each drawing is noted in a file. A section whose note says "stuck" hangs the first time it is drawn, until someone
kills the process that draws it.
"""

from __future__ import annotations

import os
import time
from pathlib import Path

from reports import rendering
from reports.documents import registry
from reports.sections import Section
from tests.reports.rows import sections_of_notes

VAR = Path(os.environ["STEMWALL_VAR"])
draw = rendering.render_section


def noted_drawing(section: Section) -> bytes:
    with (VAR / "drawn").open("a") as file:
        file.write(f"{section.context['body']}\n")
    if "stuck" in section.context["body"] and not (VAR / "stuck").exists():
        (VAR / "stuck").write_text(str(os.getpid()))
        time.sleep(60)
    return draw(section)


registry.sections = sections_of_notes
rendering.render_section = noted_drawing

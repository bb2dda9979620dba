// Asks every second how far a document is, and loads the page again when it is finished.
"use strict";

const watched = document.querySelector("[data-status-url]");
const wait = (milliseconds) => new Promise((resume) => setTimeout(resume, milliseconds));

async function watch() {
  for (;;) {
    await wait(1000);
    let status;
    try {
      const answer = await fetch(watched.dataset.statusUrl, { headers: { Accept: "application/json" } });
      if (!answer.ok) return;
      status = await answer.json();
    } catch {
      continue; // the server is away for a moment
    }
    if (status.finished) return window.location.reload();
    const bar = watched.querySelector("progress");
    const words = watched.querySelector("[data-words]");
    if (status.state === "queued") words.textContent = "Waiting for a worker";
    else if (status.sections_total) {
      bar.max = status.sections_total;
      bar.value = status.sections_done;
      words.textContent = `${status.sections_done} of ${status.sections_total} sections drawn`;
    }
  }
}

if (watched) watch();

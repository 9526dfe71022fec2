"use strict";
// How far the round has come at each chair that a page shows, by the ticks on this device.

(() => {
  const { say, recordOf, tickOf, isWhole, time } = self.kitdocs;
  const chairs = [...document.querySelectorAll("[data-chair]")];
  const told = document.querySelector("[data-round]");
  let waking = 0;

  function soFar(chair, counts) {
    const record = recordOf(chair.dataset.chair);
    const rows = Object.entries(JSON.parse(chair.dataset.rows));
    const ticks = rows.map(([row, on]) => [tickOf(record, row), on]).filter(([tick, on]) => tick && tick.on === on && isWhole(tick) && counts(record, tick));
    return { n: ticks.length, all: rows.length, moments: ticks.map(([tick]) => tick.at) };
  }

  function tell() {
    const { round, counts } = self.kitdocs.rounds(told.dataset.rounds);
    let whole = 0;
    for (const chair of chairs) {
      const { n, all, moments } = soFar(chair, counts);
      const isWhole = n > 0 && n === all;
      whole += isWhole;
      chair.classList.toggle("whole", isWhole);
      chair.querySelector("[data-so-far]").textContent = isWhole ? time([Math.max(...moments)]) : n ? say("so_far", { n, all }) : "";
    }
    const since = told.dataset.rounds ? ` · ${say("since", { time: time([round().began]) })}` : "";
    told.textContent = say("done", { n: whole, all: chairs.length }) + since;
    clearTimeout(waking);
    waking = setTimeout(tell, Math.max(1000, round().ends - Date.now()));
  }

  if (chairs.length) {
    addEventListener("storage", tell);
    addEventListener("pageshow", tell);
    document.addEventListener("visibilitychange", tell);
    tell();
  }
})();

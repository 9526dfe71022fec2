"use strict";
// The list of current cards, ticked off by scanning: what this device has seen of each card, noted by verdict.js.

(() => {
  const { say, remember, recall, keyOf, date, element } = self.kitdocs;
  const EDITION = /^[0-9A-Z]{4,12}$/;
  const board = document.querySelector("[data-board]");
  const [seen, only, anew, gone] = ["seen", "only", "new", "gone"].map((name) => board.querySelector(`[data-${name}]`));
  const top = new URL(".", document.querySelector(".home").href).href; // this language's
  const rows = [...document.querySelectorAll("tbody tr")].map(asRow).filter(Boolean);

  // A row of the list: its first cell leads to the card, another holds the edition.
  function asRow(line) {
    const link = line.querySelector("th a[href]");
    const edition = [...line.cells].map((cell) => cell.textContent.trim()).find((text) => EDITION.test(text));
    if (!link || !edition || !link.href.startsWith(top)) return null;
    const id = decodeURI(link.href.slice(top.length)).replace(/\.html$/, "");
    const place = element("span", { className: "seen" });
    const box = line.querySelector(".to-tick");
    ((box || line.cells[0]).querySelector(".cell") || line.cells[0]).append(place);
    if (box) box.classList.remove("empty");
    return { line, id, edition, place, table: line.closest("section") };
  }

  function audit() {
    const found = recall("audit") || {};
    return { ...found, seen: found.seen && typeof found.seen === "object" ? found.seen : {} };
  }

  // What was seen then, as it counts now: the card may have been printed anew since, here or on the wall.
  function stateOf(row, known) {
    if (!known || !known.wall) return "unseen";
    if (known.state === "current" && (known.now || []).includes(row.edition)) return "current";
    if (known.wall === row.edition) return "current";
    return known.state === "unknown" ? "unknown" : "old";
  }

  function time(at) {
    const today = new Date(at).toDateString() === new Date().toDateString();
    return date(new Date(at), today ? { timeStyle: "short" } : { dateStyle: "medium" });
  }

  function tell() {
    const { seen: known, since, before } = audit();
    for (const row of rows) {
      row.state = stateOf(row, known[row.id]);
      row.line.dataset.state = row.state;
      row.place.textContent = row.state === "unseen" ? say("unseen") : say(row.state, { wall: known[row.id].wall, time: time(known[row.id].at) });
      row.line.hidden = only.getAttribute("aria-pressed") === "true" && row.state !== "unseen";
    }
    const ids = new Set(rows.map((row) => row.id));
    const down = Object.entries(known).filter(([id, { state }]) => state === "gone" && !ids.has(id)).map(([, one]) => one);
    const amount = (state) => rows.filter((row) => row.state === state).length;
    const all = rows.length;
    const lines = [amount("unseen") ? say("count", { n: all - amount("unseen"), all }) : say("all")];
    if (amount("old")) lines.push(say("old_count", { n: amount("old") }));
    if (amount("unknown")) lines.push(say("unknown_count", { n: amount("unknown") }));
    if (down.length) lines.push(say("gone_count", { n: down.length }));
    if (since) lines.push(say("since", { date: date(new Date(since), { dateStyle: "medium", timeStyle: "short" }) }));
    seen.textContent = lines.join(" · ");
    gone.hidden = down.length === 0;
    gone.querySelector("ul").replaceChildren(...down.map((one) =>
      element("li", {}, element("strong", {}, one.title), ` · ${say("found", { wall: one.wall, time: time(one.at) })}`)));
    tellPlaces();
    only.textContent = say("only");
    anew.textContent = say(before ? "undo" : "new");
  }

  function tellPlaces() {
    for (const table of new Set(rows.map((row) => row.table))) {
      const mine = rows.filter((row) => row.table === table);
      const heading = table && table.querySelector("h2");
      if (!heading) continue;
      const place = heading.querySelector(".seen-here") || element("span", { className: "seen-here" });
      place.textContent = say("place", { n: mine.filter((row) => row.state !== "unseen").length, all: mine.length });
      heading.append(" ", place);
    }
  }

  only.addEventListener("click", () => {
    only.setAttribute("aria-pressed", String(only.getAttribute("aria-pressed") !== "true"));
    tell();
  });

  // A new audit forgets the last one; the same button takes that back until the first card is scanned.
  anew.addEventListener("click", () => {
    const now = audit();
    remember("audit", now.before || { since: Date.now(), seen: {}, before: now });
    tell();
  });

  addEventListener("storage", (event) => { if (event.key === keyOf("audit")) tell(); });
  addEventListener("pageshow", (event) => { if (event.persisted) tell(); });
  tell();
})();
